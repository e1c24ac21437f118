"""Drive that is asked for more power than it has.

What is checked
    In every solved step: the power that the pumps take from each drive, against its rated
    power. An electric motor may give 1.5 times that for at most 15 s, an engine 0.9 times.
    The worst step is reported.

Why it matters on the machine
    The motor trips, or the engine stalls, just when the work is hardest.

What to do
    A power limit on the pump, a smaller flow at high pressure, or a larger drive.

Limits of this rule
    A step without a duration counts as lasting. The mean load over the cycle and starting
    under load are not looked at.

Source
    power = pressure x flow; 1.5 for 15 s from memory (induction motors must stand 1.6 times
    their torque for 15 s); 0.9: common practice, no source
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case
from circuitcheck.rules._rule import Needs, Outcome, Rule
from circuitcheck.solver.operating import OperatingPoint


def check(case: Case) -> Iterator[Outcome]:
    for drive in case.of_kind("electric motor", "engine"):
        rated = drive.figure("power")
        if rated is None:
            yield case.not_checked(drive.name, "rated power")
            continue
        over: list[tuple[float, OperatingPoint, str]] = []
        for point in case.points:
            power = point.parts[drive.name].values["power"]
            limit, reason = _limit(case, drive, point, rated)
            if power > limit:
                over.append((power / limit, point, f"{case.power(limit)} ({reason})"))
        if over:
            _, point, gives = max(over, key=lambda entry: entry[0])
            others = [p.step.name for _, p, _ in over if p is not point]
            yield _finding(case, drive, point, gives, others)


def _limit(case: Case, drive: Part, point: OperatingPoint, rated: float) -> tuple[float, str]:
    if drive.kind.word == "engine":
        factor = case.limit("engine_factor")
        return factor.value * rated, f"{factor.value:g} of {case.power(rated)}, {factor.origin}"
    short, factor = case.limit("motor_time"), case.limit("motor_factor")
    if point.duration is not None and point.duration <= short.value:
        text = f"{factor.value:g} times {case.power(rated)} for at most {short.value:g} s"
        return factor.value * rated, f"{text}, {factor.origin}"
    return rated, f"limit from {drive.name}"


def _finding(
    case: Case, drive: Part, point: OperatingPoint, gives: str, others: list[str]
) -> Outcome:
    power = point.parts[drive.name].values["power"]
    pumps = [p for p in case.of_kind("pump") if p.driven_by == drive.name]
    parts = []
    for pump in pumps:
        values = point.parts[pump.name].values
        efficiency = f", efficiency {100 * values['efficiency']:.0f} %"
        parts.append(
            f"{pump.name} {case.bar(values['pressure'])}, {case.flow(values['flow'])}"
            f"{efficiency if values['efficiency'] == values['efficiency'] else ''}"
        )
    also = f"; too much in {', '.join(others)} as well" if others else ""
    of = f" ({'; '.join(parts)})" if parts else ""
    return case.finding(
        f"step {point.step.name} asks {case.power(power)} at the shaft{of}; {drive.name} gives "
        f"{gives}{also}",
        drive,
        step=point.step.name,
        numbers=(Number("shaft power", power, "power"),),
    )


RULE = Rule("drive-overloaded", Severity.ERROR, check, Needs.NUMBERS)
