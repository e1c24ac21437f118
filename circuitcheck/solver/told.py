"""What may be told of a solved case: nothing that hangs on pressures which nothing decides."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property

import numpy as np

from circuitcheck.laws.net import PRESSURE, Bools
from circuitcheck.laws.smoothing import Array
from circuitcheck.solver.answer import Answer, ElementValues

STILL = 1e-13
"""Flow [m3/s] under which nothing moves the oil of a volume; own choice: 6 uL/min."""


def told(answer: Answer) -> Answer:
    """Give an answer in which what is indeterminate is NaN; the same one if nothing is.

    Junctions that nothing decides stand at zero while the case is solved. Where something
    moves their oil (a pump whose ring has no tank), flows there are nobody's: they are not
    told, nor what hangs on them, power and heat included. In a volume that is shut and at
    rest only the pressure is unknown.
    """
    return _Told.of(answer) if answer.loose.any() else answer


class _Told(Answer):
    """An answer without what is indeterminate."""

    raw: Answer

    @classmethod
    def of(cls, answer: Answer) -> _Told:
        own = cls(
            answer.case,
            answer.system,
            answer.equations,
            answer.found,
            answer.loose,
            answer.undecided,
            answer.contradictions,
        )
        own.raw = answer
        return own

    @cached_property
    def unknowable(self) -> tuple[Bools, Bools]:
        """Unknowns and elements that hang on oil which nothing decides; (.., variants)."""
        loose, system = self.loose, self.system
        flows = np.array([u.kind == PRESSURE for u in system.unknowns], dtype=bool)
        moved: Bools = loose & flows[:, None] & (np.abs(self.raw.balance) > STILL)
        hanging = np.zeros((len(system.elements), self.case.variants), dtype=bool)
        while True:
            before = int(moved.sum())
            for i, element in enumerate(system.elements):
                terminals = list(dict.fromkeys(element.terminals))
                ends = [t for t in element.terminals[:2] if flows[t]]
                # what parts a loose volume from the rest is shut: its flow is known, nothing
                shut = loose[ends].any(axis=0) & ~loose[ends].all(axis=0)
                hanging[i] = moved[terminals].any(axis=0) & ~shut
                for t in terminals:
                    moved[t] |= hanging[i] & (loose[t] | ~system.unknowns[t].pinned)
            if int(moved.sum()) == before:
                return moved, hanging

    @cached_property
    def whole(self) -> Array:
        return np.where(self.unknowable[0], np.nan, self.raw.whole)

    @cached_property
    def values(self) -> ElementValues:
        return _ToldValues(self)

    def pressure(self, junction: int) -> Array:
        return np.where(self.loose[junction], np.nan, self.whole[junction])

    @cached_property
    def hanging(self) -> Mapping[str, Bools]:
        found: dict[str, Bools] = {}
        for part, rows in self.elements_of.items():
            found[part] = np.any(self.unknowable[1][rows], axis=0)
        return found


class _ToldValues(ElementValues):
    """Values of elements, NaN where nothing decides them."""

    def __init__(self, answer: _Told) -> None:
        super().__init__(answer)
        hanging = answer.unknowable[1]
        self._raw = answer.raw
        self._hanging = [
            np.zeros((len(group.elements), answer.case.variants), dtype=bool)
            for group in answer.equations.groups
        ]
        for position, (number, e) in self._at.items():
            self._hanging[number][e] = hanging[position]

    def group(self, number: int) -> Array:
        if number not in self._made:
            values = self._raw.values.group(number)
            self._made[number] = np.where(self._hanging[number], np.nan, values)
        return self._made[number]
