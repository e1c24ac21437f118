"""From what a person wants varied, and wants to know, to the work that the solver does."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from circuitcheck.basics.findings import Finding
from circuitcheck.basics.places import Place
from circuitcheck.basics.quantities import expected, values_of
from circuitcheck.basics.refusal import CircuitError
from circuitcheck.circuit.desk import Desk
from circuitcheck.circuit.model import Circuit, Step
from circuitcheck.circuit.ranges import MOST_POINTS, Axis, read_axis
from circuitcheck.circuit.subjects import Subject
from circuitcheck.circuit.varied import Varied, find_varied, within_limits, words_of
from circuitcheck.language.text import Word
from circuitcheck.solver.asked import find_subject
from circuitcheck.solver.fitted import Misfit
from circuitcheck.solver.plan import BESIDE, GRID, LATIN, MOST_LATIN, RANDOM, Plan
from circuitcheck.solver.solve import STEADY
from circuitcheck.solver.work import Work

FILE = "sweep"
"""Name under which findings speak of the sentences of an assignment."""


@dataclass(frozen=True)
class Wish:
    """What a person asks for, in words: ``vary`` gives values by name ("R1 set").

    Values are a text ("50 to 300 bar, 100 points"), a pint quantity, or SI numbers. No
    ``steps`` means all of them. ``random`` is a number of variations drawn by dice, ``latin``
    one drawn as a Latin hypercube. A value may be an `Axis`.
    """

    vary: Mapping[str, Any]
    results: Sequence[str] = ()
    steps: Sequence[str] = ()
    grid: bool = False
    random: int = 0
    seed: int = 0
    along: bool | None = None
    latin: int = 0


@dataclass
class Assignment:
    """A wish that was read: the work, or the findings on what is wrong with it.

    ``text`` is the wish as sentences, for the lines and carets of the findings.
    """

    text: str
    findings: list[Finding] = field(default_factory=list)
    work: Work | None = None

    def refused(self, misfit: Misfit) -> CircuitError:
        """Give the error on a figure that cannot have its values."""
        rows = self.text.split("\n")
        name = f"vary {misfit.varied.text}"
        line = next((i for i, row in enumerate(rows, 1) if row.startswith(name)), 1)
        desk = Desk({}, set())
        place = Place(FILE, line, 6, line, 6 + len(misfit.varied.text))
        desk.error("vary-cannot", place, misfit.message, misfit.remedy, misfit.varied.part)
        return CircuitError(tuple(desk.findings), self.text)


def assign(circuit: Circuit, wish: Wish) -> tuple[Work, Assignment]:
    """Give the work that a wish makes; raises `CircuitError` with all its mistakes."""
    made = read_wish(circuit, wish)
    if made.work is None:
        raise CircuitError(tuple(made.findings), made.text)
    return made.work, made


def read_wish(circuit: Circuit, wish: Wish) -> Assignment:
    """Read a wish; mistakes are findings."""
    rows = [f"vary {name} = {_shown(values)}" for name, values in wish.vary.items()]
    rows += [f"result {name}" for name in wish.results]
    rows += [f"step {name}" for name in wish.steps]
    made = Assignment("\n".join(rows))
    desk = Desk({}, set(), made.findings)
    lines = [words_of(row, FILE, i)[1:] for i, row in enumerate(rows, 1)]
    varied, results = lines[: len(wish.vary)], lines[len(wish.vary) :][: len(wish.results)]
    steps = _steps(desk, circuit, lines[len(wish.vary) + len(wish.results) :])
    known = [s for s in circuit.steps or [STEADY] if s.name in steps]
    axes = [
        _axis(desk, circuit, known, words, values)
        for words, values in zip(varied, wish.vary.values(), strict=True)
    ]
    asked = [_subject(desk, circuit, words, i) for i, words in enumerate(results)]
    if not axes:
        desk.error("vary-nothing", Place(FILE, 1, 1, 1, 1), "nothing is to be varied",
                   "name a figure and its values:  R1 set = 50 to 300 bar, 100 points")  # fmt: skip
    if desk.errors:
        return made
    found = tuple(axis for axis in axes if axis is not None)
    _twice(desk, found, varied)
    plan = None if desk.errors else _plan(desk, found, wish, varied)
    if plan is not None:
        subjects = zip(wish.results, asked, strict=True)
        named = tuple((" ".join(text.split()), s) for text, s in subjects if s is not None)
        made.work = Work(circuit, plan, tuple(steps), tuple(dict(named).items()), wish.along)
    return made


def _shown(values: Any) -> str:
    if isinstance(values, str):
        return " ".join(values.split())
    count = values.count if isinstance(values, Axis) else np.size(getattr(values, "m", values))
    return f"({count} values)"


def _before_equals(words: list[Word]) -> list[Word]:
    at = next((i for i, word in enumerate(words) if word.text == "="), len(words))
    return words[:at]


def _axis(
    desk: Desk, circuit: Circuit, steps: list[Step], words: list[Word], values: Any
) -> tuple[Varied, Axis] | None:
    name, rest = _before_equals(words), words[len(_before_equals(words)) + 1 :]
    if not name:
        place = words[0].place if words else Place(FILE, 1, 1, 1, 1)
        desk.error("vary-name", place, "which figure?", "name it by its part:  R1 set")
        return None
    varied = find_varied(desk, circuit, steps, name)
    if varied is None:
        return None
    place = rest[0].place.upto(rest[-1].place) if rest else name[-1].place
    axis = _values(desk, varied, values, place)
    return None if axis is None else (varied, axis)


def _values(desk: Desk, varied: Varied, values: Any, place: Place) -> Axis | None:
    if isinstance(values, str):
        return read_axis(desk, varied, values, place)
    if isinstance(values, Axis):
        within = within_limits(desk, varied, values.low, values.high, place)
        return values if within else None
    if hasattr(values, "m_as"):
        try:
            values = values_of(values, varied.quantity)
        except ValueError as error:
            wanted = f"{varied.text} is {expected(varied.quantity)}"
            desk.error("wrong-dimension", place, str(error), wanted)
            return None
    try:
        row = np.atleast_1d(np.asarray(values, dtype=float))
    except (TypeError, ValueError):
        desk.error("vary-form", place, "these values are not numbers")
        return None
    if row.ndim != 1 or not row.size or not np.isfinite(row).all():
        desk.error("vary-form", place, "values are one row of finite numbers")
        return None
    low, high = float(row.min()), float(row.max())
    return Axis.of(row) if within_limits(desk, varied, low, high, place) else None


def _subject(desk: Desk, circuit: Circuit, words: list[Word], number: int) -> Subject | None:
    if words:
        return find_subject(desk, circuit, words)
    desk.error("result-name", Place(FILE, 1, 1, 1, 1), f"result {number + 1} has no name",
               "write, for example:  C1 speed")  # fmt: skip
    return None


def _steps(desk: Desk, circuit: Circuit, lines: list[list[Word]]) -> list[str]:
    known = [step.name for step in circuit.steps or [STEADY]]
    wanted = []
    for words in lines:
        name = " ".join(word.text for word in words)
        if name in known:
            wanted.append(name)
        elif words:
            desk.error("unknown-step", words[0].place.upto(words[-1].place),
                       f"there is no step {name}",
                       desk.ask(name, known) or f"there is {', '.join(known)}")  # fmt: skip
    return [name for name in known if name in wanted or not lines]


def _twice(desk: Desk, axes: tuple[tuple[Varied, Axis], ...], lines: list[list[Word]]) -> None:
    seen: set[tuple[str, str]] = set()
    for (varied, _), words in zip(axes, lines, strict=True):
        if varied.key in seen:
            place = words[0].place.upto(_before_equals(words)[-1].place)
            desk.error("said-twice", place, f"{varied.text} is varied twice", "take one away")
        seen.add(varied.key)


def _plan(
    desk: Desk,
    axes: tuple[tuple[Varied, Axis], ...],
    wish: Wish,
    lines: list[list[Word]],
) -> Plan | None:
    first = lines[0][0].place
    if bool(wish.random) + bool(wish.latin) + wish.grid > 1:
        desk.error("vary-form", first, "a sweep is a grid or random or a Latin hypercube, not two")
        return None
    if not 0 <= wish.latin <= MOST_LATIN:
        message = f"a Latin hypercube has from 1 to {MOST_LATIN} variations"
        desk.error("vary-form", first, message)
        return None
    if wish.random < 0 or wish.random > MOST_POINTS:
        desk.error("vary-form", first, "a sweep has from 1 to a thousand million variations")
        return None
    if wish.random:
        return Plan(axes, RANDOM, wish.random, wish.seed)
    if wish.latin:
        return Plan(axes, LATIN, wish.latin, wish.seed)
    for (varied, axis), words in zip(axes, lines, strict=True):
        if axis.count == 0:
            desk.error("vary-form", words[0].place.upto(words[-1].place),
                       f"how many points has the range of {varied.text}?",
                       "write, for example:  50 to 300 bar, 100 points")  # fmt: skip
            return None
    counts = [axis.count for _, axis in axes]
    if wish.grid:
        total = math.prod(counts)
        if total > MOST_POINTS:
            desk.error("vary-form", first, f"a grid of {total} variations is too large")
            return None
        return Plan(axes, GRID, total)
    count = max(counts)
    if any(number not in (1, count) for number in counts):
        told = ", ".join(f"{v.text} has {axis.count}" for v, axis in axes)
        desk.error("vary-form", first, f"side by side all have as many values: {told}",
                   "a grid takes every value with every other")  # fmt: skip
        return None
    return Plan(axes, BESIDE, count)
