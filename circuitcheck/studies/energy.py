"""Where each watt of a cycle goes: what comes in, what is useful, what is lost, part by part."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from circuitcheck.laws.smoothing import Array
from circuitcheck.solver.accounts import Accounts, account
from circuitcheck.solver.results import heat_from_outside
from circuitcheck.studies.laps import Lap

DRIVE, LOAD, STORE, LOSS, BACK = "drive", "load", "store", "loss", "back"
"""What a flow of energy is: into the shafts, at a load, of a store, lost, back to a drive."""


@dataclass(frozen=True)
class Flow:
    """Energy that goes one way over a cycle: ``kind`` as above, by ``part``, mean power [W]."""

    kind: str
    part: str
    power: float


@dataclass(frozen=True)
class Flows:
    """The energy of a cycle as mean powers: the sum of ``into`` is that of ``out``."""

    into: tuple[Flow, ...]
    out: tuple[Flow, ...]

    @property
    def brought(self) -> float:
        """All power that comes in [W]."""
        return sum(flow.power for flow in self.into)

    @property
    def useful(self) -> float:
        return sum(flow.power for flow in self.out if flow.kind == LOAD)

    @property
    def lost(self) -> float:
        return sum(flow.power for flow in self.out if flow.kind == LOSS)

    @property
    def error(self) -> float:
        """What does not close, as a share of what comes in."""
        return abs(self.brought - sum(flow.power for flow in self.out)) / max(self.brought, 1.0)


def books_of(lap: Lap) -> Accounts:
    """Give the power account of every piece of a cycle, arrays (pieces x variations,)."""
    found = lap.answer
    heaters, _ = heat_from_outside(found)
    return account(found.system, found.whole, found.values, found.reaction, heaters)


def mean(lap: Lap, power: Array) -> Array:
    """Mean over the cycle of an array (pieces x variations,), as (variations,)."""
    rows, time = lap.answer.case.by_step(power), lap.time
    found: Array = np.sum(rows * time, axis=0) / np.sum(time, axis=0)
    return found


def flows(lap: Lap, books: Accounts, steps: frozenset[int] | None = None) -> Flows:
    """Sort the powers of a cycle in one variation by what they are.

    What goes to and fro - a load that is lifted and let down, a drive that is driven - counts
    both ways; of a store only what is left over: its oil comes back. ``steps`` takes the
    pieces of these steps alone.
    """
    time = lap.time[:, 0]
    if steps is not None:
        time = np.where(np.isin(lap.cycle.owner, list(steps)), time, 0.0)
    share = time / np.sum(time)
    stores = {part.name for part in lap.cycle.stores}
    into: list[Flow] = []
    out: list[Flow] = []
    for name, power in books.given.items():
        ways = (float(power @ share),) if name in stores else _both_ways(power, share)
        for way in ways:
            what = STORE if name in stores else DRIVE if way > 0.0 else BACK
            (into if way > 0.0 else out).append(Flow(what, name, abs(way)))
    for name, power in books.loads.items():
        for way in _both_ways(power, share):
            (out if way > 0.0 else into).append(Flow(LOAD, name, abs(way)))
    for name, power in books.loss.items():
        lost = float(power @ share)
        (out if lost >= 0.0 else into).append(Flow(LOSS, name, abs(lost)))
    return Flows(_sorted(into), _sorted(out))


def _both_ways(power: Array, share: Array) -> tuple[float, float]:
    ahead = float(np.maximum(power, 0.0) @ share)
    return ahead, float(power @ share) - ahead


def _sorted(found: list[Flow]) -> tuple[Flow, ...]:
    """The greatest first; what is nothing is left out."""
    some = (flow for flow in found if flow.power > 0.0)
    return tuple(sorted(some, key=lambda flow: (-flow.power, flow.part)))


def summed(powers: Mapping[str, Array], of: Callable[[str], bool], like: Array) -> Array:
    """Sum of those whose name is wanted; zeros shaped ``like`` where there are none."""
    total = np.zeros_like(like)
    for name, power in powers.items():
        if of(name):
            total = total + power
    return total
