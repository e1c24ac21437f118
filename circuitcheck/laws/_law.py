"""The contract of an element law."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Protocol, runtime_checkable

from circuitcheck.laws.smoothing import Array, Smoothing


@runtime_checkable
class Prepares(Protocol):
    """A law that reckons some figures once for a circuit, not in every evaluation."""

    def prepared(self, c: Mapping[str, Array], variants: int) -> Mapping[str, Array]:
        """Give further coefficients from those of the elements, which are passed on too."""


@dataclass(frozen=True)
class Stamp:
    """Value number ``value`` enters the balance of terminal ``terminal`` with this sign."""

    value: int
    terminal: int
    sign: float


class Law(Protocol):
    """A law joins a fixed number of terminals (unknowns) and gives some values.

    ``coefficients`` names its figures; a value missing in an element is taken from the
    mapping. ``evaluate`` gets the unknowns at the terminals, shape (terminals, elements,
    variants), and coefficients that broadcast to (elements, variants); it gives values of
    shape (values, elements, variants) and derivatives of shape (values, terminals,
    elements, variants). A flow value counts from the first to the second terminal.
    """

    @property
    def word(self) -> str: ...

    @property
    def terminals(self) -> int: ...

    @property
    def values(self) -> tuple[str, ...]: ...

    @property
    def stamps(self) -> tuple[Stamp, ...]: ...

    @property
    def coefficients(self) -> Mapping[str, float]: ...

    def evaluate(self, x: Array, c: Mapping[str, Array], s: Smoothing) -> tuple[Array, Array]: ...


PASSAGE = (Stamp(0, 0, -1.0), Stamp(0, 1, 1.0))
"""Stamps of a passage: the flow leaves terminal 0 and enters terminal 1."""

BAR = 1e5
L_MIN = 1e-3 / 60.0
