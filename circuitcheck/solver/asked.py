"""Results by the names that claims give them: ``C1 speed``, ``P1 P pressure``, ``heat``."""

from __future__ import annotations

from functools import cached_property

import numpy as np

from circuitcheck.circuit.desk import Desk
from circuitcheck.circuit.model import Circuit
from circuitcheck.circuit.names import Names
from circuitcheck.circuit.subjects import Subject, Subjects
from circuitcheck.circuit.varied import joined
from circuitcheck.components._parts import Part
from circuitcheck.language.text import Word
from circuitcheck.laws.smoothing import Array
from circuitcheck.laws.view import View
from circuitcheck.solver.accounts import Accounts, account
from circuitcheck.solver.answer import Answer
from circuitcheck.solver.history import durations
from circuitcheck.solver.operating import INDETERMINATE
from circuitcheck.solver.results import heat_from_outside, view_of
from circuitcheck.solver.told import told


def find_subject(desk: Desk, circuit: Circuit, words: list[Word]) -> Subject | None:
    """Give what some words ask for; None, with a finding, if there is no such result."""
    if not words[0].text:
        desk.error("result-name", words[0].place, "which result? none is named",
                   "write, for example:  C1 speed")  # fmt: skip
        return None
    sides = {run.name for run in circuit.runs if run.name}
    words = joined(words, {*circuit.parts, *sides})
    return Subjects.of(desk, Names(desk), circuit).find(words[0], words[1:], words[-1])


def find_result(desk: Desk, answer: Answer, words: list[Word]) -> Subject | None:
    """Give what some words ask for of a solved case; None, with a finding, if it has no such.

    A part has some results only where the text gives what they take: a level wants an area.
    """
    subject = find_subject(desk, answer.case.circuit, words)
    part = None if subject is None else answer.case.circuit.parts.get(subject.name)
    if subject is None or part is None or subject.port or subject.what == "heat":
        return subject
    there = Results(answer).named(part)
    if subject.what in there:
        return subject
    desk.error("result-name", words[0].place.upto(words[-1].place),
               f"{part.name} has no {subject.what} in this circuit",
               f"it has: {', '.join([*there, 'heat'])}", component=part.name)  # fmt: skip
    return None


class Results:
    """Results of a solved case, arrays of shape (variants,) in SI; each made when asked for."""

    def __init__(self, answer: Answer) -> None:
        self.answer = told(answer)
        self._views: dict[str, View] = {}
        self._values: dict[str, dict[str, Array]] = {}

    def of(self, subject: Subject) -> Array:
        """Give the values of a subject."""
        if not subject.name:
            return self._whole(subject.what)
        part = self.answer.case.circuit.parts.get(subject.name)
        if part is None:
            return self._at(list(self.answer.case.circuit.junctions).index(subject.name))
        if subject.port and subject.what == "pressure":
            index = self.answer.ports_of.get(part.name, {}).get(subject.port)
            return self._none if index is None else self._at(index)
        if subject.port:
            return self._view(part).q(subject.port)
        if subject.what == "heat":
            return self._books.loss.get(part.name, self._none)
        unknown: Array = np.full(self.answer.case.variants, np.nan)  # see `find_result`
        return self._results(part).get(subject.what, unknown)

    def named(self, part: Part) -> list[str]:
        """Give the names of the results that a part has, as it is built and ordered here."""
        return list(self._results(part))

    def states(self, part: Part) -> list[str]:
        """Give the state of a part in trade words, one per variant."""
        words = part.kind.state(part, self._view(part))
        lost = self.answer.hanging.get(part.name, self._none)
        return [INDETERMINATE if at else word for word, at in zip(words, lost, strict=True)]

    @cached_property
    def _none(self) -> Array:
        none: Array = np.zeros(self.answer.case.variants)
        return none

    @cached_property
    def _books(self) -> Accounts:
        found = self.answer
        heaters, _ = heat_from_outside(found)
        return account(found.system, found.whole, found.values, found.reaction, heaters)

    def _view(self, part: Part) -> View:
        if part.name not in self._views:
            self._views[part.name] = view_of(self.answer, part)
        return self._views[part.name]

    def _results(self, part: Part) -> dict[str, Array]:
        if part.name not in self._values:
            self._values[part.name] = part.kind.results(part, self._view(part))
        return self._values[part.name]

    def _at(self, junction: int) -> Array:
        return self.answer.pressure(junction)

    def _whole(self, what: str) -> Array:
        if what == "heat":
            return self._books.lost
        if what == "power":
            return self._books.input
        lasts = durations(self.answer)
        return np.where(lasts > 0.0, lasts, np.nan)
