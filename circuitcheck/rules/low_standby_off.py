"""Standby pressure read that differs from the one expected.

What is checked
    Readings of the outlet pressure of load-sensing pumps (of the pump, or of a gauge or test
    point on the same stretch of line) in steps with all valves at rest, against the computed
    standby: more than 3 bar or 10 % apart, whichever is more.

Why it matters on the machine
    High: load signal trapped, bleed blocked, margin wound up. Low: an open leak path, a low
    margin, a pump that does not prime.

What to do
    Read the gauge on the LS line next; only then touch the margin.

Limits of this rule
    Expected at the oil temperature of the step, not of the reading.

Source
    standby is set by the compensator spring while the signal is zero: US Army
    TM 10-3930-660-34; standby a little above the margin: textbook on mobile hydraulics
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Note, Number, Severity
from circuitcheck.circuit.model import Claim
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case
from circuitcheck.rules._claims import judge
from circuitcheck.rules._idle import is_idle
from circuitcheck.rules._pumps import is_load_sensing
from circuitcheck.rules._readings import junction_of
from circuitcheck.rules._rule import Needs, Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    for reading in case.circuit.readings:
        pump = _pump(case, reading)
        if pump is None or not reading.step:
            continue
        verdict = judge(case, reading)
        point = case.point(reading.step)
        if verdict.value is None or point is None:
            yield case.not_checked(pump.name, f"{verdict.name}: {verdict.missing}")
        elif is_idle(case, point.step):
            signal = case.network.at(pump.name, "X")
            load = point.junctions[signal].pressure if signal else 0.0
            yield from _compare(case, pump, reading, verdict.value, load)


def _compare(
    case: Case, pump: Part, reading: Claim, expected: float, load: float
) -> Iterator[Outcome]:
    apart = max(case.limit("pressure").value, case.limit("share").value * expected)
    read, margin = reading.figure.value, pump.figure("margin") or 0.0
    if abs(read - expected) <= apart:
        return
    yield case.finding(
        f"low standby reads {case.bar(read)} in step {reading.step}, expected "
        f"{case.bar(expected)} (margin {case.bar(margin)} + LS {case.bar(load)})",
        pump,
        step=reading.step,
        place=reading.place,
        numbers=(Number("read", read, "pressure"), Number("expected", expected, "pressure")),
        notes=(Note(f"{pump.name} has its margin here", pump.place),),
    )


def _pump(case: Case, reading: Claim) -> Part | None:
    """Load-sensing pump whose outlet pressure a reading shows, None if there is none."""
    if reading.figure.quantity != "pressure" or reading.what != "pressure":
        return None
    at = junction_of(case, reading)
    if at is None:
        return None
    for pump in case.of_kind("pump"):
        outlet = case.network.at(pump.name, "P")
        if is_load_sensing(pump) and outlet is not None and at in case.facts.region(outlet):
            return pump
    return None


RULE = Rule("low-standby-off", Severity.WARNING, check, Needs.NUMBERS)
