"""Why a result is what it is: what sets it, and the way from there to the figure."""

from __future__ import annotations

import math
from dataclasses import dataclass

from circuitcheck.basics.findings import Finding
from circuitcheck.basics.quantities import System
from circuitcheck.basics.shown import Shown
from circuitcheck.circuit.desk import Desk
from circuitcheck.circuit.model import Circuit
from circuitcheck.circuit.subjects import Subject
from circuitcheck.circuit.varied import OIL_NAME, find_varied, words_of
from circuitcheck.components._parts import Part
from circuitcheck.solver.asked import Results, find_result
from circuitcheck.solver.operating import OperatingPoint, Solution
from circuitcheck.solver.sensitivity import Sensitivity, all_figures, sensitivities
from circuitcheck.studies.why_network import Network
from circuitcheck.studies.why_results import walk
from circuitcheck.studies.why_trail import Reason
from circuitcheck.studies.why_walk import Walk

COUNTS = 0.02
"""Least change, per cent for one per cent, for which a figure is listed; own choice."""

MOST = 6

ASKED = "result"
"""Where a finding about the name stands that nobody wrote into a file."""


@dataclass(frozen=True)
class Mover:
    """A figure that moves the result: by ``share`` per cent for one per cent of it.

    ``given``: whether the text or the step gives it, or it was assumed.
    """

    name: str
    part: str
    at: float
    quantity: str
    share: float
    given: bool


@dataclass(frozen=True)
class Why(Shown):
    """The answer: ``value`` in SI, what sets it in words and by part, the walk, what moves it.

    ``solved`` is false where the step has no operating point; then there is only ``verdict``.
    ``units`` are those in which it shows itself.
    """

    result: str
    step: str
    value: float
    quantity: str
    verdict: str
    limits: tuple[str, ...]
    reason: Reason | None
    movers: tuple[Mover, ...]
    solved: bool = True
    units: System = "metric"


def why(solution: Solution, result: str, step: str, findings: list[Finding]) -> Why | None:
    """Give why a result is what it is; None, with findings, where there is no such result.

    Raises ``KeyError`` where there is no such step.
    """
    circuit, answer = solution.circuit, solution.answer
    names = [point.step.name for point in solution]
    if answer is None or (step not in names if step else len(names) != 1):
        raise KeyError(step)
    number = names.index(step) if step else 0
    point = solution.points[number]
    said = spoken(result, circuit)
    subject = find_result(Desk({}, set(), findings), answer, words_of(said, ASKED, 1))
    if subject is None:
        return None
    if not point.success:
        verdict = f"step {point.step.name} has no operating point: {point.message}"
        return Why(said, point.step.name, math.nan, subject.quantity, verdict, (), None, (), False)
    value = float(Results(answer).of(subject)[number])
    trail = Walk(circuit, point, Network(answer, number))
    reason = walk(trail, subject, said, value)
    moved = _movers(solution, _pushed(subject, point), number)
    limits = _limits(moved, circuit, point)
    verdict = _verdict(circuit, point, value, limits, moved, reason)
    movers = moved[:MOST]
    return Why(said, point.step.name, value, subject.quantity, verdict, limits, reason, movers)


def _pushed(subject: Subject, point: OperatingPoint) -> Subject:
    """Of a stalled rod it is the pressure that pushes it that something sets."""
    state = point.parts.get(subject.name)
    if state is None or state.state != "stalled" or subject.what != "speed" or not state.ports:
        return subject
    port = max(state.ports, key=lambda name: state.ports[name].pressure)
    return Subject(subject.name, port, "pressure", "pressure")


def spoken(result: str, circuit: Circuit) -> str:
    """Give a result as claims write it: "C1.speed" as "C1 speed"; points in names stay."""
    words = " ".join(result.split())
    return words if words.split(" ")[0] in circuit.parts else words.replace(".", " ")


def _movers(solution: Solution, subject: Subject, number: int) -> tuple[Mover, ...]:
    """Figures that move a result, the one that counts most first."""
    circuit, answer = solution.circuit, solution.answer
    assert answer is not None
    step = answer.case.steps[number]
    desk = Desk({}, set(), [])
    figures = []
    for name in all_figures(circuit, step):
        found = find_varied(desk, circuit, [step], words_of(name, "", 1))
        # a figure of zero has no share, and to vary it may bring in a law that it switches off
        if found is not None and _valued(circuit, found.part, found.name, number, solution):
            figures.append(found)
    try:
        rows = sensitivities(answer, subject, figures, number)
    except ValueError:
        return ()  # it stands in a corner where slopes are not defined; the walk still holds
    rows.sort(key=lambda row: -_weight(row))
    told = [row for row in rows if _weight(row) >= COUNTS]
    return tuple(_mover(circuit, row, number, solution) for row in told)


def _weight(row: Sensitivity) -> float:
    """How much a figure counts: share where there is one, zero where it says nothing."""
    return 0.0 if math.isnan(row.share) or not math.isfinite(row.share) else abs(row.share)


def _valued(circuit: Circuit, part: str, name: str, number: int, solution: Solution) -> bool:
    if part == OIL_NAME and part not in circuit.parts:
        return True
    orders = solution.points[number].step.orders.get(part)
    if orders is not None and name in orders.figures:
        return bool(orders.figures[name].value)
    return bool(circuit.parts[part].figure(name))


def _mover(circuit: Circuit, row: Sensitivity, number: int, solution: Solution) -> Mover:
    figure = row.figure
    part = circuit.parts.get(figure.part)
    orders = solution.points[number].step.orders.get(figure.part)
    ordered = orders is not None and figure.name in orders.figures
    given = ordered or part is None or part.given(figure.name)
    return Mover(figure.text, figure.part, row.at, figure.quantity, row.share, given)


def _limits(movers: tuple[Mover, ...], circuit: Circuit, point: OperatingPoint) -> tuple[str, ...]:
    """Parts that set the result, the first one most; sizes of actuators do not set it."""
    found: dict[str, float] = {}
    for mover in movers:
        if mover.part in circuit.parts and not _size(circuit.parts[mover.part], mover):
            found[mover.part] = max(found.get(mover.part, 0.0), abs(mover.share))

    def rank(name: str) -> tuple[float, bool, bool]:
        # of what counts alike: first what regulates, last the drive that only turns a pump
        kind = circuit.parts[name].kind
        regulates = (kind.word, point.parts[name].state) in PHRASES
        return -round(found[name], 1), kind.drives, not regulates

    ranked = sorted(found, key=rank)
    most = found[ranked[0]] if ranked else 0.0
    return tuple(name for name in ranked if found[name] >= max(0.3 * most, 0.05))


def _size(part: Part, mover: Mover) -> bool:
    """Whether a figure is a size of an actuator, in distinction to what is asked of it."""
    name = mover.name.removeprefix(f"{part.name} ")
    asked = {order.name for order in part.kind.orders}
    return part.kind.word in ACTUATORS and name not in asked and name not in LOADS


ACTUATORS = ("cylinder", "telescopic cylinder", "motor", "rotary actuator", "winch", "wheel")


def _verdict(
    circuit: Circuit, point: OperatingPoint, value: float,
    limits: tuple[str, ...], movers: tuple[Mover, ...], reason: Reason,
) -> str:  # fmt: skip
    if math.isnan(value):
        return f"nothing decides it: {reason.said}"
    if not limits:
        figures = ", ".join(mover.name for mover in movers[:3])
        return f"set by {figures}" if figures else reason.said
    if value == 0.0:
        return "; ".join([reason.said, *(_phrase(circuit, point, n, movers) for n in limits[:2])])
    return "; ".join(_phrase(circuit, point, name, movers) for name in limits[:3])


PHRASES = {
    ("pump", "delivering"): "gives all the oil it can",
    ("pump", "on full stroke"): "gives all the oil it can",
    ("pump", "on cut-off"): "stands at its cut-off",
    ("pump", "on margin"): "keeps its margin over the load signal",
    ("pump", "on torque limit"): "gives what its torque limit allows",
    ("pump", "at command"): "gives what its command asks",
    ("relief", "open"): "stands open and holds the pressure",
    ("flow control", "regulating"): "keeps its set flow",
    ("flow control", "short of drop"): "lacks drop and throttles",
    ("reducing valve", "regulating"): "keeps the pressure behind it",
    ("counterbalance", "lowering"): "holds the load back",
}
"""What a part does that sets a result, by kind and state."""

LOADS = ("weight", "mass", "spring", "drag", "torque")
"""Figures of actuators that say what stands against them."""

ORDERED = {"travels": "way of", "at": "place of", "gains": "change of speed of", "ramp": "ramp of"}
"""What a step orders of an actuator that is no load, in words."""

OF_KIND = {
    "electric motor": "turns it", "engine": "turns it",
    "throttle": "throttles", "orifice": "throttles", "valve": "throttles",
    "tank": "is where the oil goes",
}  # fmt: skip


def _phrase(circuit: Circuit, point: OperatingPoint, name: str, movers: tuple[Mover, ...]) -> str:
    part, state = circuit.parts[name], point.parts[name].state
    kind = part.kind.word
    known = f"{name} ({kind}{f', {state}' if state else ''})"
    own = [m for m in movers if m.part == name and not _size(part, m)]
    figure = max(own, key=lambda m: abs(m.share)).name.removeprefix(f"{name} ")
    if kind in ACTUATORS:
        return f"the {ORDERED.get(figure, f'{figure} on')} {known} asks for it"
    does = PHRASES.get((kind, state)) or OF_KIND.get(kind) or f"sets it by its {figure}"
    return f"{known} {does}"
