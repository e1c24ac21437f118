"""Oil too thin or too thick for the pump.

What is checked
    The viscosity of the oil in every solved step: an error below 10 or above 500 mm2/s, a
    warning below 16 or above 100. At the start, with the oil at the ambient temperature of
    the tank: an error above 1000 mm2/s.

Why it matters on the machine
    Too thin: wear and leakage. Too thick: cavitation and pressure drop.

What to do
    Another grade, or another temperature.

Limits of this rule
    The window of the pump actually bought wins; the language has no words for it yet.

Source
    optimum 16 to 36 mm2/s: notes on fluids; above 500 harmful: notes on viscosity; least
    about 10: notes on oil cooling; 1000 at start: from memory
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.basics.tables import read_csv
from circuitcheck.fluid.oil import Oil
from circuitcheck.rules._case import Case
from circuitcheck.rules._rule import Needs, Outcome, Rule

THINNEST = 15
"""Thinnest grade that is proposed; thinner ones are not used in power hydraulics."""


def check(case: Case) -> Iterator[Outcome]:
    low, low_error = case.limit("warn_below"), case.limit("error_below")
    high, high_error = case.limit("warn_above"), case.limit("error_above")
    if not case.of_kind("pump"):
        return
    for point in (
        min(case.points, key=lambda p: p.nu),
        max(case.points, key=lambda p: p.nu),
    ):
        if low.value <= point.nu <= high.value:
            continue
        wrong = point.nu < low_error.value or point.nu > high_error.value
        yield _finding(
            case,
            f"in step {point.step.name}, {_has(case, point.nu, point.oil_degC)} (wanted "
            f"{case.show(low.value, 'viscosity')} to {case.show(high.value, 'viscosity')}, "
            f"{low.origin})",
            point.nu,
            point.oil_degC,
            Severity.ERROR if wrong else Severity.WARNING,
            point.step.name,
        )
        if len(case.points) == 1:
            break
    yield from _start(case)


def _start(case: Case) -> Iterator[Outcome]:
    tanks = [t for t in case.of_kind("tank") if t.given("ambient")]
    if not tanks:
        yield case.not_checked("oil", "temperature at start ('ambient' of the tank)")
        return
    ambient = min(tank.figure("ambient") or 0.0 for tank in tanks)
    limit = case.limit("start_above")
    nu = float(case.circuit.oil.nu(ambient))
    if nu > limit.value:
        yield _finding(
            case,
            f"at start, {_has(case, nu, ambient)}; {case.show(limit.value, 'viscosity')} is "
            f"the most ({limit.origin})",
            nu,
            ambient,
            Severity.ERROR,
            "",
        )


def _has(case: Case, nu: float, degC: float) -> str:
    name = case.circuit.oil.name
    return f"{name} has {case.show(nu, 'viscosity')} at {case.show(degC, 'temperature')}"


def _finding(
    case: Case, message: str, nu: float, degC: float, severity: Severity, step: str
) -> Outcome:
    grade, advice = _better(case, degC), ""
    if grade is not None and grade.name != case.circuit.oil.name:
        advice = f"; {grade.name} would have {case.show(float(grade.nu(degC)), 'viscosity')}"
    return case.finding(
        message + advice,
        severity=severity,
        step=step,
        numbers=(
            Number("viscosity", nu, "viscosity"),
            Number("oil temperature", degC, "temperature"),
        ),
    )


def _better(case: Case, degC: float) -> Oil | None:
    """Grade that stays within the limits in every step and here; None if there is none."""
    low, high = case.limit("warn_below").value, case.limit("warn_above").value
    asked = [degC, *(point.oil_degC for point in case.points)]
    for row in read_csv("fluids/viscosity_grades.csv"):
        if int(row["grade"]) >= THINNEST:
            oil = Oil.of_grade(int(row["grade"]))
            if all(low <= float(oil.nu(T)) <= high for T in asked):
                return oil
    return None


RULE = Rule("viscosity-outside", Severity.ERROR, check, Needs.NUMBERS, explains=("inlet-starved",))
