"""What many rules ask of the same part or step is found once for a circuit."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Protocol, TypeVar
from weakref import WeakKeyDictionary

from circuitcheck.rules._case import Case, Facts


class _Named(Protocol):
    @property
    def name(self) -> str: ...


N = TypeVar("N", bound=_Named)
T = TypeVar("T")


def once(find: Callable[[Case, N], T]) -> Callable[[Case, N], T]:
    """Keep what a function finds of a part or step, by its name, as long as the facts live.

    Only for what does not depend on the rule that asks (its limits); nobody may change what
    is given.
    """
    kept: WeakKeyDictionary[Facts, dict[str, T]] = WeakKeyDictionary()

    @wraps(find)
    def known(case: Case, of: N) -> T:
        found = kept.setdefault(case.facts, {})
        if of.name not in found:
            found[of.name] = find(case, of)
        return found[of.name]

    return known
