"""Tries figures of a circuit: what results become, for many values at a time."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from circuitcheck.circuit.model import Circuit, Step
from circuitcheck.circuit.subjects import Subject
from circuitcheck.circuit.varied import OIL_NAME, Varied
from circuitcheck.laws.net import Bools
from circuitcheck.laws.smoothing import Array
from circuitcheck.solver.assignment import Wish, assign
from circuitcheck.solver.fitted import Key, mistakes, with_values
from circuitcheck.solver.results import heat_from_outside
from circuitcheck.solver.solve import STEADY
from circuitcheck.solver.work import Chunk, NotVaried
from circuitcheck.studies.targets import Target

TIME = Subject("", "", "time", "time")
OIL_TEMPERATURE = f"{OIL_NAME} temperature"
SETTLES = np.linspace(-20.0, 140.0, 33)
"""Temperatures between which the oil's own is sought [degC]; between them the heat is taken
for a straight line. Own choice."""


class NoDurations(Exception):  # noqa: N818 - a refusal, not a fault
    """A target over the cycle, of a cycle that does not say how long its steps last."""

    def __str__(self) -> str:
        return "a target over the cycle needs the duration, or the way, of every step"


@dataclass
class Trials:
    """A circuit whose ``figures`` are tried.

    ``solved`` counts the variations that were solved. Values come as arrays (figures, trials).
    """

    circuit: Circuit
    figures: Sequence[Varied]
    targets: Sequence[Target] = ()
    solved: int = field(default=0, init=False)
    _sound: bool = field(default=False, init=False)

    def allowed(self, values: Array) -> tuple[Bools, str]:
        """Say which trials a part can have at all, and why others not, in words."""
        able, why = np.ones(values.shape[1], dtype=bool), ""
        for name in dict.fromkeys(f.part for f in self.figures if f.figure):
            part = self.circuit.parts[name]
            for i in range(values.shape[1]):
                wrong = mistakes(part, list(self.figures), self._keyed(values[:, [i]]))
                if wrong is not None:
                    able[i], why = False, why or wrong.message
        return able, why

    def _keyed(self, values: Array) -> dict[Key, Array]:
        return {f.key: row for f, row in zip(self.figures, values, strict=True)}

    def results(self, values: Array) -> Array:
        """Give the targets' results, shape (targets, trials); NaN where there are none."""
        found = np.full((len(self.targets), values.shape[1]), np.nan)
        able, _ = self.allowed(values)
        if not able.any():
            return found
        chunks = self.chunks(values[:, able])
        for row, target in enumerate(self.targets):
            if target.is_oil:
                found[row, able] = self._settles(values[:, able])
            else:
                found[row, able] = np.concatenate([_of_target(c, target) for c in chunks])
        return found

    def chunks(self, values: Array) -> list[Chunk]:
        """Solve trials that are allowed, together, or one by one where a figure shapes a part."""
        self.solved += values.shape[1]
        named = {f.text: row for f, row in zip(self.figures, values, strict=True)}
        work, _ = assign(self.circuit, Wish(named))
        try:
            if not self._sound:  # the first trials span the ranges
                work.check()
                self._sound = True
            return [work.solve(0, values.shape[1], keep=True)]
        except NotVaried:
            if values.shape[1] == 1:
                raise
        return [self._alone(values[:, [i]]) for i in range(values.shape[1])]

    def _alone(self, values: Array) -> Chunk:
        """Solve one trial of a circuit that has its values written in."""
        circuit = self.at(values[:, 0])
        named = {f.text: row for f, row in zip(self.figures, values, strict=True)}
        work, _ = assign(circuit, Wish(named))
        return work.solve(0, 1, keep=True)

    def at(self, values: Array) -> Circuit:
        """Give the circuit with the values of one trial written in, shape (figures,)."""
        keyed = {f.key: float(x) for f, x in zip(self.figures, values, strict=True)}
        return with_values(self.circuit, list(self.figures), keyed)

    def present(self) -> Array:
        """Give the values of the text, NaN where it has none; shape (figures,).

        Of what several steps order it is that of a step that a target speaks of.
        """
        named = [target.step for target in self.targets]
        steps = self.circuit.steps or [STEADY]
        first = sorted(steps, key=lambda step: step.name not in named)
        return np.array([_present(self.circuit, figure, first) for figure in self.figures])

    def _settles(self, values: Array) -> Array:
        """Give the temperature at which the oil settles in every trial [degC].

        Mean heat over the cycle that goes into the oil less what walls and coolers take out
        falls with the temperature; it is solved at many, and where it passes through nothing
        is found between them. NaN where it does so nowhere.
        """
        trials, count = values.shape[1], len(SETTLES)
        named = {f.text: np.repeat(row, count) for f, row in zip(self.figures, values, strict=True)}
        named[OIL_TEMPERATURE] = np.tile(SETTLES, trials)
        work, _ = assign(self.circuit, Wish(named))
        chunk = work.solve(0, trials * count, keep=True)
        self.solved += trials * count
        net = over_cycle(chunk, _net_heat(chunk)).reshape(trials, count)
        return np.array([_crossing(SETTLES, row) for row in net])


def _present(circuit: Circuit, figure: Varied, steps: Sequence[Step]) -> float:
    if figure.key == (OIL_NAME, "temperature") and OIL_NAME not in circuit.parts:
        return circuit.oil_degC
    for step in steps:
        orders = step.orders.get(figure.part)
        if figure.ordered and orders is not None:
            if figure.name in orders.figures:
                return orders.figures[figure.name].value
            if figure.name == "opening" and orders.opening != 1.0:
                return orders.opening
    own = circuit.parts[figure.part].figure(figure.name) if figure.figure else None
    return float("nan") if own is None else own


def _of_target(chunk: Chunk, target: Target) -> Array:
    """Give the results of a target in every trial of a chunk, SI."""
    subject = target.subject
    if target.over_cycle and subject == TIME:
        total: Array = durations(chunk).sum(axis=0)
        return total
    found = chunk.of(subject)
    found = np.abs(found) if target.signless else found
    if target.over_cycle:
        return over_cycle(chunk, found)
    if target.step:
        row: Array = found[chunk.steps.index(target.step)]
        return row
    known = np.where(np.isnan(found), -np.inf, found).max(axis=0)
    return np.where(np.isinf(known), np.nan, known)


def durations(chunk: Chunk) -> Array:
    """Give how long the steps last [s], (steps, trials); raises `NoDurations`."""
    if len(chunk.steps) == 1:
        return np.ones((1, chunk.solved.shape[1]))
    lasts = chunk.of(TIME)
    if np.isnan(lasts[:, chunk.solved.all(axis=0)]).any():
        raise NoDurations
    return lasts


def over_cycle(chunk: Chunk, found: Array) -> Array:
    """Give the mean of something over the cycle, by duration, (trials,)."""
    lasts = durations(chunk)
    mean: Array = (found * lasts).sum(axis=0) / lasts.sum(axis=0)
    return mean


def _net_heat(chunk: Chunk) -> Array:
    """Give the heat that stays in the oil [W], (steps, trials)."""
    assert chunk.results is not None
    answer = chunk.results.answer
    _, cooled = heat_from_outside(answer)
    lost = chunk.of(Subject("", "", "heat", "power"))
    taken = answer.case.by_step(np.broadcast_to(cooled, (answer.case.variants,)))
    stays: Array = lost - taken[list(chunk.shown)]
    return stays


def _crossing(at: Array, falls: Array) -> float:
    """Give where a falling row passes through nothing."""
    for i in range(len(at) - 1):
        if falls[i] > 0.0 >= falls[i + 1]:
            return float(at[i] + (at[i + 1] - at[i]) * falls[i] / (falls[i] - falls[i + 1]))
    return float("nan")
