"""Tables of the operating points: steps, pressures, and what every part does in a step."""

from __future__ import annotations

import math
from collections.abc import Iterator

from circuitcheck.basics.quantities import System, number_in, show, unit_label
from circuitcheck.reports.control_tables import controls_table
from circuitcheck.reports.figures import (
    UNKNOWN,
    bare,
    high_and_drop,
    percent,
    valued,
    valued_with_unit,
)
from circuitcheck.reports.result import Result, label, told_junctions
from circuitcheck.reports.tables import Column, Table, figures, table
from circuitcheck.solver.operating import HELD, INDETERMINATE, OperatingPoint, PartState

MARKS = {HELD: "~", INDETERMINATE: "?"}
SPEEDS, PUSHES = ("speed",), ("force", "torque")
WORKING_ENDS = {"cylinder": ("cap", "rod"), "motor": ("A", "B")}
"""Kinds with two pressures worth reading side by side."""
NOT_SOLVED = "not solved"
DRIVING = 1.0
"""Power [W] from which a load counts as driving: creep over leakage is no more; own choice."""


def steps_table(result: Result, units: System) -> Table:
    """Duration and power of every step, and of the whole cycle where all durations are known."""
    rows = [_step_row(point, units) for point in result.points]
    times = [point.duration for point in result.points]
    notes = []
    known = [time for time in times if time is not None]
    if len(known) == len(times) > 1 and result.solved and sum(known) > 0.0:
        whole = sum(known)

        totals = [point.totals for point in result.points]
        means = [
            sum(power * time for power, time in zip(powers, known, strict=True)) / whole
            for powers in (
                [total.input for total in totals],
                [total.useful for total in totals],
                [total.loss for total in totals],
            )
        ]
        rows.append(
            ("whole cycle", bare(whole, "time", units))
            + tuple(bare(value, "power", units) for value in means)
            + (_useful_share(means[1], means[0]),)
        )
        notes.append("Whole cycle: sum of the times, mean of the powers over time.")
    if any(point.success and point.totals.useful < -DRIVING for point in result.points):
        notes.append("Useful below zero: the load drives the machine; its power is lost, too.")
    notes += stores_note(result)
    return table(
        "Steps",
        (
            Column("Step"),
            figures("Time", "time", units),
            figures("Input", "power", units),
            figures("Useful", "power", units),
            figures("Loss", "power", units),
            Column("Useful/input", "", True),
        ),
        rows,
        notes,
    )


def stores_note(result: Result) -> list[str]:
    """Say that steps in which a store fills or empties stand here as they end."""
    stores = [] if result.circuit is None else result.circuit.of_kind("accumulator")
    if not stores:
        return []
    named = ", ".join(part.name for part in stores)
    return [
        f"Loss and heat with {named}: every step counts whole as it stands at its end, which "
        "can be far off the mean; 'circuitcheck duty' follows the oil stored and gives the mean."
    ]


def _step_row(point: OperatingPoint, units: System) -> tuple[str, ...]:
    name = point.step.name
    if not point.success:
        return (name, NOT_SOLVED, "", "", "", "")
    totals = point.totals
    time = "" if point.duration is None else bare(point.duration, "time", units)
    powers = (totals.input, totals.useful, totals.loss)
    return (
        name,
        time,
        *(bare(power, "power", units) for power in powers),
        _useful_share(totals.useful, totals.input),
    )


def _useful_share(useful: float, brought: float) -> str:
    """Share of useful power; none where the load drives or next to nothing is brought in."""
    return percent(useful / brought) if brought > 1.0 and useful > -DRIVING else ""


def pressures_table(result: Result, units: System) -> Table:
    """Pressure of every junction that matters, a column per step."""
    circuit = result.circuit
    rows = [
        (label(circuit, name), *(_pressure(point, name, units) for point in result.points))
        for name in told_junctions(result)
        if circuit is not None
    ]
    columns = [Column("At"), *(Column(point.step.name, "", True) for point in result.points)]
    marks = {cell[-1] for row in rows for cell in row[1:] if cell and cell[-1] in "~?"}
    notes = []
    if "~" in marks:
        notes.append("~ held by leakage: a closed volume whose pressure only leakage decides.")
    if "?" in marks:
        notes.append("? indeterminate: nothing in the circuit decides this pressure.")
    return table(f"Pressures, {unit_label('pressure', units)}", columns, rows, notes)


def _pressure(point: OperatingPoint, name: str, units: System) -> str:
    if not point.success:
        return "-"
    state = point.junctions[name]
    if state.status == INDETERMINATE:
        return MARKS[INDETERMINATE]
    return bare(state.pressure, "pressure", units) + MARKS.get(state.status, "")


def point_tables(point: OperatingPoint, units: System) -> list[Table]:
    """Tables of one solved step: machines; valves and the like; lines."""
    machines, lines, others = [], [], []
    for state in point.parts.values():
        if state.kind == "line":
            lines.append(state)
        elif {"speed", "torque"} & state.values.keys():
            machines.append(state)
        elif state.ports and state.kind != "tank":
            others.append(state)
    found = [
        _machines(machines, units),
        controls_table(machines, units),
        _others(others, units),
        _lines(lines, units),
    ]
    return [made for made in found if made.rows]


def _machines(states: list[PartState], units: System) -> Table:
    two_ended = any(state.kind in WORKING_ENDS for state in states)
    return table(
        "Drives, pumps, actuators",
        (
            Column("Part"),
            Column("State"),
            figures("Flow", "flow", units),
            figures("Pressure", "pressure", units),
            Column("Speed", "", True),
            Column("Force, torque", "", True),
            figures("Power", "power", units),
            figures("Heat", "power", units),
        ),
        (
            (
                state.name,
                state.state,
                valued(state, "flow", units),
                _working_pressure(state, units),
                valued_with_unit(state, SPEEDS, units),
                valued_with_unit(state, PUSHES, units),
                valued(state, "power", units),
                bare(state.loss, "power", units),
            )
            for state in states
        ),
        ["Pressure of a cylinder: cap / rod end; of a motor: A / B."] if two_ended else [],
    )


def _working_pressure(state: PartState, units: System) -> str:
    ends = WORKING_ENDS.get(state.kind, ())
    both = [state.ports[end].pressure for end in ends if end in state.ports]
    if both:
        return " / ".join(bare(pressure, "pressure", units) for pressure in both)
    return valued(state, "pressure", units)


def _others(states: list[PartState], units: System) -> Table:
    return table(
        "Valves, filters, instruments",
        (
            Column("Part"),
            Column("Kind"),
            Column("State"),
            figures("Flow", "flow", units),
            figures("Highest", "pressure", units),
            figures("Drop", "pressure", units),
            figures("Heat", "power", units),
        ),
        (row for state in states for row in _other(state, units)),
    )


def _other(state: PartState, units: System) -> Iterator[tuple[str, ...]]:
    span = high_and_drop(state)
    high = drop = ""
    if span is not None:
        high = bare(span[0], "pressure", units)
        drop = bare(span[1], "pressure", units) if len(state.ports) > 1 else ""
    flow = valued(state, "flow", units)
    heat = bare(state.loss, "power", units) if len(state.ports) > 1 else ""
    yield (state.name, state.kind, state.state, flow, high, drop, heat)


def _lines(states: list[PartState], units: System) -> Table:
    return table(
        "Lines",
        (
            Column("Line"),
            figures("Flow", "flow", units),
            Column("Oil speed", "", True),
            figures("Drop", "pressure", units),
            Column("Flow is"),
            figures("Heat", "power", units),
        ),
        (
            (
                state.name,
                valued(state, "flow", units),
                _oil_speed(state, units),
                valued(state, "drop", units),
                state.state if abs(state.values["flow"]) > STANDING else "",
                bare(state.loss, "power", units),
            )
            for state in states
        ),
        ["Flow and drop: minus means from the far end of the line to its near end."],
    )


STANDING = 1e-8
"""Flow [m3/s] below which a line only carries leakage: 0.6 mL/min; own choice."""


def _oil_speed(state: PartState, units: System) -> str:
    """Oil speed in m/s or ft/s, as the trade gives it, whatever rods move in."""
    inch = unit_label("speed", units).startswith(("in", "ft"))
    shown = {"speed": "ft/s" if inch else "m/s"}
    return f"{bare(state.values['speed'], 'speed', shown)} {shown['speed']}"


def solver_table(result: Result, units: System) -> Table:
    """How every step was solved and what was left over."""
    flow = unit_label("flow", units)
    return table(
        "How the steps were solved",
        (
            Column("Step"),
            Column("Method"),
            Column("Iterations", "", True),
            Column("Worst imbalance", flow, True),
            Column("Power error", "", True),
        ),
        (
            (
                point.step.name,
                point.method if point.success else NOT_SOLVED,
                str(point.iterations),
                f"{number_in(point.imbalance, 'flow', units):.1e}",
                UNKNOWN if math.isnan(point.power_error) else f"{point.power_error:.1e}",
            )
            for point in result.points
        ),
        ["Imbalance: worst sum of flows at a junction. Power error: share not accounted for."],
    )


def oil_line(point: OperatingPoint, name: str, units: System) -> str:
    """Give the oil as it is in a step: grade, temperature, viscosity, density."""
    shown = (
        show(point.oil_degC, "temperature", units),
        show(point.nu, "viscosity", units),
        show(point.rho, "density", units),
    )
    return f"Oil {name} at {shown[0]}: {shown[1]}, {shown[2]}"
