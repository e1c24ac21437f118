"""Targets of a study: what a result is to be, at which step, and by how much it is missed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from circuitcheck.basics.places import Place
from circuitcheck.basics.quantities import System, show
from circuitcheck.basics.refusal import CircuitError
from circuitcheck.basics.unit_table import QUANTITIES
from circuitcheck.circuit.desk import Desk
from circuitcheck.circuit.model import Circuit, Claim
from circuitcheck.circuit.subjects import Subject
from circuitcheck.circuit.targets import FILE, OIL, read_targets
from circuitcheck.laws.smoothing import Array

SIGNLESS = ("speed", "flow", "rotation", "force", "torque")
"""Quantities of which a target means the size, as claims do."""

KELVIN = 10.0
"""Size against which a temperature is judged [K]; own choice."""

CLOSE = 1e-6
"""Share by which a target may be missed and still counts as met."""


@dataclass(frozen=True)
class Target:
    """A result that is to be ``aim`` [SI], or between ``low`` and ``high``.

    ``step`` is empty where the whole cycle, or every step, is meant.
    """

    claim: Claim

    @property
    def subject(self) -> Subject:
        claim = self.claim
        return Subject(claim.subject, claim.port, claim.what, claim.figure.quantity)

    @property
    def name(self) -> str:
        """What is meant, in words."""
        claim = self.claim
        return " ".join(filter(None, (claim.subject, claim.port, claim.what)))

    @property
    def step(self) -> str:
        return "over the cycle" if self.over_cycle else self.claim.step

    @property
    def over_cycle(self) -> bool:
        return self.claim.over_cycle or self.is_oil

    @property
    def is_oil(self) -> bool:
        """Whether the temperature is meant at which the oil settles."""
        return self.claim.subject == OIL and self.claim.what == "temperature"

    @property
    def exact(self) -> bool:
        """Whether the figure itself is to be met, and not only not passed."""
        return self.claim.mode == "within"

    @property
    def signless(self) -> bool:
        return self.claim.figure.quantity in SIGNLESS

    @property
    def aim(self) -> float:
        value = self.claim.figure.value
        return abs(value) if self.signless else value

    @property
    def _tolerance(self) -> float:
        claim = self.claim
        return claim.tolerance * abs(self.aim) if claim.share else claim.tolerance

    @property
    def low(self) -> float:
        if self.exact:
            return self.aim - self._tolerance
        return self.aim - self._tolerance if self.claim.mode == "at least" else -np.inf

    @property
    def high(self) -> float:
        if self.exact:
            return self.aim + self._tolerance
        return self.aim + self._tolerance if self.claim.mode == "at most" else np.inf

    @property
    def scale(self) -> float:
        """What a miss is measured by [SI]."""
        if self.claim.figure.quantity == "temperature":
            return KELVIN
        return abs(self.aim) or 100.0 * QUANTITIES[self.claim.figure.quantity].noise or 1.0

    def missed(self, values: Array) -> Array:
        """Share by which values leave the range wanted; negative inside it, same shape."""
        over: Array = np.maximum(self.low - values, values - self.high) / self.scale
        return over

    def off(self, values: Array) -> Array:
        """Share by which values are off the aim; of a limit only what is beyond it."""
        if self.exact:
            return (values - self.aim) / self.scale
        return np.maximum(self.missed(values), 0.0)

    def said(self, units: System) -> str:
        """Give the target in words: 50 mm/s, at least."""
        figure = show(self.aim, self.claim.figure.quantity, units)
        return figure if self.exact else f"{self.claim.mode} {figure}"


def targets_of(circuit: Circuit, rows: Sequence[str]) -> list[Target]:
    """Read targets; raises `CircuitError` with everything that is wrong with them."""
    claims, findings, source = read_targets(circuit, rows)
    desk = Desk({}, set(), findings)
    targets = [Target(claim) for claim in claims]
    if not rows:
        place = Place(FILE, 1, 1, 1, 1)
        desk.error("target-missing", place, "no target is given",
                   "write, for example:  C1 speed 50 mm/s, in press")  # fmt: skip
    for target in targets:
        _placed(desk, circuit, target)
    if desk.errors:
        raise CircuitError(tuple(desk.findings), source)
    return targets


def _placed(desk: Desk, circuit: Circuit, target: Target) -> None:
    """See that a target says the step where several could be meant."""
    names = [step.name for step in circuit.steps]
    if target.exact and not target.step and len(names) > 1:
        desk.error("target-step", target.claim.place, "in which step?",
                   f"add one of:  in {', in '.join(names)}, over the cycle")  # fmt: skip
