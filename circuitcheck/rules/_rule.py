"""The contract of a rule module: what is checked, why it matters, what to do.

A module of this room is named like its rule (``relief_below_compensator.py``) and exports
``RULE``; its docstring is the page that people read: a title, then the headings of
`HEADINGS`. Small rules of one subject share a module named after the subject, which exports
``RULES``; there the docstring of each check is the page. ``check(case)`` yields findings
(made with `Case.finding`) and, where data are missing, `NotChecked` (made with
`Case.not_checked`); it never falls silent for want of data.
"""

from __future__ import annotations

import inspect
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from enum import Enum
from functools import cached_property
from typing import TYPE_CHECKING, TypeAlias

from circuitcheck.basics.findings import Finding, NotChecked, Severity

if TYPE_CHECKING:
    from circuitcheck.rules._case import Case

CHECKED = "What is checked"
WHY = "Why it matters on the machine"
DO = "What to do"
LIMITS = "Limits of this rule"
SOURCE = "Source"
HEADINGS = (CHECKED, WHY, DO, LIMITS, SOURCE)

Outcome: TypeAlias = Finding | NotChecked
Check: TypeAlias = "Callable[[Case], Iterator[Outcome]]"


class Needs(Enum):
    """What a rule cannot do without; decides whether it runs on an unsolved circuit."""

    GRAPH = "the circuit"
    NUMBERS = "operating points"


@dataclass(frozen=True)
class Rule:
    """One rule: ``severity`` is the usual one, ``explains`` the slugs it is the cause of."""

    slug: str
    severity: Severity
    check: Check
    needs: Needs = Needs.GRAPH
    explains: tuple[str, ...] = ()

    @cached_property
    def page(self) -> str:
        """The docstring of its check, else that of the rule's module."""
        module = inspect.getmodule(self.check)
        own = self.check.__doc__ or (module.__doc__ if module else None)
        return inspect.cleandoc(own or "")

    @property
    def title(self) -> str:
        """First line of the page, without its full stop."""
        return self.page.split("\n", 1)[0].rstrip(".")

    def section(self, heading: str) -> str:
        """Give the text under a heading of the page, on one line; empty if there is none."""
        others = "|".join(re.escape(h) for h in HEADINGS)
        found = re.search(
            rf"^{re.escape(heading)}\n(.*?)(?=^(?:{others})\n|\Z)", self.page, re.M | re.S
        )
        return " ".join(found.group(1).split()) if found else ""
