"""How each number was made: the formula with its figures, folded away until asked for."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.quantities import System, show
from circuitcheck.circuit.model import Circuit
from circuitcheck.circuit.subjects import Subject
from circuitcheck.reports.page_blocks import (
    LEFT_OUT,
    OPEN,
    Block,
    Folded,
    Head,
    Material,
    Tabled,
    Walked,
    Words,
)
from circuitcheck.reports.tables import Column, Table, table
from circuitcheck.reports.why_text import written
from circuitcheck.solver.answer import Answer
from circuitcheck.solver.operating import OperatingPoint, PartState
from circuitcheck.studies.why_network import Network
from circuitcheck.studies.why_results import walk
from circuitcheck.studies.why_trail import Reason
from circuitcheck.studies.why_walk import Walk

WALKED = ("speed", "force", "torque", "flow", "pressure", "power")
"""Results of drives, pumps and actuators that are told with the walk to what sets them."""

LISTED = ("flow", "pressure", "drop", "heat")
"""Results of all other parts that are told by their formula alone."""

MOST = 1500
"""Numbers that are told in one report; beyond them the command tells."""

Told = tuple[Subject, Reason]


def numbers(m: Material) -> Iterator[Block]:
    """Formulas of all results, step by step."""
    solution = m.result.solution
    if solution is None or solution.answer is None or m.numbers == LEFT_OUT:
        return
    open_ = m.numbers == OPEN
    left = MOST
    yield Words(
        "Open a line to see its formula with the figures of this machine, and what it comes from."
    )
    for number, point in enumerate(m.result.points):
        if not point.success or left <= 0:
            continue
        made = list(_told(m.circuit, point, solution.answer, number, left))
        left -= len(made)
        yield Head(f"Numbers of step {point.step.name}")
        rows = []
        for subject, reason in made:
            named = " ".join(filter(None, (subject.name, subject.port, subject.what)))
            if _machine(point.parts[subject.name]):
                value = show(reason.value, reason.quantity, m.units)
                yield Folded(f"{named}: {value}", (Walked(reason),), open_)
            else:
                rows.append((named, reason))
        if rows:
            block = Tabled(_formulas(rows, point, m.units))
            yield Folded("All other parts, by formula", (block,), open_)
    if left <= 0:
        yield Words(
            f"More than {MOST} numbers: of the rest 'circuitcheck why' tells any one.", "note"
        )


def _machine(state: PartState) -> bool:
    return state.kind != "line" and bool({"speed", "torque"} & state.values.keys())


def _told(
    circuit: Circuit, point: OperatingPoint, answer: Answer, number: int, most: int
) -> Iterator[Told]:
    """Results of a step that are worth telling, with the walk to each."""
    net = Network(answer, number)
    for state in point.parts.values():
        for name in WALKED if _machine(state) else LISTED:
            if name not in state.values or not state.values[name] or most <= 0:
                continue
            most -= 1
            subject = Subject(state.name, "", name, state.quantities[name])
            value = state.values[name]
            yield subject, walk(Walk(circuit, point, net), subject, f"{state.name} {name}", value)


def _formulas(rows: list[tuple[str, Reason]], point: OperatingPoint, units: System) -> Table:
    return table(
        f"Formulas, step {point.step.name}",
        (Column("Number"), Column("Value", "", True), Column("How it comes about")),
        (
            (
                name,
                show(reason.value, reason.quantity, units),
                reason.said
                if reason.formula is None
                else written(reason.formula, reason.value, units),
            )
            for name, reason in rows
        ),
    )
