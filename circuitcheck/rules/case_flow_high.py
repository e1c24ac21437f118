"""Case drain flow read that is far above the baseline.

What is checked
    Readings of case drain flow (`case drain` of a pump or motor, or a flow meter in its
    drain line) against the baseline of the sound unit, worked out for the pressures of the
    step and corrected to the viscosity of the reading: a warning at 1.5 times, an error at 2
    times or above the unit's wear limit. Without a baseline: 5 % and 10 % of the theoretical
    flow.

Why it matters on the machine
    Wear of pistons, slippers and plate shows here before pressure falls.

What to do
    Repeat at two pressures and two temperatures, and at standby; look for debris. Test the
    pump's flow before scrapping it: the case flow does not show every leak path.

Limits of this rule
    Control oil (1 to 4 L/min, from memory) is not subtracted; over standby it is most of the
    case flow. A drain shared by several units is taken as that of the first.

Source
    10 % normal seen, doubling means change: trade article on case drain monitoring; 5 %
    rule for motors: dealer's page
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.circuit.model import Claim
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case
from circuitcheck.rules._pumps import theoretical_flow
from circuitcheck.rules._readings import drained_through
from circuitcheck.rules._rule import Needs, Outcome, Rule
from circuitcheck.solver.operating import OperatingPoint


def check(case: Case) -> Iterator[Outcome]:
    for reading in case.circuit.readings:
        unit = _unit(case, reading)
        if unit is None:
            continue
        point = case.point(reading.step)
        if point is None:
            missing = f"step of the reading {reading.subject}, to know its pressures"
            yield case.not_checked(unit.name, missing)
            continue
        yield from _compare(case, unit, reading, point)


def _unit(case: Case, reading: Claim) -> Part | None:
    """Pump or motor of whose case a reading speaks."""
    if reading.what == "case drain":
        return case.circuit.parts.get(reading.subject)
    if reading.figure.quantity == "flow" and reading.what == "flow":
        return drained_through(case, reading.subject)
    return None


def _compare(case: Case, unit: Part, reading: Claim, point: OperatingPoint) -> Iterator[Outcome]:
    read, wear = reading.figure.value, unit.figure("wear limit")
    full = theoretical_flow(case, unit)
    degC = point.oil_degC if reading.temperature is None else reading.temperature
    numbers = [Number("case flow read", read, "flow")]
    severity: Severity | None = None
    if unit.given("case drain"):
        thin = point.nu / float(case.circuit.oil.nu(degC))
        baseline = point.parts[unit.name].values["case drain"] * thin
        times = read / baseline if baseline > 0.0 else float("inf")
        numbers.append(Number("baseline at these conditions", baseline, "flow"))
        against = f"{times:.1f} times baseline ({case.flow(baseline)})"
        if times >= case.limit("error_factor").value:
            severity = Severity.ERROR
        elif times >= case.limit("warn_factor").value:
            severity = Severity.WARNING
    elif full:
        against = f"{100 * read / full:.1f} % of the theoretical flow, no baseline given"
        if read >= case.limit("act_share").value * full:
            severity = Severity.ERROR
        elif read >= case.limit("watch_share").value * full:
            severity = Severity.WARNING
    else:
        yield case.not_checked(unit.name, "case drain flow of the sound unit ('case drain')")
        return
    if wear is not None and read > wear:
        severity = Severity.ERROR
        against += f", over the wear limit {case.flow(wear)} (limit from {unit.name})"
    if severity is None:
        return
    pressure = point.parts[unit.name].values.get("pressure")
    at = "" if pressure is None else f"{case.bar(pressure)}, "
    yield case.finding(
        f"{unit.name} case flow {case.flow(read)} at {at}{case.show(degC, 'temperature')} in "
        f"step {reading.step}: {against}; control oil not subtracted",
        unit,
        severity=severity,
        step=reading.step,
        place=reading.place,
        numbers=tuple(numbers),
    )


RULE = Rule("case-flow-high", Severity.WARNING, check, Needs.NUMBERS)
