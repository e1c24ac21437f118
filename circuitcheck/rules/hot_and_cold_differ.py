"""Machine that runs at another speed cold than warm.

What is checked
    Where the ambient of a tank is given: all steps are solved once more with oil as cold as
    that. Does the speed of an actuator differ by more than 10 % from the one with the oil of the
    step, if that is at least 15 K warmer?

Why it matters on the machine
    A test with cold oil hides leakage, one with warm oil hides drops: a machine that is set
    right in the morning is not right at noon.

What to do
    Commission at both temperatures. Pressure compensated flow controls, smaller gaps and
    larger lines make it less.

Limits of this rule
    Speeds only; what other rules would find at the other temperature is not told. Circuits of
    more than 300 parts are not solved again.

Source
    cold oil hides wear: trade article on case drain monitoring; laws of gap and orifice
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.circuit.subjects import Subject
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case
from circuitcheck.rules._loads import CREEP, actuators, is_cylinder, swept
from circuitcheck.rules._rule import Needs, Outcome, Rule
from circuitcheck.solver.asked import Results
from circuitcheck.solver.settling import settle
from circuitcheck.solver.solve import STEADY
from circuitcheck.solver.system import Case as Solved

MOST_PARTS = 300


def check(case: Case) -> Iterator[Outcome]:
    least, share = case.limit("apart"), case.limit("share")
    known = [t.figure("ambient") or 0.0 for t in case.of_kind("tank") if t.given("ambient")]
    movers = actuators(case)
    if not known or not movers:
        return
    cold = min(known)
    at = case.show(cold, "temperature")
    warm = [point for point in case.points if point.oil_degC - cold >= least.value]
    if not warm:
        return
    if len(case.circuit.parts) > MOST_PARTS:
        yield case.not_checked("", "the circuit is large; solve it with colder oil")
        return
    solved, speeds = _solved(case, cold, movers)
    lost = [point.step.name for point in warm if not solved[point.step.name]]
    if lost:
        yield case.not_checked("", f"{', '.join(lost)} was not solved at {at}")
    for part in movers:
        found = [
            (_apart(part, now, then), point, abs(then), abs(now))
            for point in warm
            if solved[point.step.name]
            for now in (point.parts[part.name].values["speed"],)
            for then in (speeds[part.name][point.step.name],)
        ]
        differs, point, then, now = max(found, key=lambda row: row[0], default=(0.0, None, 0, 0))
        if point is None or differs <= share.value:
            continue
        quantity = "speed" if is_cylinder(part) else "rotation"
        yield case.finding(
            f"in step {point.step.name} {part.name} runs {case.show(then, quantity)} with oil at "
            f"{at} and {case.show(now, quantity)} at {case.show(point.oil_degC, 'temperature')} "
            f"({share.origin})",
            part,
            step=point.step.name,
            numbers=(
                Number("speed cold", then, quantity),
                Number("speed warm", now, quantity),
            ),
        )


def _apart(part: Part, now: float, then: float) -> float:
    """Difference of two speeds as a share of the larger, or of a creep where both are less."""
    slow = CREEP / max(swept(part), 1e-12)
    return abs(abs(now) - abs(then)) / max(abs(now), abs(then), slow)


def _solved(
    case: Case, cold: float, movers: list[Part]
) -> tuple[dict[str, bool], dict[str, dict[str, float]]]:
    """Solve all steps with cold oil: which were solved, and speeds by actuator and step."""
    steps = case.circuit.steps or [STEADY]
    settled = settle(Solved(case.circuit, steps, {("oil", "temperature"): cold}))
    names = [step.name for step in steps]
    good = settled.answer.found.solved & ~settled.changing.any()
    results = Results(settled.answer)
    speeds = {
        part.name: dict(zip(names, results.of(_speed(part)).tolist(), strict=True))
        for part in movers
    }
    return dict(zip(names, good.tolist(), strict=True)), speeds


def _speed(part: Part) -> Subject:
    return Subject(part.name, "", "speed", "speed")


RULE = Rule("hot-and-cold-differ", Severity.ADVICE, check, Needs.NUMBERS)
