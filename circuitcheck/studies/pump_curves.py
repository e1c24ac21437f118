"""Flow over pressure of a pump with its controls, beside what the circuit takes in each step."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from circuitcheck.components._parts import Part
from circuitcheck.components._pump_controls import is_loop, is_variable
from circuitcheck.components.pump import sides
from circuitcheck.laws._law import BAR
from circuitcheck.laws.smoothing import Array
from circuitcheck.solver.operating import OperatingPoint, Solution
from circuitcheck.studies.bench import drive_at, load_line, on_bench, pressure_at
from circuitcheck.studies.chart import (
    LOAD_LINE,
    Axis,
    Chart,
    Curve,
    Level,
    Mark,
    NoCurveError,
    marks_together,
)

POINTS = 240
LINE_POINTS = 50
"""Points of a curve, and of a load line where it lies flat and where it rises; own choice."""

ALIKE = 2.0 * BAR
"""Signals that differ less give one curve [Pa]; own choice."""

BEYOND = 1.15
"""How far curves go beyond the highest pressure or flow of the steps; own choice."""

SETTINGS = {
    "margin": "margin",
    "compensator": "cut-off",
    "torque limit": "torque limit",
    "power limit": "power limit",
}
"""Figures that shape the curve, and what they are called beside it."""

STILL = 1e-3
"""Speed up to which a pump, turned by a motor that has stalled, stands [rad/s]; own choice."""

PRESSURE, FLOW = Axis("pressure", "pressure"), Axis("flow", "flow")


@dataclass(frozen=True)
class Condition:
    """What decides the curve of a pump in a step: signals [Pa], orders; the steps alike."""

    point: OperatingPoint
    delivers: str
    signals: tuple[tuple[str, float], ...]
    orders: tuple[tuple[str, float], ...]
    steps: tuple[str, ...]


def pump_chart(solution: Solution, name: str, loaded: bool = True) -> Chart:
    """Give flow over pressure of a pump, with its operating points and load lines.

    A curve for every signal, stroke or drive speed that steps ask for; the pump stands on a
    bench with its own drive. A load line is what the rest of the circuit takes in a step at
    every pressure, the pump taken out; where it meets the curve the step works. They take
    most of the time, and are left out where not ``loaded``.

    Raises
    ------
    NoCurveError
        If there is no such pump, no step is solved, or the pump turns in none.
    """
    part = _pump(solution, name)
    solved = [point for point in solution.points if point.success]
    if not solved:
        raise NoCurveError("no step is solved")
    points = [point for point in solved if abs(point.parts[name].values["speed"]) > STILL]
    if not points:
        raise NoCurveError(f"{name} turns in no step")
    conditions = list(_conditions(part, points))
    top = highest(part, points)
    pressures = np.linspace(0.0, top, POINTS)
    curves = []
    for condition in conditions:
        flow = _flow(solution, part, condition, pressures)
        named = _named(part, condition, len(conditions))
        curves.append(Curve(named, pressures, flow, told=len(conditions) == 1))
    most = float(np.nanmax([np.nanmax(curve.y) for curve in curves]))
    marks = [
        Mark(point.step.name, pressure_at(point, name, out), flow)
        for point in points
        for out, flow in (_delivery(part, point),)
    ]
    lines = list(_load_lines(solution, part, points, top, most)) if loaded else []
    return Chart(
        title=f"{name}: flow over pressure",
        x=PRESSURE,
        y=FLOW,
        curves=(*curves, *lines),
        marks=marks_together(marks, (0.02 * top, 0.03 * most)),
        levels=tuple(_levels(part)),
        notes=tuple(_notes(part, bool(lines))),
    )


def _pump(solution: Solution, name: str) -> Part:
    part = solution.circuit.parts.get(name)
    pumps = [pump.name for pump in solution.circuit.of_kind("pump")]
    if part is None or part.kind.word != "pump":
        known = ", ".join(pumps) or "none"
        raise NoCurveError(f"there is no pump {name}; pumps of this circuit: {known}")
    return part


def _delivery(part: Part, point: OperatingPoint) -> tuple[str, float]:
    """Port at which a pump delivers in a step, and the flow out of it [m3/s]."""
    out, inlet = sides(part)
    ports = point.parts[part.name].ports
    if inlet != "S" and ports[inlet].flow < ports[out].flow:
        out = inlet
    return out, -ports[out].flow


def _conditions(part: Part, points: list[OperatingPoint]) -> Iterator[Condition]:
    """Conditions of the steps, those that are alike put together."""
    found: list[Condition] = []
    signals_of = [port for port in ("X", "Z") if port in {p.letter for p in part.ports}]
    for point in points:
        out, _ = _delivery(part, point)
        signals = tuple((port, pressure_at(point, part.name, port)) for port in signals_of)
        orders = tuple(
            (f"{who} {what}", figure.value)
            for who in (part.name, part.driven_by or "")
            if who in point.step.orders
            for what, figure in point.step.orders[who].figures.items()
        ) + (("oil", point.oil_degC),)
        for i, other in enumerate(found):
            near = all(
                abs(a[1] - b[1]) <= ALIKE for a, b in zip(signals, other.signals, strict=True)
            )
            if near and orders == other.orders and out == other.delivers:
                found[i] = replace(other, steps=(*other.steps, point.step.name))
                break
        else:
            found.append(Condition(point, out, signals, orders, (point.step.name,)))
    yield from found


def _named(part: Part, condition: Condition, many: int) -> str:
    return part.name if many == 1 else f"{part.name} in {', '.join(condition.steps)}"


def _notes(part: Part, lines: bool) -> Iterator[str]:
    """What sets the curve, and what the dashed lines are."""
    settings = [
        f"{words} {part.figures[name].text}"
        for name, words in SETTINGS.items()
        if name in part.figures and part.figures[name].text
    ]
    if settings and is_variable(part):
        yield f"{part.name}: {', '.join(settings)}."
    if any(port.letter == "X" for port in part.ports) and not is_loop(part):
        yield "A curve for every signal at X: the pump holds its margin over it."
    if lines:
        yield "Dashed: what the circuit takes in a step, the pump taken out."


def _flow(solution: Solution, part: Part, condition: Condition, pressures: Array) -> Array:
    """Flow that a pump delivers at pressures held at its outlet [m3/s]."""
    point, out = condition.point, condition.delivers
    held: dict[str, Array | float] = {
        port: pressure_at(point, part.name, port) for port in point.parts[part.name].ports
    }
    held[out] = pressures
    bench = on_bench(
        solution.circuit, part, held, point.step, beside=_turning(solution, part, point)
    )
    return -bench.flows[out]


def _turning(solution: Solution, part: Part, point: OperatingPoint) -> dict[str, Part]:
    """What turns a pump in place of a hydraulic motor, which stands on no bench: its speed."""
    drive = solution.circuit.parts.get(part.driven_by or "")
    if drive is None or not drive.ports:
        return {}
    return {drive.name: drive_at(drive.name, point.parts[part.name].values["speed"])}


def highest(part: Part, points: list[OperatingPoint]) -> float:
    """Pressure up to which a pump is shown [Pa]."""
    worked = max(pressure_at(point, part.name, port) for point in points for port in sides(part))
    cutoff = part.figure("compensator") or 0.0
    return BEYOND * max(worked, cutoff, 10.0 * BAR)


def _load_lines(
    solution: Solution, part: Part, points: list[OperatingPoint], top: float, most: float
) -> Iterator[Curve]:
    if sides(part)[1] != "S" or solution.answer is None:
        return
    steps = [point.step.name for point in solution.points]
    for point in points:
        number = steps.index(point.step.name)
        coarse = np.linspace(0.0, top, LINE_POINTS)
        taken = load_line(solution.answer, number, part.name, "P", coarse)
        first = max(int(np.argmax(taken > 0.02 * most)) - 1, 0)
        last = first + int(np.argmax(np.append(taken[first:], np.inf) > 1.1 * most))
        rising = np.linspace(coarse[first], coarse[min(last, LINE_POINTS - 1)], LINE_POINTS)
        finer = load_line(solution.answer, number, part.name, "P", rising)
        pressures, once = np.unique(np.concatenate([coarse, rising]), return_index=True)
        taken = np.concatenate([taken, finer])[once]
        shown = np.where((taken >= -1e-9) & (taken <= 1.1 * most), taken, np.nan)
        yield Curve(point.step.name, pressures, shown, LOAD_LINE)


def _levels(part: Part) -> Iterator[Level]:
    for name, words in (("compensator", "cut-off"), ("rated", "rated")):
        value = part.figure(name)
        if value is not None and (part.given(name) or name == "compensator"):
            yield Level(words, value)
