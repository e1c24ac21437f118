"""Relief valve that passes oil in a work step.

What is checked
    In every solved step that asks something of an actuator: the flow over each relief,
    against 0.5 L/min and 1 % of the pump flow. Steps that press against an end stop or a
    held load on purpose are passed.

Why it matters on the machine
    The speed is missing, and the oil is heated by 6 K for each 100 bar that it is throttled
    through.

What to do
    Less flow, a higher setting within the ratings, or a lower load. On a fixed pump with
    meter-in some relief flow is expected; if it lasts, go over to load sensing or bleed-off.

Limits of this rule
    An error above 10 % of the pump flow, unless a valve meters the flow of a fixed pump in
    that step: then the rest has nowhere else to go, and it stays a warning. Reliefs set
    below every pump relief (back-pressure valves) are passed.

Source
    heat over the relief is all of pressure times flow: worked by hand in textbooks; default
    limits: common practice, no source
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.circuit.model import Step
from circuitcheck.components.pump import is_variable
from circuitcheck.rules._case import Case
from circuitcheck.rules._idle import is_idle, presses
from circuitcheck.rules._loads import actuators, commanded
from circuitcheck.rules._reliefs import Passing, passing
from circuitcheck.rules._rule import Needs, Outcome, Rule

METERS_FROM = 0.05
"""Share of the pump flow from which a throttle counts as metering; own choice."""


def check(case: Case) -> Iterator[Outcome]:
    most = case.limit("error_share").value
    for open_now in passing(case, case.limit("flow").value, case.limit("share").value):
        step = open_now.point.step
        if is_idle(case, step) or presses(case, step):
            continue
        metering = _metered_by(case, open_now)
        too_much = open_now.share > most and not metering
        expected = f" (to be expected while {metering} meters a fixed pump)" if metering else ""
        yield case.finding(
            f"relief {open_now.relief.name} passes {case.flow(open_now.flow)} in step "
            f"{step.name} at {case.bar(open_now.pressure)}: {case.power(open_now.heat)} of heat"
            f"{_gets(case, step)}{expected}",
            open_now.relief,
            severity=Severity.ERROR if too_much else Severity.WARNING,
            step=step.name,
            numbers=(
                Number("relief flow", open_now.flow, "flow"),
                Number("pressure", open_now.pressure, "pressure"),
                Number("heat", open_now.heat, "power"),
                Number("share of the pump flow", open_now.share, "share"),
            ),
        )


def _metered_by(case: Case, open_now: Passing) -> str:
    """Name of a valve that meters the flow of fixed pumps in the step, empty if none does."""
    if any(is_variable(pump) for pump in open_now.pumps):
        return ""
    for part in case.of_kind("flow control", "throttle", "orifice", "valve", "section"):
        state = open_now.point.parts[part.name]
        if part.kind.word in ("valve", "section"):
            meters = case.orders(open_now.point.step, part.name).opening < 1.0
        else:
            meters = state.state in ("regulating", "metering", "")
        if meters and abs(state.values["flow"]) > METERS_FROM * open_now.pumped:
            return part.name
    return ""


def _gets(case: Case, step: Step) -> str:
    point = case.point(step.name)
    moved = [part for part in actuators(case) if commanded(case, part, step)]
    if point is None or not moved:
        return ""
    flows = [f"{p.name} gets {case.flow(point.parts[p.name].values['flow'])}" for p in moved]
    return f", {', '.join(flows)}"


RULE = Rule(
    "relief-open-in-work",
    Severity.WARNING,
    check,
    Needs.NUMBERS,
    explains=("oil-too-hot",),
)
