"""Curves of valves and actuators: pressure drop over flow, speed over load."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

import numpy as np

from circuitcheck.circuit.model import Orders, Step
from circuitcheck.components._parts import Part, PortKind
from circuitcheck.laws._law import BAR
from circuitcheck.laws.smoothing import Array
from circuitcheck.solver.operating import OperatingPoint, Solution
from circuitcheck.solver.results import view_of
from circuitcheck.studies.bench import held_step, on_bench, pressure_at
from circuitcheck.studies.chart import Axis, Chart, Curve, Mark, NoCurveError, marks_together

CONTROLS = (PortKind.PILOT, PortKind.SENSE, PortKind.DRAIN, PortKind.MEASURE)
"""Ports that stand at the pressure of a step while the drop of the others is looked at."""

HIGHEST = 700 * BAR
"""Pressure beyond which no drop is looked for; own choice."""

POINTS, COARSE = 300, 120
MORE = 1.3
"""Flow up to which a drop is shown, in the greatest of the steps and the rated one."""


def drop_chart(solution: Solution, name: str, way: str = "") -> Chart:
    """Give the pressure drop over the flow of a part, a curve for every way through it.

    The part stands on a bench: one port of the way has the pressure of the step that uses it
    most, the other so much more as the drop; pilots and drains have theirs. ``way`` names one,
    such as "P-A"; else all that the positions of the steps join.

    Raises
    ------
    NoCurveError
        If there is no such part or way, or no oil can pass.
    """
    part = solution.circuit.parts.get(name)
    if part is None:
        raise NoCurveError(f"there is no part {name}")
    measures = {measure.name for measure in part.kind.measures}
    if "speed" in measures and measures & {"force", "torque"}:
        raise NoCurveError(f"{name} moves; a drop over the flow is that of a valve or a line")
    points = [point for point in solution.points if point.success]
    ways = [w for w in _ways(part, points) if not way or f"{w[0]}-{w[1]}" == way]
    if not ways and not way and len(part.ports) > 1:
        raise NoCurveError(f"no oil passes {name} in these steps")
    if not ways:
        known = ", ".join(f"{a}-{b}" for a, b, _ in _ways(part, points)) or "none"
        raise NoCurveError(f"{name} has no such way for oil; it has: {known}")
    curves, marks = [], []
    most = MORE * max(_greatest(part, points), part.figure("flow") or 0.0, 1e-6)
    for a, b, point in ways:
        flow, drop = _drop(solution, part, (a, b), point, most)
        if np.nanmax(flow, initial=0.0) > 1e-4 * most:
            curves.append(Curve(f"{a} to {b}", flow, drop))
        marks += list(_marks(part, (a, b), points, most))
    if not curves:
        raise NoCurveError(f"no oil passes {name} in these steps")
    top = max(float(np.nanmax(curve.y)) for curve in curves)
    return Chart(
        title=f"{name} ({part.kind.word}): pressure drop over flow",
        x=Axis("flow", "flow"),
        y=Axis("pressure drop", "pressure"),
        curves=tuple(_alike(curves, most)),
        marks=marks_together(marks, (0.02 * most, 0.03 * top)),
    )


def _alike(curves: list[Curve], most: float) -> list[Curve]:
    """Put ways under one name that have the same drop, as the edges of a spool often have."""
    found: list[Curve] = []
    for curve in curves:
        for i, other in enumerate(found):
            apart = np.abs(np.interp(curve.y, other.y, other.x) - curve.x)
            if np.nanmax(apart, initial=0.0) < 0.005 * most:
                found[i] = Curve(f"{other.name}, {curve.name}", other.x, other.y)
                break
        else:
            found.append(curve)
    return found


def _ways(part: Part, points: list[OperatingPoint]) -> list[tuple[str, str, OperatingPoint]]:
    """Ways through a part that steps use: from, to, and the step with the greatest flow there.

    Of a spool those ports that its positions join; of other parts any two main ports.
    """
    main = [port.letter for port in part.ports if port.kind not in CONTROLS]
    found: dict[tuple[str, str], tuple[float, OperatingPoint]] = {}
    for point in points:
        ports = point.parts[part.name].ports
        for pair in _joined(part, point.step, [letter for letter in main if letter in ports]):
            first, second = sorted(pair, key=lambda letter: -ports[letter].flow)
            through = min(ports[first].flow, -ports[second].flow)
            known = found.get((first, second))
            if through > 1e-9 and (known is None or through > known[0]):
                found[first, second] = (through, point)
    if not found and len(main) == 2 and points:
        found[main[0], main[1]] = (0.0, points[0])
    return [(a, b, point) for (a, b), (_, point) in found.items()]


def _joined(part: Part, step: Step, letters: list[str]) -> Iterator[tuple[str, str]]:
    if not part.positions:
        yield from combinations(letters, 2)
        return
    said = step.orders.get(part.name, Orders()).position or part.rest
    for group in part.positions.get(said, ()):
        yield from combinations([letter for letter in letters if letter in group], 2)


def _greatest(part: Part, points: list[OperatingPoint]) -> float:
    flows = [abs(s.flow) for point in points for s in point.parts[part.name].ports.values()]
    return max(flows, default=0.0)


def _drop(
    solution: Solution, part: Part, way: tuple[str, str], point: OperatingPoint, most: float
) -> tuple[Array, Array]:
    """Flow [m3/s] and drop [Pa] of a way, up to the flow ``most``."""
    inlet, outlet = way
    controls = [
        port.letter for port in part.ports
        if port.kind in CONTROLS and port.letter in point.parts[part.name].ports
    ]  # fmt: skip
    base = pressure_at(point, part.name, outlet)

    def flow_at(drop: Array) -> Array:
        held: dict[str, Array | float] = {
            letter: pressure_at(point, part.name, letter) for letter in controls
        }
        held |= {inlet: base + drop, outlet: np.full(len(drop), base)}
        return on_bench(solution.circuit, part, held, point.step).flows[inlet]

    coarse = np.geomspace(1e-3 * BAR, HIGHEST, COARSE)
    over = coarse[flow_at(coarse) >= most]
    top = float(over[0]) if len(over) else float(coarse[-1])
    drop = top * np.linspace(0.0, 1.0, POINTS) ** 2
    flow = flow_at(drop)
    return np.where(flow <= 1.02 * most, flow, np.nan), drop


def _marks(
    part: Part, way: tuple[str, str], points: list[OperatingPoint], most: float
) -> Iterator[Mark]:
    for point in points:
        ports = point.parts[part.name].ports
        pairs = list(_joined(part, point.step, list(ports)))
        if way not in pairs and way[::-1] not in pairs:
            continue
        flow = min(ports[way[0]].flow, -ports[way[1]].flow)
        if flow > 1e-3 * most:
            yield Mark(point.step.name, flow, ports[way[0]].pressure - ports[way[1]].pressure)


# ---- speed over load -----------------------------------------------------------------------


def speed_chart(solution: Solution, name: str, step: str = "") -> Chart:
    """Give the speed of an actuator over its load, for a step or every step that loads it.

    The whole circuit is solved with every load; what earlier steps left is held.

    Raises
    ------
    NoCurveError
        If there is no such actuator, or no step gives it a load.
    """
    part = solution.circuit.parts.get(name)
    if part is None:
        raise NoCurveError(f"there is no part {name}")
    loaded = [
        (i, point)
        for i, point in enumerate(solution.points)
        if point.success
        and (not step or point.step.name == step)
        and "load" in point.step.orders.get(name, Orders()).figures
    ]
    if not loaded or solution.answer is None:
        asked = f"step {step} does not give" if step else "no step gives"
        raise NoCurveError(f"{asked} {name} a load; write, for example:  {name} load 20 kN")
    curves, marks = [], []
    quantity = loaded[0][1].step.orders[name].figures["load"].quantity
    speed_of = {m.name: m.quantity for m in part.kind.measures}.get("speed", "speed")
    for number, point in loaded:
        own = point.step.orders[name].figures["load"].value
        load, speed = _speeds(solution, part, number, own)
        curves.append(Curve(point.step.name, load, speed))
        marks.append(Mark(point.step.name, own, abs(point.parts[name].values["speed"])))
    return Chart(
        title=f"{name}: speed over load",
        x=Axis("load", quantity),
        y=Axis("speed", speed_of),
        curves=tuple(_same_speeds(curves)),
        marks=tuple(marks),
    )


def _speeds(solution: Solution, part: Part, number: int, own: float) -> tuple[Array, Array]:
    """Loads from none to where the part stands still, and its speed without sign."""
    answer = solution.answer
    assert answer is not None

    def speed_at(loads: Array) -> Array:
        found = held_step(answer, number, {(part.name, "load"): loads}, len(loads))
        speed = np.abs(part.kind.results(part, view_of(found, part))["speed"])
        return np.where(found.found.solved, speed, np.nan)

    size = max(abs(own), 1.0)
    coarse = np.concatenate([[0.0], np.geomspace(1e-2 * size, 1e3 * size, COARSE)])
    speed = speed_at(coarse)
    still = coarse[speed <= 1e-3 * np.nanmax(speed)]
    top = 1.05 * float(still[0]) if len(still) else 3.0 * size
    low = min(own, 0.0)
    loads = np.linspace(low, max(top, 1.05 * own), POINTS)
    return loads, speed_at(loads)


def _same_speeds(curves: list[Curve]) -> list[Curve]:
    """Put steps under one name whose speed over the load is the same."""
    found: list[Curve] = []
    for curve in curves:
        for i, other in enumerate(found):
            apart = np.abs(np.interp(curve.x, other.x, other.y) - curve.y)
            if np.nanmean(apart) < 2e-3 * np.nanmax(other.y):
                longer = other if other.x[-1] >= curve.x[-1] else curve
                found[i] = Curve(f"{other.name}, {curve.name}", longer.x, longer.y)
                break
        else:
            found.append(curve)
    return found
