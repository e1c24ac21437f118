"""What many variations of one circuit, solved together, give: arrays by name."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cached_property
from itertools import chain
from typing import Any

import numpy as np

from circuitcheck.basics.findings import Finding, Severity
from circuitcheck.basics.frames import frame, headed
from circuitcheck.basics.quantities import System, number_in, quantity_object, show, unit_label
from circuitcheck.circuit.desk import Desk
from circuitcheck.circuit.model import Circuit
from circuitcheck.circuit.subjects import AT_PORTS, OF_PARTS
from circuitcheck.circuit.varied import words_of
from circuitcheck.laws.net import Bools
from circuitcheck.laws.smoothing import Array
from circuitcheck.solver.asked import find_subject
from circuitcheck.solver.assignment import Wish, assign
from circuitcheck.solver.work import REMARKS, Checked, Chunk, NotVaried, Work

CHUNK = 50_000
"""Variations solved together at most: some hundred megabytes for 30 unknowns; own choice."""


class Variations:
    """Solved variations of a circuit. Arrays have the shape (steps, variations), or
    (variations,) where only one step was asked for; figures are NaN where not ``solved``.

        v["C1"].speed               a named result of a part, a pint quantity [m/s]
        v["P1"].ports["P"].pressure of a port; also ``flow``
        v.of("supply pressure")     by its name as claims write it
        v.si("C1 speed")            the same as a plain array, SI
        v["R1"].state               trade words, lists

    Attributes
    ----------
    steps : list of str
    values : dict
        What was varied, SI arrays (variations,) by {(part, figure)}
    solved : ndarray of bool
    method : list of lists of str, by step
        The road by which each variation was solved
    iterations, step_norm, imbalance : ndarray
        Trials; last natural step [bar]; worst sum of flows at a junction [m3/s]
    remarks : dict of ndarray of bool
        What is to be said against variations, by slug; also told, counted, in ``findings``
    """

    def __init__(self, work: Work, chunks: list[Chunk]) -> None:
        self._work, self._chunks = work, chunks
        self._units = work.circuit.units
        self.steps = chunks[0].steps
        self.values = {
            key: np.concatenate([chunk.values[key] for chunk in chunks]) for key in chunks[0].values
        }
        self.solved: Bools = self._joined([chunk.solved for chunk in chunks])
        self.iterations = self._joined([chunk.iterations for chunk in chunks])
        self.step_norm = self._joined([chunk.step_norm for chunk in chunks])
        self.remarks: dict[str, Bools] = {
            slug: self._joined([chunk.remarks[slug] for chunk in chunks]) for slug in REMARKS
        }

    @cached_property
    def method(self) -> list[list[str]]:
        """The road by which each variation was solved, by step."""
        steps = range(len(self.steps))
        return [list(chain(*(chunk.method[i] for chunk in self._chunks))) for i in steps]

    @cached_property
    def imbalance(self) -> Array:
        """Worst sum of flows at a junction in each variation [m3/s]."""
        found: Array = self._joined([chunk.imbalance for chunk in self._chunks])
        return found

    def __len__(self) -> int:
        return self._work.plan.count

    def _joined(self, rows: list[Any]) -> Any:
        joined = np.concatenate(rows, axis=1)
        return joined[0] if len(joined) == 1 else joined

    def si(self, asked: str) -> Array:
        """Give a result by name as a plain array in SI.

        Raises
        ------
        KeyError
            If there is no such result, or it was not asked for before solving in chunks.
        """
        return self._values(asked)[0]

    def of(self, asked: str) -> Any:
        """Give a result by name as a pint quantity; raises as `si` does."""
        return quantity_object(*self._values(asked))

    def _values(self, asked: str) -> tuple[Array, str]:
        named = dict(self._work.asked)
        if asked in named:
            kept = self._joined([chunk.columns[asked] for chunk in self._chunks])
            return kept, named[asked].quantity
        desk = Desk({}, set())
        subject = find_subject(desk, self._work.circuit, words_of(asked, "", 1))
        if subject is None:
            told = desk.findings[0]
            raise KeyError(f"{told.message}; {told.remedy}")
        if any(chunk.results is None for chunk in self._chunks):
            raise KeyError(f"'{asked}' was not among the results asked for")
        return self._joined([chunk.of(subject) for chunk in self._chunks]), subject.quantity

    def to_pandas(self, *results: str, units: System | None = None) -> Any:
        """Give figures that were varied and results as a ``pandas.DataFrame``.

        A row for each variation, and for each step where there are several; units stand in
        the heads. ``results`` are names as claims write them; those asked for before if left
        out. Raises `KeyError` as `si` does, and `circuitcheck.basics.frames.PandasMissingError`
        where pandas is not installed.
        """
        shown = self._units if units is None else units
        columns: dict[str, Any] = {}
        if len(self.steps) > 1:
            columns["step"] = np.repeat(self.steps, len(self))
        for v in self._work.varied:
            column = [number_in(x, v.quantity, shown) for x in self.values[v.key].tolist()]
            columns[headed(v.text, unit_label(v.quantity, shown))] = column * len(self.steps)
        for name in results or tuple(text for text, _ in self._work.asked):
            found, quantity = self._values(name)
            head = headed(name, unit_label(quantity, shown))
            columns[head] = [number_in(x, quantity, shown) for x in found.ravel().tolist()]
        columns["solved"] = self.solved.ravel()
        return frame(columns)

    def __getitem__(self, part: str) -> VariedPart:
        if part not in self._work.circuit.parts:
            raise KeyError(part)
        return VariedPart(self, part)

    def states(self, part: str) -> list[list[str]]:
        """State of a part in trade words, a list of variations for each step."""
        found: list[list[str]] = [[] for _ in self.steps]
        for chunk in self._chunks:
            if chunk.results is None:
                raise KeyError(f"the state of {part} was not kept")
            case = chunk.results.answer.case
            words = chunk.results.states(case.circuit.parts[part])
            for row, i in zip(found, chunk.shown, strict=True):
                row += words[i * case.variations : (i + 1) * case.variations]
        return found

    @property
    def findings(self) -> list[Finding]:
        """What is to be said against the variations, one finding for each slug and step."""
        return [
            finding
            for i, step in enumerate(self.steps)
            for slug, where in self.remarks.items()
            for finding in self._finding(slug, step, np.atleast_2d(where)[i])
        ]

    def _finding(self, slug: str, step: str, where: Bools) -> Iterator[Finding]:
        numbers = np.flatnonzero(where)
        if not len(numbers):
            return
        first = ", ".join(
            f"{v.text} {show(float(self.values[v.key][numbers[0]]), v.quantity, self._units)}"
            for v in self._work.varied
        )
        yield Finding(
            slug=slug,
            severity=Severity.ERROR if slug != "load-direction-open" else Severity.WARNING,
            message=f"step {step}: {REMARKS[slug]} in {len(numbers)} of {len(self)} variations, "
            f"the first with {first}",
            step=step,
        )


class VariedPart:
    """One part in all variations; results are attributes that give pint quantities."""

    def __init__(self, of: Variations, name: str) -> None:
        self._of, self._name = of, name

    @property
    def state(self) -> Any:
        """Trade words; a list of variations, a list of these for several steps."""
        words = self._of.states(self._name)
        return words[0] if len(words) == 1 else words

    @property
    def ports(self) -> Mapping[str, VariedPort]:
        """The ports by letter, with ``pressure`` and ``flow``."""
        part = self._of._work.circuit.parts[self._name]
        return {p.letter: VariedPort(self._of, f"{self._name} {p.letter}") for p in part.ports}

    def __getattr__(self, name: str) -> Any:
        part = self._of._work.circuit.parts[self._name]
        spaced = name.replace("_", " ")
        known = {*(measure.name for measure in part.kind.measures), *OF_PARTS}
        if spaced not in known:
            raise AttributeError(
                f"{self._name} has no '{spaced}'; it has {', '.join(sorted(known))}"
            )
        return self._of.of(f"{self._name} {spaced}")


class VariedPort:
    """One port in all variations: ``pressure`` and ``flow``, pint quantities."""

    def __init__(self, of: Variations, name: str) -> None:
        self._of, self._name = of, name

    def __getattr__(self, name: str) -> Any:
        if name not in AT_PORTS:
            raise AttributeError(f"a port has {' and '.join(AT_PORTS)}, not '{name}'")
        return self._of.of(f"{self._name} {name}")


def vary(
    circuit: Circuit, wish: Wish, size: int = CHUNK, checked: set[Checked] | None = None
) -> Variations:
    """Solve all variations that a wish asks for, ``size`` at a time.

    ``checked`` holds which ranges of which figures the circuit was found to bear before; the
    new ones are put in.

    Raises
    ------
    CircuitError
        If something wanted is not there, or a figure cannot have its values
    ValueError
        If there are more variations than one chunk, and no results are named to be kept
    """
    work, assignment = assign(circuit, wish)
    count = work.plan.count
    if count > size and not wish.results:
        raise ValueError(f"name the results to keep of {count} variations: results=('C1 speed',)")
    try:
        work.check(checked)
        chunks = [
            work.solve(start, min(start + size, count), keep=count <= size)
            for start in range(0, count, size)
        ]
    except NotVaried as refusal:
        raise assignment.refused(refusal.misfit) from None
    return Variations(work, chunks)
