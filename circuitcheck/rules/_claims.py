"""Claimed and read numbers against computed ones."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from circuitcheck.circuit.model import Claim
from circuitcheck.rules._case import Case
from circuitcheck.rules._formulas import formula
from circuitcheck.solver.operating import OperatingPoint

SIGNLESS = ("speed", "flow", "rotation", "force", "torque")
"""Quantities of which a claim means the size: reports give directions with a sign."""


@dataclass(frozen=True)
class Judged:
    """One claim (or reading) with what was computed for it [SI].

    ``value`` is None where nothing could be computed, ``missing`` then says why. ``step``
    is the step that was compared with: the one the claim names, else the nearest. ``holds``
    is None where it could not be judged.
    """

    claim: Claim
    value: float | None
    step: str
    holds: bool | None
    formula: str = ""
    missing: str = ""

    @property
    def name(self) -> str:
        """What is claimed, in words."""
        claim = self.claim
        return " ".join(word for word in (claim.subject, claim.port, claim.what) if word)


def evaluate(case: Case, claim: Claim, point: OperatingPoint) -> float | None:
    """Computed value of what a claim speaks of, in one step [SI]; None if there is none."""
    return computed(claim, point)


def computed(claim: Claim, point: OperatingPoint) -> float | None:
    """Value of what a claim or reading speaks of at an operating point [SI], None if none.

    Of flows, speeds, forces and torques it is the size.
    """
    value = _evaluate(claim, point)
    if value is None or math.isnan(value):
        return None
    return abs(value) if claim.figure.quantity in SIGNLESS else value


def _evaluate(claim: Claim, point: OperatingPoint) -> float | None:
    if not claim.subject:
        if claim.what == "time":
            return point.duration
        return point.totals.loss if claim.what == "heat" else point.totals.input
    if claim.subject in point.parts:
        state = point.parts[claim.subject]
        if claim.port and claim.what in ("pressure", "flow") and claim.port in state.ports:
            port = state.ports[claim.port]
            return port.pressure if claim.what == "pressure" else port.flow
        return state.values.get(claim.what)
    junction = point.junctions.get(claim.subject)
    return None if junction is None else junction.pressure


def judge(case: Case, claim: Claim) -> Judged:
    """Compare a claim with the solved steps.

    Without a step, it holds if some step fulfils it; one with `at most` must hold in every
    step. Over the cycle, a time is the sum, everything else the mean by duration.
    """
    if claim.over_cycle:
        return _over_cycle(case, claim)
    points = [p for p in case.points if not claim.step or p.step.name == claim.step]
    found = [(evaluate(case, claim, point), point) for point in points]
    known = [(value, point) for value, point in found if value is not None]
    if not known:
        missing = f"step {claim.step} was not solved" if not points else "it has no value there"
        return Judged(claim, None, claim.step, None, missing=missing)
    if claim.mode == "at most" or claim.mode == "at least":
        value, point = max(known, key=lambda pair: pair[0])
    else:
        value, point = min(known, key=lambda pair: abs(pair[0] - claim.figure.value))
    return Judged(claim, value, point.step.name, holds(claim, value), formula(case, claim, point))


def _over_cycle(case: Case, claim: Claim) -> Judged:
    pairs = [(evaluate(case, claim, p), p.duration) for p in case.points]
    times = [time for _, time in pairs if time is not None]
    if len(times) < len(case.circuit.steps) or not sum(times):
        return Judged(claim, None, "", None, missing="a step has no duration or was not solved")
    if claim.what == "time" and not claim.subject:
        value = sum(times)
        text = " + ".join(case.show(time, "time") for time in times)
        return Judged(claim, value, "", holds(claim, value), text)
    values = [value for value, _ in pairs if value is not None]
    if len(values) < len(pairs):
        return Judged(claim, None, "", None, missing="it has no value in some step")
    value = sum(v * t for v, t in zip(values, times, strict=True)) / sum(times)
    return Judged(claim, value, "", holds(claim, value), "mean over the cycle by duration")


def tolerance(claim: Claim) -> float:
    """Tolerance of a claim in the units of its figure [SI]."""
    return claim.tolerance * abs(claim.figure.value) if claim.share else claim.tolerance


def holds(claim: Claim, value: float) -> bool:
    """Whether a computed value fulfils a claim."""
    asked = claim.figure.value
    if claim.figure.quantity in SIGNLESS:
        asked = abs(asked)
    margin = tolerance(claim) + 1e-9 * abs(asked)
    if claim.mode == "at most":
        return value <= asked + margin
    if claim.mode == "at least":
        return value >= asked - margin
    return abs(value - asked) <= margin


def judged(case: Case) -> Iterator[Judged]:
    """Judge every claim, in the order of the text."""
    for claim in case.circuit.claims:
        yield judge(case, claim)


def judged_readings(case: Case) -> Iterator[Judged]:
    """Judge every reading, in the order of the text."""
    for reading in case.circuit.readings:
        yield judge(case, reading)
