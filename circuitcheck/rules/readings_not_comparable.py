"""Reading taken at another oil temperature than the step.

What is checked
    Readings of flows, times and speeds whose chapter names an oil temperature more than 5 K
    from that of the step; of a case flow the value corrected by the viscosity is given.

Why it matters on the machine
    Leakage goes with pressure over viscosity: a cold machine hides its wear.

What to do
    Repeat warm and loaded, or correct.

Limits of this rule
    Pressures hang little on temperature and are left out. Speed and pressure of the drive
    at the reading are not known.

Source
    full temperature, load and rated speed as conditions: trade article; laminar leakage:
    textbook
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import NotChecked, Number, Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._read import read
from circuitcheck.rules._rule import Needs, Outcome, Rule

LEAKS = ("flow", "case drain", "time", "speed")


def check(case: Case) -> Iterator[Outcome]:
    apart = case.limit("apart")
    told: set[tuple[str, float]] = set()
    for reading in read(case, LEAKS):
        if isinstance(reading, NotChecked) or reading.claim.temperature is None:
            continue
        off = reading.degC - reading.point.oil_degC
        if abs(off) <= apart.value or (reading.claim.document, reading.degC) in told:
            continue
        told.add((reading.claim.document, reading.degC))
        corrected = ""
        if reading.claim.what == "case drain":
            thick = float(case.circuit.oil.nu(reading.degC)) / reading.point.nu
            corrected = f"; corrected {case.flow(reading.value * thick)}"
        yield case.finding(
            f"{reading.part.name} {reading.claim.what} was read at "
            f"{case.show(reading.degC, 'temperature')}, step {reading.step} has "
            f"{case.show(reading.point.oil_degC, 'temperature')}{corrected}",
            reading.part,
            step=reading.step,
            place=reading.claim.place,
            numbers=(Number("oil at the reading", reading.degC, "temperature"),),
        )


RULE = Rule("readings-not-comparable", Severity.WARNING, check, Needs.NUMBERS)
