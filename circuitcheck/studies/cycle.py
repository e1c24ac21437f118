"""The steps of a cycle in pieces, each a step of its own.

A step is solved at its end, so that a store that is charged over a long step would take all
its oil at its last pressure: where there are stores, steps are followed in pieces.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

from circuitcheck.circuit.model import Circuit, Orders, Step
from circuitcheck.components._parts import Part

PIECES = 4
"""Pieces of a step in a circuit with stores, 1 elsewhere; own choice."""


class NoDutyError(Exception):
    """A circuit that has no duty cycle, or none that can be followed; the message says why.

    ``unsolved``: there is a cycle, but a step of it has no operating point.
    """

    def __init__(self, why: str, unsolved: bool = False) -> None:
        super().__init__(why)
        self.unsolved = unsolved


@dataclass(frozen=True)
class Cycle:
    """The steps of a circuit in pieces; ``shares`` are those of its step, for each step."""

    circuit: Circuit
    shares: tuple[tuple[float, ...], ...]

    @cached_property
    def steps(self) -> list[Step]:
        """All pieces in their order, each a step of its own."""
        pairs = zip(self.circuit.steps, self.shares, strict=True)
        return [_piece(step, share) for step, shares in pairs for share in shares]

    @cached_property
    def owner(self) -> list[int]:
        """Number of the step to which each piece belongs."""
        return [number for number, shares in enumerate(self.shares) for _ in shares]

    @property
    def stores(self) -> list[Part]:
        return self.circuit.of_kind("accumulator")


def cycle_of(circuit: Circuit, pieces: int = 0) -> Cycle:
    """Give the cycle of a circuit, every step in so many pieces of equal length.

    ``pieces`` 0: four where there are stores, else one.

    Raises
    ------
    NoDutyError
        If the circuit has no steps, or a step has neither duration nor way.
    """
    if not circuit.steps:
        raise NoDutyError("the text has no chapter 'cycle'; a duty cycle is made of its steps")
    timeless = [step.name for step in circuit.steps if not timed(step)]
    if timeless:
        raise NoDutyError(
            f"how long does step {timeless[0]} last? Give it a duration ({timeless[0]}, 8 s) or "
            "a way (C1 travels 400 mm)"
        )
    count = pieces or (PIECES if circuit.of_kind("accumulator") else 1)
    return Cycle(circuit, tuple((1.0 / count,) * count for _ in circuit.steps))


def timed(step: Step) -> bool:
    """Whether a step has a duration, or a way that sets one."""
    ways = any("travels" in orders.figures for orders in step.orders.values())
    return ways or (step.duration or 0.0) > 0.0


def _piece(step: Step, share: float) -> Step:
    """A share of a step, at the temperature of the whole cycle."""
    duration = None if step.duration is None else step.duration * share
    orders = {name: _piece_of_way(said, share) for name, said in step.orders.items()}
    return replace(step, duration=duration, orders=orders, oil_degC=None)


def _piece_of_way(orders: Orders, share: float) -> Orders:
    way = orders.figures.get("travels")
    if way is None or share == 1.0:
        return orders
    part = replace(way, value=way.value * share)
    return replace(orders, figures=orders.figures | {"travels": part})
