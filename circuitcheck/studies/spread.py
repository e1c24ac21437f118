"""How far results spread when figures are a little off, and which of them carries it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from circuitcheck.basics.places import Place
from circuitcheck.basics.quantities import System
from circuitcheck.basics.refusal import CircuitError
from circuitcheck.basics.shown import Shown
from circuitcheck.circuit.desk import Desk
from circuitcheck.circuit.model import Circuit
from circuitcheck.laws.smoothing import Array
from circuitcheck.solver.assignment import Wish, assign
from circuitcheck.solver.solve import STEADY, solve
from circuitcheck.solver.work import NotVaried, Work
from circuitcheck.studies.bands import Band, Spreading
from circuitcheck.studies.dice import dice
from circuitcheck.studies.doubts import (
    FILE,
    TEMPERATURE,
    VISCOSITY,
    Doubt,
    as_warm_as,
    doubts_of,
    is_oil,
    step_degC,
)

RUNS = 2000
"""Runs of a spread; 5 % and 95 % are then known to about a tenth of a standard deviation
with plain draws, better with a Latin hypercube; own choice."""


@dataclass(frozen=True)
class Spread(Shown):
    """Bands of results; ``left_out`` are usual doubts that the circuit cannot have varied.

    ``draws`` are the values of each doubt in each run, (doubts, runs), SI;
    ``units`` are those in which it shows itself.
    """

    bands: tuple[Band, ...]
    doubts: tuple[Doubt, ...]
    draws: Array
    left_out: tuple[str, ...]
    runs: int
    seed: int
    bell: bool
    unsolved: int
    units: System = "metric"


def spread(
    circuit: Circuit,
    results: Sequence[str],
    steps: Sequence[str] = (),
    said: Mapping[str, str] | None = None,
    runs: int = RUNS,
    seed: int = 0,
    bell: bool = False,
    only: bool = False,
) -> Spread:
    """Draw figures within what they may be off, and see how results spread.

    Every value within its limits is as likely as any other (JCGM 100:2008, 4.3.7, for limits
    of which nothing else is known); with ``bell`` they are normal, the limits being twice the
    standard deviation. Drawn as a Latin hypercube. ``said`` names what may be off by how much
    ("R1 set": "3 %", "oil temperature": "5 K"), beside the usual or, with ``only``, alone.

    Raises
    ------
    CircuitError
        If something named is not there, or cannot be varied
    """
    doubts = doubts_of(circuit, said or {}, only)
    doubts, left_out = _varied(circuit, doubts, results, steps)
    thrown = dice(len(doubts), runs, [seed, len(doubts)], bell)
    solution = solve(circuit)
    bands, unsolved = [], 0
    for there, group in _alike(circuit, doubts, steps):
        draws = _values(there, thrown)
        work = _work(circuit, there, draws, results, group)
        chunk = work.solve(0, runs, keep=True)
        unsolved += int(np.count_nonzero(~chunk.solved))
        for i, step in enumerate(chunk.steps):
            for name, subject in work.asked:
                one = Spreading(solution, there, draws, name, subject, step, seed, bell)
                bands.append(one.band(chunk.columns[name][i]))
    order = {name: n for n, name in enumerate(results)}
    places = {step.name: n for n, step in enumerate(circuit.steps or [STEADY])}
    bands.sort(key=lambda band: (order.get(band.name, 0), places[band.step]))
    return Spread(
        tuple(bands), tuple(doubts), _values(doubts, thrown), left_out, runs, seed, bell, unsolved
    )


def _values(doubts: Sequence[Doubt], thrown: Array) -> Array:
    rows = [doubt.values(row) for doubt, row in zip(doubts, thrown, strict=True)]
    return np.array(rows).reshape(thrown.shape)


def _alike(
    circuit: Circuit, doubts: Sequence[Doubt], steps: Sequence[str]
) -> list[tuple[list[Doubt], list[str]]]:
    """Give the steps wanted that have the same orders and oil, with the doubts as they stand."""
    found: dict[tuple[float, ...], tuple[list[Doubt], list[str]]] = {}
    for step in circuit.steps or [STEADY]:
        if not steps or step.name in steps:
            there = [doubt.in_step(circuit, step) for doubt in doubts]
            key = (step_degC(circuit, step), *(doubt.value for doubt in there))
            found.setdefault(key, (there, []))[1].append(step.name)
    return list(found.values())


def _work(
    circuit: Circuit, doubts: Sequence[Doubt], draws: Array, results: Sequence[str],
    steps: Sequence[str],
) -> Work:  # fmt: skip
    """Give the work of all runs for steps in which the doubts stand alike."""
    known = [s for s in circuit.steps or [STEADY] if not steps or s.name in steps] or [STEADY]
    named = {
        d.name: row
        for d, row in zip(doubts, draws, strict=True)
        if not is_oil(d) and any(d.acts_in(step) for step in known)
    }
    rows = {d.name: row for d, row in zip(doubts, draws, strict=True) if is_oil(d)}
    warm = rows.get(TEMPERATURE, np.full(draws.shape[1], step_degC(circuit, known[0])))
    if VISCOSITY in rows:
        warm = as_warm_as(circuit.oil, warm, rows[VISCOSITY])
    work, _ = assign(circuit, Wish(named | {TEMPERATURE: warm}, results, steps, along=False))
    return work


def _varied(
    circuit: Circuit, doubts: list[Doubt], results: Sequence[str], steps: Sequence[str]
) -> tuple[list[Doubt], tuple[str, ...]]:
    """Leave out usual doubts that the circuit cannot have; those a person named are refused."""

    known = list(steps)

    def can(some: list[Doubt]) -> bool:
        ends = np.array([d.values(np.array([-1.0, 1.0])) for d in some]).reshape(len(some), 2)
        work = _work(circuit, some, ends, results, known)
        try:
            work.check()
        except NotVaried as refusal:
            if len(some) == 1 and some[0].wish:
                raise _refused(some[0], refusal) from None
            return False
        return True

    if can(doubts):
        return doubts, ()
    kept = [doubt for doubt in doubts if is_oil(doubt) or can([doubt])]
    if not can(kept):
        kept = [doubt for doubt in kept if is_oil(doubt) or doubt.wish]
    return kept, tuple(doubt.name for doubt in doubts if doubt not in kept)


def _refused(doubt: Doubt, refusal: NotVaried) -> CircuitError:
    desk = Desk({}, set())
    place = Place(FILE, 1, 1, 1, 1 + len(doubt.name))
    desk.error(
        "vary-cannot", place, str(refusal), refusal.misfit.remedy, refusal.misfit.varied.part
    )
    return CircuitError(tuple(desk.findings), doubt.name)
