"""Oil too thin or too thick for the pump.

What is checked
    The viscosity of the oil in every solved step, at the temperature of the step. The window
    is that of the pump or motor ('least viscosity', 'most viscosity': an error outside);
    where a pump has none, that of the oil's line ('viscosity 16 to 36 cSt': a warning); else
    a warning below 16 or above 100 cSt and an error below 10 or above 500 cSt. At the start,
    with the oil at the ambient temperature of the tank: an error above the 'start viscosity'
    of the pump, else above 1000 cSt.

Why it matters on the machine
    Too thin: wear and leakage. Too thick: cavitation and pressure drop.

What to do
    Another grade, or another temperature.

Limits of this rule
    Of each window the thinnest and the thickest step are reported.

Source
    optimum 16 to 36 mm2/s: notes on fluids; above 500 harmful: notes on viscosity; least
    about 10: notes on oil cooling; 1000 at start: from memory
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.basics.tables import read_csv
from circuitcheck.components._parts import Part
from circuitcheck.fluid.oil import Oil
from circuitcheck.rules._case import Case, Threshold
from circuitcheck.rules._rule import Needs, Outcome, Rule

THINNEST = 15
"""Thinnest grade that is proposed; thinner ones are not used in power hydraulics."""


@dataclass(frozen=True)
class Window:
    """Viscosities that are wanted, and those outside which it is an error [m2/s].

    ``part`` is who wants them, None where it holds for the circuit.
    """

    low: Threshold
    high: Threshold
    error_low: float
    error_high: float
    part: Part | None = None


def check(case: Case) -> Iterator[Outcome]:
    for window in _windows(case):
        for nu in dict.fromkeys(pick(p.nu for p in case.points) for pick in (min, max)):
            point = next(p for p in case.points if p.nu == nu)
            if window.low.value <= nu <= window.high.value:
                continue
            wrong = not window.error_low <= nu <= window.error_high
            origin = window.low.origin if nu < window.low.value else window.high.origin
            yield _finding(
                case,
                window,
                f"in step {point.step.name}, {_has(case, nu, point.oil_degC)} (wanted "
                f"{case.show(window.low.value, 'viscosity')} to "
                f"{case.show(window.high.value, 'viscosity')}, {origin})",
                nu,
                point.oil_degC,
                Severity.ERROR if wrong else Severity.WARNING,
                point.step.name,
            )
    yield from _start(case)


def _windows(case: Case) -> Iterator[Window]:
    """The window of the circuit, then those of pumps and motors that have their own."""
    machines = case.of_kind("pump", "motor")
    own = [m for m in machines if m.given("least viscosity") or m.given("most viscosity")]
    if any(pump not in own for pump in case.of_kind("pump")) or case.circuit.oil.given.window:
        yield _usual(case)
    for part in own:
        low = case.limit("warn_below", part, "least viscosity")
        high = case.limit("warn_above", part, "most viscosity")
        lowest = low.value if part.given("least viscosity") else 0.0
        highest = high.value if part.given("most viscosity") else float("inf")
        yield Window(low, high, lowest, highest, part)


def _usual(case: Case) -> Window:
    """The window of the oil's line, else the default."""
    low, high = case.limit("warn_below"), case.limit("warn_above")
    wanted = case.circuit.oil.given.window
    if wanted is not None:
        low, high = (Threshold(value, "limit from the oil's line") for value in wanted)
    return Window(
        low,
        high,
        min(case.limit("error_below").value, low.value),
        max(case.limit("error_above").value, high.value),
    )


def _start(case: Case) -> Iterator[Outcome]:
    pumps = case.of_kind("pump")
    if not pumps:
        return
    tanks = [t for t in case.of_kind("tank") if t.given("ambient")]
    if not tanks:
        yield case.not_checked("oil", "temperature at start ('ambient' of the tank)")
        return
    ambient = min(tank.figure("ambient") or 0.0 for tank in tanks)
    limit = min(
        (case.limit("start_above", pump, "start viscosity") for pump in pumps),
        key=lambda threshold: threshold.value,
    )
    nu = float(case.circuit.oil.nu(ambient))
    if nu > limit.value:
        yield _finding(
            case,
            _usual(case),
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
    case: Case,
    window: Window,
    message: str,
    nu: float,
    degC: float,
    severity: Severity,
    step: str,
) -> Outcome:
    grade, advice = _better(case, window, degC), ""
    if grade is not None and grade.name != case.circuit.oil.name:
        advice = f"; {grade.name} would have {case.show(float(grade.nu(degC)), 'viscosity')}"
    return case.finding(
        message + advice,
        window.part,
        severity=severity,
        step=step,
        numbers=(
            Number("viscosity", nu, "viscosity"),
            Number("oil temperature", degC, "temperature"),
        ),
    )


def _better(case: Case, window: Window, degC: float) -> Oil | None:
    """Grade of this fluid that stays in the window in every step and here, if there is one."""
    kind = case.circuit.oil.fluid
    if not kind.graded:
        return None
    asked = [degC, *(point.oil_degC for point in case.points)]
    for row in read_csv("fluids/viscosity_grades.csv"):
        if int(row["grade"]) >= THINNEST:
            oil = Oil.of_grade(int(row["grade"]), kind=kind.code or kind.family)
            if all(window.low.value <= float(oil.nu(T)) <= window.high.value for T in asked):
                return oil
    return None


RULE = Rule("viscosity-outside", Severity.ERROR, check, Needs.NUMBERS, explains=("inlet-starved",))
