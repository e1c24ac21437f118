"""What meters would show with each fault at each size: all solved together as variations."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from circuitcheck.circuit.model import Circuit, Claim, Step
from circuitcheck.circuit.subjects import WHOLE, Subject
from circuitcheck.laws.smoothing import Array
from circuitcheck.review.faults import Fault
from circuitcheck.rules import SIGNLESS
from circuitcheck.solver.asked import Results
from circuitcheck.solver.settling import settle
from circuitcheck.solver.solve import STEADY
from circuitcheck.solver.system import Case

AT_ONCE = 4000
"""Steps of all variations that are solved in one run: bounds the memory, more gain nothing."""

FINE = 40
"""Points between two solved sizes."""

Oil = dict[str, float]
"""Oil temperature [degC] of the steps in which it was read."""

Sizes = tuple[tuple[Fault, float], ...]
"""One machine: the faults that it has, each with its size [SI]; empty for a sound one."""


@dataclass(frozen=True)
class Signature:
    """What ``meters`` show with a fault: ``shown`` has shape (sizes, meters), in SI.

    ``figures`` are the sizes that were solved; NaN where a meter has no value.
    """

    fault: Fault
    figures: Array
    shown: Array

    def fine(self) -> tuple[Array, Array]:
        """Give sizes and readings with straight lines between the solved sizes."""
        if len(self.figures) < 2:
            return self.figures, self.shown
        way = np.arange(len(self.figures), dtype=float)
        dense = np.linspace(0.0, way[-1], (len(way) - 1) * FINE + 1)
        shown = [np.interp(dense, way, column) for column in self.shown.T]
        return np.interp(dense, way, self.figures), np.array(shown).T


def sound(circuit: Circuit, meters: Sequence[Claim], oil: Oil) -> Array:
    """Give what meters show on the sound machine [SI], shape (meters,)."""
    alone: Array = _solved(circuit, meters, oil, [()])[0]
    return alone


def signatures(
    circuit: Circuit, meters: Sequence[Claim], oil: Oil, faults: Sequence[Fault]
) -> list[Signature]:
    """Give the signature of every fault; sizes that cannot be solved are left out."""
    machines = [((fault, float(size)),) for fault in faults for size in fault.figures]
    every = shown(circuit, meters, oil, machines)
    found = []
    start = 0
    for fault in faults:
        rows = every[start : start + len(fault.figures)]
        start += len(fault.figures)
        solved = ~np.isnan(rows).all(axis=1)
        if solved.any():
            found.append(Signature(fault, fault.figures[solved], rows[solved]))
    return found


def shown(circuit: Circuit, meters: Sequence[Claim], oil: Oil, machines: Sequence[Sizes]) -> Array:
    """Give what meters show on machines, (machines, meters) [SI]; NaN where there is nothing.

    Machines of one circuit are solved together. Of the faults of a machine at most one may
    have a circuit of its own.
    """
    found = np.full((len(machines), len(meters)), np.nan)
    groups: dict[int, list[int]] = {}
    circuits: dict[int, Circuit] = {}
    for number, machine in enumerate(machines):
        own = next((f.circuit for f, _ in machine if f.circuit is not None), circuit)
        circuits[id(own)] = own
        groups.setdefault(id(own), []).append(number)
    for key, numbers in groups.items():
        most = max(AT_ONCE // max(len(circuit.steps), 1), 1)
        for i in range(0, len(numbers), most):
            some = numbers[i : i + most]
            found[some] = _solved(circuits[key], meters, oil, [machines[n] for n in some])
    return found


def _solved(
    circuit: Circuit, meters: Sequence[Claim], oil: Oil, machines: Sequence[Sizes]
) -> Array:
    """Solve machines of one circuit; what every meter shows, (machines, meters)."""
    steps = [
        replace(step, oil_degC=oil.get(step.name, step.oil_degC))
        for step in circuit.steps or [STEADY]
    ]
    case = Case(circuit, steps, _changes(circuit, steps, machines), variations=len(machines))
    settled = settle(case)
    answer = settled.answer
    good = case.by_step(answer.found.solved).all(axis=0) & ~settled.changing
    results = Results(answer)
    rows = {step.name: i for i, step in enumerate(steps)}
    found = np.full((len(machines), len(meters)), np.nan)
    values: dict[Subject, Array] = {}
    for number, meter in enumerate(meters):
        subject = _subject(circuit, meter)
        if subject is None or meter.step not in rows:
            continue
        if subject not in values:
            values[subject] = case.by_step(np.broadcast_to(results.of(subject), (case.variants,)))
        found[:, number] = np.where(good, values[subject][rows[meter.step]], np.nan)
        if meter.figure.quantity in SIGNLESS:
            found[:, number] = np.abs(found[:, number])
    return found


def _subject(circuit: Circuit, meter: Claim) -> Subject | None:
    """What of the solved case a meter shows; None for what is no result."""
    name, port, what = meter.subject, meter.port, meter.what
    part = circuit.parts.get(name)
    if part is None:
        known = name in circuit.junctions or (not name and what in WHOLE)
    elif port and what in ("pressure", "flow"):
        known = port in {own.letter for own in part.ports}
    else:
        port, known = "", what in {"heat", *(measure.name for measure in part.kind.measures)}
    return Subject(name, port, what, meter.figure.quantity) if known else None


def _changes(
    circuit: Circuit, steps: Sequence[Step], machines: Sequence[Sizes]
) -> dict[tuple[str, str], Array]:
    """Figures of all machines in all steps, {(part, figure): (variants,)}, SI."""
    found: dict[tuple[str, str], Array] = {}
    for number, machine in enumerate(machines):
        for fault, size in machine:
            key = fault.owner, fault.figure
            if key not in found:
                healthy = np.array(list(_healthy(circuit, steps, fault)))
                found[key] = np.repeat(healthy[:, None], len(machines), axis=1)
            found[key][:, number] = fault.grown(found[key][:, number], size)
            if fault.order:
                found[fault.owner, fault.order] = found[key]
            for name, value in fault.beside.items():
                beside = fault.owner, name
                usual = circuit.parts[fault.owner].figure(name)
                if beside not in found:
                    fill = value if usual is None else usual
                    found[beside] = np.full((len(steps), len(machines)), fill)
                found[beside][:, number] = value
    return {key: rows.ravel() for key, rows in found.items()}


def _healthy(circuit: Circuit, steps: Sequence[Step], fault: Fault) -> Iterator[float]:
    """The figure of a fault on the sound machine in each step, as ordered there if it is."""
    for step in steps:
        if fault.owner == "oil":
            yield circuit.oil_degC if step.oil_degC is None else step.oil_degC
            continue
        orders = step.orders.get(fault.owner)
        ordered = orders.figures.get(fault.order) if orders is not None else None
        yield fault.sound if ordered is None else ordered.value
