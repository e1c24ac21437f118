"""Variations of one circuit solved together, a chunk at a time."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from circuitcheck.circuit.model import Circuit, Step
from circuitcheck.circuit.subjects import Subject
from circuitcheck.circuit.varied import Varied
from circuitcheck.laws.net import PRESSURE, Bools
from circuitcheck.laws.smoothing import Array
from circuitcheck.solver import ill_posed
from circuitcheck.solver.answer import Answer
from circuitcheck.solver.asked import Results
from circuitcheck.solver.fitted import Key, Misfit, assumed_from, mistakes, shaping, with_values
from circuitcheck.solver.plan import Plan, are_neighbours
from circuitcheck.solver.results import SANE
from circuitcheck.solver.settling import Settled, settle
from circuitcheck.solver.solve import STEADY
from circuitcheck.solver.system import Case

REMARKS = {
    "no-steady-point": "there is no steady point, whatever the figures: the circuit is ill-posed",
    "not-solved": "no steady point found",
    "steps-do-not-settle": "what one step leaves to the next does not settle",
    "nothing-limits-pressure": "nothing but leakage limits a pressure",
    "load-direction-open": "which way a load drives is not decided; it is left out",
}
"""What can be said against a variation in a step, the worst first."""

WORTHLESS = ("no-steady-point", "not-solved", "steps-do-not-settle")
"""Remarks with which there are no figures."""


Checked = tuple[int, tuple[tuple[Key, tuple[float, ...]], ...]]
"""Ranges that a circuit was found to bear: number of its steps, and ends by figure."""


class NotVaried(Exception):  # noqa: N818 - a refusal, not a fault
    """A circuit that cannot have the variations wanted; ``misfit`` says why."""

    def __init__(self, misfit: Misfit) -> None:
        super().__init__(misfit)
        self.misfit = misfit

    def __str__(self) -> str:
        return self.misfit.message


@dataclass
class Chunk:
    """Some variations of a circuit in some of its steps; arrays (steps, variations), SI.

    ``forced`` names the parts that leave no steady point, "P1,P2", by step and variation.
    """

    start: int
    steps: list[str]
    values: dict[Key, Array]
    columns: dict[str, Array]
    solved: Bools
    method: list[list[str]]
    iterations: Array
    step_norm: Array
    remarks: dict[str, Bools]
    results: Results | None = field(default=None, repr=False)
    shown: Sequence[int] = ()
    forced: Mapping[tuple[int, int], str] = field(default_factory=dict)

    def of(self, subject: Subject) -> Array:
        """Values of a result, NaN where there is no answer; (steps, variations)."""
        assert self.results is not None
        case = self.results.answer.case
        every = np.broadcast_to(self.results.of(subject), (case.variants,))
        chosen = case.by_step(every)[list(self.shown)]
        return np.where(self.solved, chosen, np.nan)

    @cached_property
    def imbalance(self) -> Array:
        """Worst sum of flows at a junction [m3/s], (steps, variations)."""
        assert self.results is not None
        found = self.results.answer
        worst: Array = found.case.by_step(_imbalance(found))[list(self.shown)]
        return worst

    def forget(self) -> None:
        """Keep the columns only, not what all results could be made from."""
        _ = self.imbalance  # made now, it could not be made later
        self.results = None


@dataclass(frozen=True)
class Work:
    """What is to be solved: a circuit, what varies in it, the steps and results wanted."""

    circuit: Circuit
    plan: Plan
    steps: tuple[str, ...]
    asked: tuple[tuple[str, Subject], ...]
    along: bool | None = None

    @property
    def varied(self) -> list[Varied]:
        return [varied for varied, _ in self.plan.axes]

    @cached_property
    def _needed(self) -> list[Step]:
        """Steps to solve: those wanted and all before them, which may leave them something."""
        steps = self.circuit.steps or [STEADY]
        last = max(i for i, step in enumerate(steps) if step.name in self.steps)
        return steps[: last + 1]

    def check(self, known: set[Checked] | None = None) -> None:
        """See that the circuit can have all these values; raises `NotVaried` if not.

        Figures at the ends of their ranges are compared with circuits that have them
        written in. Ranges ``known`` to be good are not looked at again; new ones are put in.
        """
        ends = self._ends()
        mark = len(self._needed), tuple((key, tuple(row.tolist())) for key, row in ends.items())
        if known is not None and mark in known:
            return
        _, _, misfit = self._fitted(ends)
        if misfit is not None:
            raise NotVaried(misfit)
        if known is not None:
            known.add(mark)

    def _ends(self) -> dict[Key, Array]:
        """Both ends of the range of every figure, the other figures at their first value."""
        first = self.plan.values(0, 1)
        count = 2 * len(self.plan.axes)
        ends = {key: np.repeat(row, max(count, 1)) for key, row in first.items()}
        for i, (varied, axis) in enumerate(self.plan.axes):
            ends[varied.key][2 * i : 2 * i + 2] = axis.low, axis.high
        return ends

    def _fitted(
        self, values: Mapping[Key, Array], compare: bool = True
    ) -> tuple[Circuit, dict[Key, Array], Misfit | None]:
        """The circuit with the first values written in, and the changes that remain."""
        circuit = with_values(
            self.circuit, self.varied, {key: float(row[0]) for key, row in values.items()}
        )
        changes = dict(values)
        for name in dict.fromkeys(v.part for v in self.varied if v.figure):
            part = self.circuit.parts[name]
            wrong = mistakes(part, self.varied, values)
            more, split = assumed_from(part, self.varied, values)
            if wrong or split:
                return circuit, changes, wrong or split
            changes |= more
        misfit = (
            shaping(circuit, self._steps_of(circuit), self.varied, changes) if compare else None
        )
        return circuit, changes, misfit

    def _steps_of(self, circuit: Circuit) -> list[Step]:
        return (circuit.steps or [STEADY])[: len(self._needed)]

    def solve(self, start: int, stop: int, keep: bool = False) -> Chunk:
        """Solve the variations ``start`` to before ``stop``.

        ``keep`` leaves in the chunk what all other results can be made from.

        Raises
        ------
        NotVaried
            If a part cannot have values among them.
        """
        values = self.plan.values(start, stop)
        circuit, changes, misfit = self._fitted(values, compare=False)
        if misfit is not None:
            raise NotVaried(misfit)
        count = min(stop, self.plan.count) - start
        case = Case(circuit, self._steps_of(circuit), changes, variations=count)
        along = are_neighbours(values) if self.along is None else self.along
        settled = settle(case, along=along and count > 1)
        return self._chunk(start, values, settled, keep)

    def _chunk(self, start: int, values: dict[Key, Array], settled: Settled, keep: bool) -> Chunk:
        found, results = settled.answer, Results(settled.answer)
        case = found.case
        shown = [i for i, step in enumerate(case.steps) if step.name in self.steps]
        remarks = {slug: case.by_step(row)[shown] for slug, row in _remarks(settled).items()}
        solved = ~np.logical_or.reduce([remarks[slug] for slug in WORTHLESS])
        methods = found.found.method
        chunk = Chunk(
            start=start,
            steps=[case.steps[i].name for i in shown],
            values=values,
            columns={},
            solved=solved,
            method=case.by_step(methods)[shown].tolist(),
            iterations=case.by_step(found.found.iterations)[shown],
            step_norm=case.by_step(found.found.step)[shown],
            remarks=remarks,
            results=results,
            shown=shown,
            forced=_forced(found, shown),
        )
        chunk.columns = {text: chunk.of(subject) for text, subject in self.asked}
        if not keep:
            chunk.forget()
        return chunk


def _forced(found: Answer, shown: Sequence[int]) -> dict[tuple[int, int], str]:
    """Parts that force oil in where nothing gives way, by step shown and variation."""
    names: dict[tuple[int, int], list[str]] = {}
    for one in found.contradictions:
        where = found.case.by_step(one.where)[list(shown)]
        for step, variation in np.argwhere(where).tolist():
            names.setdefault((step, variation), []).extend(one.sources or one.parts)
    return {at: ",".join(dict.fromkeys(parts)) for at, parts in names.items()}


def _imbalance(found: Answer) -> Array:
    """Worst sum of flows at a junction in every variant [m3/s]."""
    flows = np.array([u.kind == PRESSURE for u in found.system.unknowns], dtype=bool)
    checked = flows[:, None] & ~found.equations.all_pinned
    worst: Array = np.max(np.where(checked, np.abs(found.balance), 0.0), axis=0, initial=0.0)
    return worst


def _remarks(settled: Settled) -> dict[str, Bools]:
    """What is to be said against each variant, by slug, arrays (variants,)."""
    found = settled.answer
    case = found.case
    highest = np.max(found.whole[: len(case.circuit.junctions)], axis=0, initial=0.0)
    open_way = np.zeros(case.variants, dtype=bool)
    for where in settled.undecided.values():
        open_way |= where
    barred = ill_posed.barred(found.contradictions, case.variants)
    return {
        "no-steady-point": barred,
        "not-solved": ~found.found.solved & ~barred,
        "steps-do-not-settle": np.tile(settled.changing, len(case.steps)),
        "nothing-limits-pressure": highest > SANE,
        "load-direction-open": open_way,
    }
