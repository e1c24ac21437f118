"""What a component sees of the solved system while it names its results and state."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from circuitcheck.laws.net import Bools, OilState, Value
from circuitcheck.laws.smoothing import Array


@dataclass(frozen=True)
class OilOutside:
    """Oil that is not in the tank of a circuit, against rods in and stores empty [m3].

    ``start``: when the first step begins, the same for every step of a variation; ``now``:
    at the end of each step, both (variants,), NaN where a rod moves whose stroke is not
    known; ``rods_out``: what all rods take from in to out.
    """

    start: Array
    now: Array
    rods_out: float


@dataclass
class View:
    """Solved figures of one part; every array has shape (variants,), SI.

    ``speed_of`` gives a rod or shaft speed by the name of its owner, ``reaction_of`` what
    holds it where it is pinned (force or torque given to it). ``torque_behind``: torque that
    the units behind it on the same shaft, in the order of the text, take through it [N m].
    ``arriving`` and ``leaving``: flow that all other parts together bring to, and take
    from, the junction of a port [m3/s]; ``outside``: oil outside the tank, None in a
    circuit with several tanks.
    Variants are every step in each of its ``variations``, step by step.
    """

    variants: int
    oil: OilState
    pressures: Mapping[str, Array]
    flows: Mapping[str, Array]
    elements: Mapping[str, Mapping[str, Array]]
    speed_of: Callable[[str], Array]
    reaction_of: Callable[[str], Array]
    pinned: Callable[[str], Bools]
    value_of: Callable[[str], Value | None]
    order_of: Callable[[str, Value], Array]
    said: Callable[[str], Bools]
    travel: Callable[[str], Array]
    position: list[str]
    driver: str
    torque_behind_of: Callable[[], Array]
    latched: Bools
    place: Array
    stored: Array
    duration: Array
    arriving: Callable[[str], Array]
    leaving: Callable[[str], Array]
    outside: Callable[[], OilOutside | None]
    variations: int = 1
    latched_first: Bools | np.bool_ = np.False_

    @property
    def torque_behind(self) -> Array:
        return self.torque_behind_of()

    def by_step(self, values: Any) -> Any:
        """Turn an array (variants,) into one of shape (steps, variations)."""
        return np.broadcast_to(values, (self.variants,)).reshape(-1, self.variations)

    def p(self, port: str) -> Array:
        """Pressure at a port, atmosphere where it is not joined [Pa]."""
        return self.pressures.get(port, np.zeros(self.variants))

    def q(self, port: str) -> Array:
        """Flow into the part at a port [m3/s]."""
        return self.flows.get(port, np.zeros(self.variants))

    def value(self, name: str) -> Value:
        found = self.value_of(name)
        if found is None:
            raise KeyError(name)
        return found

    def element(self, name: str, value: str = "flow") -> Array:
        """Value of one of the part's elements, zero where it was left out by a plug."""
        values = self.elements.get(name)
        return np.zeros(self.variants) if values is None else values[value]

    def words(self, choose: Callable[[int], str]) -> list[str]:
        """One word per variant."""
        return [choose(i) for i in range(self.variants)]
