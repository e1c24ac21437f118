"""Overall efficiency of a pump or motor over speed and pressure."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from circuitcheck.circuit.model import Orders
from circuitcheck.components._parts import Figure, Part
from circuitcheck.components._pump_controls import is_variable
from circuitcheck.components.pump import sides
from circuitcheck.laws.smoothing import Array
from circuitcheck.solver.operating import OperatingPoint, Solution
from circuitcheck.studies.bench import SHAFT, drive_at, motor_on_bench, on_bench, pressure_at
from circuitcheck.studies.chart import Axis, Field, Mark, NoCurveError, marks_together
from circuitcheck.studies.pump_curves import BEYOND, highest

GRID = 41
"""Points of each side of a map; own choice."""


def efficiency_map(solution: Solution, name: str) -> Field:
    """Give the overall efficiency of a pump or motor over speed and pressure.

    A pump turns at every speed against every pressure, at full stroke or what its cut-off and
    torque limit leave of it. A motor is fed with every flow against every torque. At the oil
    of the first step.

    Raises
    ------
    NoCurveError
        If there is no such pump or motor.
    """
    part = solution.circuit.parts.get(name)
    if part is None or part.kind.word not in ("pump", "motor"):
        known = ", ".join(p.name for p in solution.circuit.of_kind("pump", "motor")) or "none"
        raise NoCurveError(f"there is no pump or motor {name}; there are: {known}")
    points = [point for point in solution.points if point.success]
    if not points:
        raise NoCurveError("no step is solved")
    return _pump_map(solution, part, points) if part.kind.word == "pump" else _motor_map(
        solution, part, points
    )  # fmt: skip


def _pump_map(solution: Solution, part: Part, points: list[OperatingPoint]) -> Field:
    first, (out, inlet) = points[0], sides(part)
    speeds = [abs(point.parts[part.name].values["speed"]) for point in points]
    own = part.figure("speed")
    driver = part.driven_by
    rated = own if own is not None else _speed_of(solution, driver, max(speeds))
    fastest = 1.1 * max(*speeds, rated)
    pressures = np.linspace(0.03, 1.0, GRID) * highest(part, points)
    turning = np.linspace(0.1, 1.0, GRID) * fastest
    x, y = np.meshgrid(turning, pressures)
    alone = replace(part, driven_by=SHAFT)
    # the figures of the loss model hold at the rated speed; the step turns the drive
    turned = Orders(figures={"at": Figure(rated, "", "rotation")})
    full = Orders(figures={"at": Figure(1.0, "", "share")})
    step = replace(first.step, orders={SHAFT: turned, part.name: full})
    held: dict[str, Array | float] = {
        port: pressure_at(first, part.name, port) for port in first.parts[part.name].ports
    }
    held[out] = y.ravel() + float(np.asarray(held.get(inlet, 0.0)))
    held |= {signal: held[out] for signal in ("X",) if signal in held and inlet == "S"}
    held |= {signal: 0.0 for signal in ("Z",) if signal in held}
    drive = drive_at(SHAFT, rated)
    circuit = replace(solution.circuit, parts=solution.circuit.parts | {SHAFT: drive})
    bench = on_bench(circuit, alone, held, step, {(SHAFT, "at"): x.ravel()})
    found = bench.results["efficiency"]
    values = np.where(found > 0.0, found, np.nan).reshape(x.shape)
    marks = [
        Mark(p.step.name, abs(p.parts[part.name].values["speed"]),
             abs(pressure_at(p, part.name, out) - pressure_at(p, part.name, inlet)))
        for p in points
    ]  # fmt: skip
    return Field(
        f"{part.name}: overall efficiency",
        Axis("speed", "rotation"), Axis("pressure difference", "pressure"),
        Axis("efficiency", "share"), x, y, values,
        marks_together(marks, (0.02 * fastest, 0.03 * float(pressures[-1]))),
        ("At full stroke, or what its cut-off and torque limit leave of it.",)
        if is_variable(part) else (),
    )  # fmt: skip


def _speed_of(solution: Solution, driver: str | None, otherwise: float) -> float:
    drive = solution.circuit.parts.get(driver or "")
    found = None if drive is None else drive.figure("speed")
    return otherwise if found is None else found


def _motor_map(solution: Solution, part: Part, points: list[OperatingPoint]) -> Field:
    states = [point.parts[part.name].values for point in points]
    flow = BEYOND * max(abs(values["flow"]) for values in states)
    torque = BEYOND * max(abs(values["torque"]) for values in states)
    if flow <= 0.0 or torque <= 0.0:
        raise NoCurveError(f"{part.name} does not turn under load in any step")
    flows, torques = np.meshgrid(
        np.linspace(0.08, 1.0, GRID) * flow, np.linspace(0.05, 1.0, GRID) * torque
    )
    first = points[0]
    back = min(pressure_at(first, part.name, port) for port in ("A", "B"))
    bench = motor_on_bench(
        solution.circuit, part, flows.ravel(), torques.ravel(), back,
        pressure_at(first, part.name, "L"),
    )  # fmt: skip
    found = bench.results
    speed, drop = found["speed"], found["drop"]
    given, taken = found["torque"] * speed, drop * flows.ravel()
    turns = speed > 1e-3 * float(np.nanmax(speed))
    values = np.where(turns & (taken > 0.0), given / np.where(taken > 0.0, taken, 1.0), np.nan)
    shape = flows.shape
    marks = [
        Mark(p.step.name, abs(v["speed"]), abs(v["drop"]))
        for p, v in zip(points, states, strict=True)
        if abs(v["speed"]) > 0.0
    ]
    return Field(
        f"{part.name}: overall efficiency",
        Axis("speed", "rotation"), Axis("pressure difference", "pressure"),
        Axis("efficiency", "share"),
        speed.reshape(shape), drop.reshape(shape), values.reshape(shape),
        marks_together(marks, (0.02 * float(np.nanmax(speed)), 0.03 * float(np.nanmax(drop)))),
    )  # fmt: skip
