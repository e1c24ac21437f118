"""The band of one result over many runs, and what each doubt carries of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from circuitcheck.circuit.desk import Desk
from circuitcheck.circuit.model import Circuit
from circuitcheck.circuit.subjects import Subject
from circuitcheck.circuit.varied import find_varied, words_of
from circuitcheck.laws.smoothing import Array
from circuitcheck.solver.asked import Results
from circuitcheck.solver.operating import Solution
from circuitcheck.solver.sensitivity import sensitivities
from circuitcheck.studies.dice import dice
from circuitcheck.studies.doubts import TEMPERATURE, VISCOSITY, Doubt, as_warm_as, meter_class

NOTHING = 1e-9
"""Spread of a result as a share of it below which there is none."""


@dataclass(frozen=True)
class Share:
    """What one figure carries of the spread of a result.

    ``runs``: share of the variance by a straight fit through the runs; ``slopes``: the same by
    the adjoint slope at the text's own point, times the spread of the figure; NaN where there
    are no slopes.
    """

    name: str
    runs: float
    slopes: float


@dataclass(frozen=True)
class Band:
    """A result in one step over all runs [SI]; ``low`` and ``high`` hold 90 % of them.

    ``straight``: share of the variance that a straight fit explains. ``linear`` is the
    standard deviation by slopes. ``shares`` have the largest first.
    """

    name: str
    step: str
    quantity: str
    text: float
    mean: float
    low: float
    high: float
    least: float
    most: float
    deviation: float
    linear: float
    straight: float
    shares: tuple[Share, ...]
    solved: int


@dataclass(frozen=True)
class Spreading:
    """A result in a step, and what is needed to say how it spreads."""

    solution: Solution
    doubts: Sequence[Doubt]
    draws: Array
    name: str
    subject: Subject
    step: str
    seed: int
    bell: bool

    @property
    def _circuit(self) -> Circuit:
        return self.solution.circuit

    @property
    def _number(self) -> int:
        """Number of the step among all."""
        return [point.step.name for point in self.solution].index(self.step)

    def band(self, rows: Array) -> Band:
        """Give the band of the results of all runs, (runs,)."""
        rows, own = self._read(rows)
        good = np.isfinite(rows)
        known = rows[good]
        text = self._text()
        if len(known) < 2:
            nan = float("nan")
            return Band(self.name, self.step, self.subject.quantity, text, nan, nan, nan, nan,
                        nan, nan, nan, nan, (), len(known))  # fmt: skip
        low, high = np.quantile(known, (0.05, 0.95))
        deviation = float(np.std(known, ddof=1))
        shares, straight, linear = self._shares(rows, good, own, deviation)
        return Band(
            self.name, self.step, self.subject.quantity, text, float(known.mean()), float(low),
            float(high), float(known.min()), float(known.max()), deviation, linear, straight,
            shares, len(known),
        )  # fmt: skip

    def _text(self) -> float:
        """Give the result with the figures of the text, NaN where it has none."""
        answer = self.solution.answer
        if answer is None or not self.solution.points[self._number].success:
            return float("nan")
        every = np.broadcast_to(Results(answer).of(self.subject), (answer.case.variants,))
        return float(every[self._number])

    def _read(self, rows: Array) -> tuple[Array, tuple[str, Array] | None]:
        """Add the error of the meter where a meter shows the result."""
        part = self._circuit.parts.get(self.subject.name)
        meters = {"gauge": "pressure", "flowmeter": "flow"}
        if part is None or meters.get(part.kind.word) != self.subject.what:
            return rows, None
        scale = part.figure("range")
        thrown = dice(1, len(rows), [self.seed, len(self.doubts), self._number], self.bell)[0]
        full = np.abs(rows) if part.kind.word == "flowmeter" or scale is None else scale
        error = meter_class(part) * full * thrown
        return rows + error, (f"class of {part.name}", error)

    def _shares(
        self, rows: Array, good: Array, own: tuple[str, Array] | None, deviation: float
    ) -> tuple[tuple[Share, ...], float, float]:
        """Give the shares, how much of the variance is straight, the deviation by slopes."""
        scale = float(np.max(np.abs(rows[good])))
        if not deviation > NOTHING * scale:
            return (), 1.0, 0.0
        names = [doubt.name for doubt in self.doubts]
        columns = [row[good] for row in self.draws]
        if own is not None:
            names.append(own[0])
            columns.append(own[1][good])
        middle = np.array([column - column.mean() for column in columns]).T
        y = rows[good] - rows[good].mean()
        slopes, *_ = np.linalg.lstsq(middle, y, rcond=None)
        by_runs = slopes**2 * middle.var(axis=0) / y.var()
        straight = 1.0 - float(np.var(y - middle @ slopes) / y.var())
        moved = self._by_slopes() ** 2
        if own is not None:
            moved = np.append(moved, own[1].var())
        total = float(moved.sum())
        by_slopes = moved / total if total > 0.0 else np.full(len(moved), np.nan)
        rows_of = zip(names, by_runs.tolist(), by_slopes.tolist(), strict=True)
        shares = sorted((Share(*row) for row in rows_of), key=lambda share: -share.runs)
        return tuple(shares), straight, float(np.sqrt(total))

    def _by_slopes(self) -> Array:
        """Give what each doubt moves the result by, one standard deviation of it; (doubts,)."""
        nothing = np.full(len(self.doubts), np.nan)
        answer = self.solution.answer
        oil = next((d.figure for d in self.doubts if d.name == TEMPERATURE), None)
        step = self.solution.points[self._number].step
        figures = [d.figure for d in self.doubts if d.figure is not None and d.acts_in(step)]
        if answer is None:
            return nothing
        if oil is None:
            oil = find_varied(Desk({}, set()), self._circuit, (), words_of(TEMPERATURE, "", 1))
            figures += [] if oil is None else [oil]
        try:
            rows = sensitivities(answer, self.subject, figures, self._number)
        except ValueError:  # not solved there, or it stands where slopes are not defined
            return nothing
        slopes = {row.figure.text: row.slope for row in rows}
        found = []
        for doubt, draws in zip(self.doubts, self.draws, strict=True):
            spread = float(np.std(draws))
            slope = slopes.get(doubt.name, 0.0)
            if doubt.name == VISCOSITY:
                slope = slopes[TEMPERATURE] * self._kelvin_per_share
            found.append(slope * spread)
        return np.array(found)

    @property
    def _kelvin_per_share(self) -> float:
        """By how much the oil is warmer for a share of viscosity more [K]; below nothing."""
        at = self.solution.points[self._number].oil_degC
        few = np.array([1.0 - 1e-3, 1.0 + 1e-3])
        ends = as_warm_as(self._circuit.oil, np.array([at, at]), few)
        return float((ends[1] - ends[0]) / 2e-3)
