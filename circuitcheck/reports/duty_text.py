"""The duty cycle for people: energy, loads, strokes, stores, tank and the heat of the oil."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from circuitcheck.basics.quantities import System, show
from circuitcheck.reports.duty_heat_text import heat_lines
from circuitcheck.reports.figures import bare, percent
from circuitcheck.reports.tables import Column, Table, figures, table
from circuitcheck.reports.terminal import Sheet
from circuitcheck.studies.duty import Duty
from circuitcheck.studies.energy import BACK, LOAD, LOSS, STORE, Flow
from circuitcheck.studies.warming import settling_volume

MOST_ROWS = 12
"""Rows of the table of losses; what is smaller stands in one row."""

LEAST_SHARE = 0.003
"""Share of the energy under which a flow gets no row of its own; own choice."""

WORDS = {LOAD: "useful", STORE: "left in the store", LOSS: "heat", BACK: "back to the drive"}
WHY = {
    "settles": "the temperature at which the oil settles",
    "asked": "as asked for",
    "text": "that of the text, for the oil does not settle",
}


def write_duty(sheet: Sheet, duty: Duty, units: System) -> None:
    """Write the whole duty cycle at 80 columns."""
    circuit = duty.circuit
    named = ", ".join(filter(None, (circuit.title, circuit.issue and f"issue {circuit.issue}")))
    sheet.heading(f"Duty cycle: {named or 'circuit'}")
    sheet.paragraph(rests_on(duty, units))
    for remark in duty.remarks:
        sheet.paragraph(remark, "! ", "  ", style="bold")
    for made in tables(duty, units):
        sheet.table(made)
    sheet.section("Heat of the oil")
    for line in heat_lines(duty, units):
        sheet.paragraph(line, "  ", "    ")


def rests_on(duty: Duty, units: System) -> str:
    """Say how long the cycle is, and of which oil all its figures are."""
    return (
        f"Cycle of {show(duty.time, 'time', units)}, over and over. All figures with oil "
        f"{duty.circuit.oil.name} at {show(duty.degC, 'temperature', units)} "
        f"({show(duty.nu, 'viscosity', units)}): {WHY[duty.origin]}."
    )


def tables(duty: Duty, units: System) -> Iterator[Table]:
    """Give the tables that have rows."""
    every = (
        steps_table(duty, units),
        flows_table(duty, units),
        drives_table(duty, units),
        strokes_table(duty, units),
        stores_table(duty, units),
        tanks_table(duty, units),
    )
    yield from (made for made in every if made.rows)


def steps_table(duty: Duty, units: System) -> Table:
    """Time, mean powers and heat of every step, and of the whole cycle."""
    rows = [
        (
            step.name,
            bare(step.time, "time", units),
            *(bare(v, "power", units) for v in (step.input, step.useful, step.loss)),
            bare(step.stored, "power", units) if duty.stores else "",
            bare(step.input * step.time, "energy", units),
            bare(step.loss * step.time, "energy", units),
        )
        for step in duty.steps
    ]
    time = np.array([step.time for step in duty.steps])

    def whole(name: str) -> float:
        return float(np.array([getattr(step, name) for step in duty.steps]) @ time)

    sums = {name: whole(name) for name in ("input", "useful", "loss", "stored")}
    rows.append(
        (
            "whole cycle",
            bare(duty.time, "time", units),
            *(bare(sums[n] / duty.time, "power", units) for n in ("input", "useful", "loss")),
            bare(sums["stored"] / duty.time, "power", units) if duty.stores else "",
            bare(sums["input"], "energy", units),
            bare(sums["loss"], "energy", units),
        )
    )
    notes = ["Powers: means over the step. Input: what drives and heaters bring."]
    if duty.stores:
        notes.append(
            "Stored: into stores; minus: out of them. What is left over the cycle is work "
            "that the steps, each taken at its end, count too much."
        )
    return table(
        "Energy of the steps",
        (
            Column("Step"),
            figures("Time", "time", units),
            figures("Input", "power", units),
            figures("Useful", "power", units),
            figures("Loss", "power", units),
            figures("Stored", "power", units),
            figures("In", "energy", units),
            figures("Heat", "energy", units),
        ),
        rows,
        notes,
    )


def flows_table(duty: Duty, units: System) -> Table:
    """Where the energy of a cycle comes from and goes to, the greatest first."""
    brought = duty.flows.brought
    rows = [("in", _source(flow), "", *_amounts(flow, duty, units)) for flow in duty.flows.into]
    out = sorted(duty.flows.out, key=lambda flow: (flow.kind == LOSS, -flow.power))
    few = [f for f in out if f.power >= LEAST_SHARE * brought or f.kind != LOSS][:MOST_ROWS]
    for flow in few:
        kind = duty.circuit.parts[flow.part].kind.word if flow.part in duty.circuit.parts else ""
        rows.append(("out", flow.part, f"{WORDS[flow.kind]}, {kind}", *_amounts(flow, duty, units)))
    rest = sum(flow.power for flow in out if flow not in few)
    if rest > 0.0:
        many = f"{len(out) - len(few)} others"
        rows.append(("out", many, "heat", *_amounts(Flow(LOSS, "", rest), duty, units)))
    return table(
        "Where the energy goes, over the cycle",
        (
            Column("Way"),
            Column("Part"),
            Column("As"),
            figures("Mean", "power", units),
            figures("A cycle", "energy", units),
            Column("Share", "", True),
        ),
        rows,
        [f"Useful {percent(duty.flows.useful / brought)} of what comes in."] if brought else [],
    )


def _source(flow: Flow) -> str:
    return f"load on {flow.part}" if flow.kind == LOAD else flow.part


def _amounts(flow: Flow, duty: Duty, units: System) -> tuple[str, str, str]:
    return (
        bare(flow.power, "power", units),
        bare(flow.power * duty.time, "energy", units),
        percent(flow.power / duty.flows.brought),
    )


def drives_table(duty: Duty, units: System) -> Table:
    """Mean, rms and peak of every drive against its rating."""
    rows = []
    for drive in duty.drives:
        rows.append(
            (
                drive.name,
                *(bare(v, "power", units) for v in (drive.mean, drive.rms, drive.peak)),
                drive.peak_step,
                "" if drive.rated is None else bare(drive.rated, "power", units),
                *_known(drive.rms_torque, drive.peak_torque, units),
                "" if drive.load is None else percent(drive.load),
                "" if drive.heating is None else percent(drive.heating),
                "" if drive.electrical is None else bare(drive.electrical, "power", units),
            )
        )
    notes = []
    if any(drive.load is not None for drive in duty.drives):
        notes.append(
            "Load: rms torque over what the duty allows (S1: the rated torque). Heating: its "
            "square, as the heat of the windings grows; 100 % is what the motor stands."
        )
    return table(
        "Load of the drives",
        (
            Column("Drive"),
            figures("Mean", "power", units),
            figures("Rms", "power", units),
            figures("Peak", "power", units),
            Column("in step"),
            figures("Rated", "power", units),
            figures("Rms", "torque", units),
            figures("Peak", "torque", units),
            Column("Load", "", True),
            Column("Heating", "", True),
            figures("Supply", "power", units),
        ),
        rows,
        notes,
    )


def _known(rms: float, peak: float, units: System) -> tuple[str, str]:
    """Torques in a row; none of a drive without a shaft, such as a hand pump."""
    if np.isnan(rms):
        return "", ""
    return bare(rms, "torque", units), bare(peak, "torque", units)


def strokes_table(duty: Duty, units: System) -> Table:
    """Way, time and mean speed of every stroke."""
    speeds = {"length": "speed", "angle": "rotation"}
    return table(
        "Strokes",
        (Column("Step"), Column("Part"), Column("Way", "", True), figures("Time", "time", units),
         Column("Mean speed", "", True)),
        [
            (s.step, s.part, show(s.way, s.quantity, units), bare(s.time, "time", units),
             show(s.speed, speeds.get(s.quantity, "ratio"), units))
            for s in duty.strokes
        ],
    )  # fmt: skip


def stores_table(duty: Duty, units: System) -> Table:
    """What every store holds over the cycle."""
    return table(
        "Stores",
        (
            Column("Store"),
            figures("At start", "volume", units),
            figures("Least", "volume", units),
            figures("Most", "volume", units),
            figures("Turned over", "volume", units),
            figures("Lowest", "pressure", units),
            figures("Highest", "pressure", units),
        ),
        [
            (s.name, *(bare(v, "volume", units) for v in (s.start, s.least, s.most, s.turned)),
             bare(s.low, "pressure", units), bare(s.high, "pressure", units))
            for s in duty.stores
        ],
        [f"Every cycle begins as it ends; each is followed in {duty.pieces} pieces."]
        if all(abs(s.gain) < 1e-3 * max(s.most, 1e-6) for s in duty.stores)
        else ["The cycle does not end as it begins."],
    )  # fmt: skip


def tanks_table(duty: Duty, units: System) -> Table:
    """Swing of the oil in the tank, and what its return flow asks for."""
    rows = []
    for tank in duty.tanks:
        floor = "" if tank.allowed_least is None else bare(tank.allowed_least, "volume", units)
        room = "" if tank.allowed_most is None else bare(tank.allowed_most, "volume", units)
        usual = settling_volume(duty.circuit, tank.returning)
        rows.append(
            (
                tank.name,
                *(bare(v, "volume", units) for v in (tank.least, tank.most, tank.swing)),
                floor,
                room,
                bare(tank.returning, "flow", units),
                bare(usual, "volume", units),
            )
        )
    minutes = settling_volume(duty.circuit, 1.0) / 60.0
    return table(
        "Oil in the tank",
        (
            Column("Tank"),
            figures("Least", "volume", units),
            figures("Most", "volume", units),
            figures("Swing", "volume", units),
            figures("Allowed least", "volume", units),
            figures("Allowed most", "volume", units),
            figures("Mean return", "flow", units),
            figures("Usual oil", "volume", units),
        ),
        rows,
        [f"Usual oil: {minutes:g} min of the mean return flow; common practice, no source."],
    )
