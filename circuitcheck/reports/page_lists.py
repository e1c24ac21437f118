"""Lists of the whole circuit over all steps: lines, parts, heat."""

from __future__ import annotations

from collections.abc import Sequence

from circuitcheck.basics.quantities import System, show
from circuitcheck.circuit.model import Circuit, End, Run
from circuitcheck.components._parts import Part
from circuitcheck.reports.figures import bare
from circuitcheck.reports.result import Result
from circuitcheck.reports.step_tables import stores_note
from circuitcheck.reports.tables import Column, Table, figures, table
from circuitcheck.solver.operating import OperatingPoint

NONE = 1e-3
"""Heat [W] under which a part is not listed; own choice."""


def lines_table(result: Result, circuit: Circuit, units: System) -> Table:
    """Line schedule: ends, bore, length, and the worst of all steps.

    Flow and drop are those of the step with the greatest flow; the pressure is the highest at
    either end.
    """
    points = [point for point in result.points if point.success]
    return table(
        "Line schedule",
        (
            Column("Line"),
            Column("From"),
            Column("To"),
            Column("Size", "", True),
            figures("Most flow", "flow", units),
            Column("In step"),
            Column("Oil speed", "", True),
            figures("Drop", "pressure", units),
            figures("Highest / rated", "pressure", units),
        ),
        (_line(run, circuit, points, units) for run in circuit.runs),
        ["Drop and oil speed at the greatest flow; highest: of both ends over all steps."],
    )


def _line(
    run: Run, circuit: Circuit, points: Sequence[OperatingPoint], units: System
) -> tuple[str, ...]:
    through = f" through {', '.join(run.through)}" if run.through else ""
    ends = (_ends(run.starts), _ends(run.stops) + through)
    part = circuit.parts.get(run.part)
    known = [
        p.junctions[j].pressure for p in points for j in (run.near, run.far) if j in p.junctions
    ]
    high = max((pressure for pressure in known if pressure == pressure), default=None)  # NaN
    highest = "" if high is None else bare(high, "pressure", units)
    if part is None:
        return (run.name or "joint", *ends, "no size", "", "", "", "", highest)
    sizes = (part.figures.get(name) for name in ("bore", "length"))
    size = " x ".join(figure.text for figure in sizes if figure is not None)
    rated = part.figure("rated")
    if rated is not None:
        highest = f"{highest} / {bare(rated, 'pressure', units)}"
    states = [(point, point.parts[part.name]) for point in points]
    if not states:
        return (run.name, *ends, size, "", "", "", "", highest)
    point, state = max(states, key=lambda found: abs(found[1].values["flow"]))
    inch = show(0.0, "speed", units).endswith("in/s")
    unit = "ft/s" if inch else "m/s"
    speed = f"{bare(abs(state.values['speed']), 'speed', {'speed': unit})} {unit}"
    flow, drop = abs(state.values["flow"]), abs(state.values["drop"])
    return (
        run.name or part.name, *ends, size, bare(flow, "flow", units), point.step.name, speed,
        bare(drop, "pressure", units), highest,
    )  # fmt: skip


def _ends(ends: Sequence[End]) -> str:
    return " and ".join(map(str, ends))


def parts_table(circuit: Circuit) -> Table:
    """List of parts: name, kind, what the text gives of it."""
    return table(
        "Parts",
        (Column("Part"), Column("Kind"), Column("Data as the text gives them")),
        (
            (part.name, part.kind.word, _data(part))
            for part in circuit.parts.values()
            if part.kind.word != "line"
        ),
    )


def _data(part: Part) -> str:
    assumed = {choice.default for choice in part.kind.choices}
    said = [phrase for phrase in part.choices.values() if phrase not in assumed]
    said += [phrase for phrases in part.many.values() for phrase in phrases]
    ways = [f"{part.ways[0]}/{part.ways[1]}"] if part.ways else []
    figures_ = [
        figure.text if name in figure.text else f"{name} {figure.text}"
        for name, figure in part.figures.items()
        if figure.origin == "given"
    ]
    driven = [f"driven by {part.driven_by}"] if part.driven_by else []
    return ", ".join([*ways, *said, *figures_, *driven])


def heat_table(result: Result, units: System) -> Table:
    """Heat that each part gives to the oil, a column per step, the greatest first."""
    points = [point for point in result.points if point.success]
    times = [point.duration for point in points]
    whole = sum(time for time in times if time is not None)
    cycle = result.solved and whole > 0.0 and None not in times
    rows: list[tuple[float, tuple[str, ...]]] = []
    for name in points[0].parts if points else ():
        lost = [point.parts[name].loss for point in points]
        if max(map(abs, lost)) < NONE:
            continue
        mean = sum(w * (t or 0.0) for w, t in zip(lost, times, strict=True)) / whole if cycle else (
            max(lost)
        )  # fmt: skip
        cells = [bare(watts, "power", units) for watts in lost]
        rows.append((mean, (name, *cells, bare(mean, "power", units) if cycle else "")))
    rows.sort(key=lambda row: -row[0])
    lost = [point.totals.loss for point in points]
    if rows:
        mean = (
            sum(w * (t or 0.0) for w, t in zip(lost, times, strict=True)) / whole if cycle else 0.0
        )
        cells = [bare(watts, "power", units) for watts in lost]
        rows.append((0.0, ("all together", *cells, bare(mean, "power", units) if cycle else "")))
    columns = [Column("Part"), *(figures(point.step.name, "power", units) for point in points)]
    return table(
        "Where the heat is made",
        [*columns, figures("Mean", "power", units)],
        [row for _, row in rows],
        [*(["Mean: over the time of the cycle."] if cycle else []), *stores_note(result)],
    )
