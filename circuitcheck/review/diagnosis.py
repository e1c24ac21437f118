"""Which fault explains all readings of a machine, and what to read next.

Every fault is put into the model and grown; at each size the misfit of a reading is the
distance to what the meter would show, in standard deviations, of which its tolerance is two.
The sum of their squares ranks the faults. A machine is called sound where the readings miss
the sound model by no more than chance.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from circuitcheck.circuit.model import Circuit, Claim
from circuitcheck.laws.smoothing import Array
from circuitcheck.review.faults import Fault, faults
from circuitcheck.review.meters import places, same_place
from circuitcheck.review.pairs import Pair, pairs
from circuitcheck.review.signatures import Signature, signatures, sound
from circuitcheck.rules import tolerance
from circuitcheck.solver.solve import STEADY

SOUND, POOR = 0.98, 0.999
"""Chance below which sound readings miss by so little; the same for a fault that explains."""

NEAR = 6.0
"""A fault that misses by so much more than the best one can still be it: about one in twenty
with one size to fit; own choice."""

LEAST = {"pressure": 3e4, "flow": 1e-6, "temperature": 1.0, "speed": 5e-4, "rotation": 0.5}
"""Least standard deviation of a meter [SI]: 0.3 bar, 0.06 L/min ...; own choice."""

SPLITS = 2.0
"""Standard deviations by which a further reading must split two faults to be proposed."""

GAUGE = 0.016
"""Class of the gauge that is proposed for a further reading; common practice, no source."""

LEFT_OVER = 2
"""Readings beyond the two sizes to fit from which a pair of faults says something."""

SHARE = 0.002
"""Share of a reading that the model itself may miss by; own choice."""


@dataclass(frozen=True)
class Candidate:
    """A fault with the size [SI] that explains the readings best.

    ``misfit`` is the sum of squares in standard deviations, ``misses`` those of each reading;
    ``shown`` are all meters of the diagnosis at that size.
    """

    fault: Fault
    size: float
    misfit: float
    misses: tuple[float, ...]
    shown: Array


@dataclass(frozen=True)
class Next:
    """A reading that would split the leading candidates.

    ``shows``: what it would show with each of them [SI], in their order; ``alike``: their
    numbers, those together that it would not tell apart, from the lowest reading up.
    """

    meter: Claim
    shows: tuple[float, ...]
    alike: tuple[tuple[int, ...], ...]


@dataclass(frozen=True)
class Diagnosis:
    """The verdict: ``sound`` where nothing needs to be wrong, else candidates, best first.

    ``expected`` are the readings of the sound machine, ``misses`` how far off each is in
    standard deviations. ``explains`` is whether the best candidate explains all readings;
    ``doubtful`` the reading without which one would, -1 for none. ``pairs``: where no single
    fault explains them, two together that do, best first.
    """

    readings: tuple[Claim, ...]
    expected: Array
    misses: tuple[float, ...]
    misfit: float
    sound: bool
    candidates: tuple[Candidate, ...]
    explains: bool
    doubtful: int
    next: Next | None
    pairs: tuple[Pair, ...] = ()

    @property
    def leading(self) -> tuple[Candidate, ...]:
        """Candidates that these readings cannot tell apart."""
        return tuple(c for c in self.candidates if c.misfit <= self.candidates[0].misfit + NEAR)


class Bench:
    """A circuit with the signatures of its faults, to be held against several sets of readings.

    ``meters`` are readings (their values do not matter) and further places that could be
    read, in this order; ``oil`` the oil temperature [degC] of steps in which it was read.
    """

    def __init__(
        self, circuit: Circuit, meters: Sequence[Claim], oil: dict[str, float] | None = None,
        known: Sequence[Fault] | None = None,
    ) -> None:  # fmt: skip
        self.circuit = circuit
        self.meters = tuple(meters)
        self.oil = oil or {}
        self.faults = faults(circuit, circuit.oil_degC) if known is None else list(known)
        self.sound = sound(circuit, self.meters, self.oil)
        acting = [
            one
            for one in signatures(circuit, self.meters, self.oil, self.faults)
            if self._acts(one)
        ]
        self._signatures = [(one, *one.fine()) for one in acting]

    def _acts(self, one: Signature) -> bool:
        """Whether a fault shows anywhere."""
        scale = np.array([_spread(m, v) for m, v in zip(self.meters, self.sound, strict=True)])
        off = np.abs(one.shown - self.sound) / scale
        return bool(np.nanmax(off, initial=0.0) > 0.05)

    def diagnose(self, readings: Sequence[Claim]) -> Diagnosis:
        """Judge readings; they are the first of the meters, in the same order."""
        count = len(readings)
        read = np.array([_size(r) for r in readings])
        spread = np.array([deviation(r) for r in readings])
        expected = self.sound[:count]
        known = ~np.isnan(expected)
        misses = np.where(known, (read - expected) / spread, 0.0)
        misfit = float(misses @ misses)
        well = misfit <= _chance(SOUND, int(known.sum()))
        ranked = self._ranked(read, spread, known)
        explains = bool(ranked) and ranked[0].misfit <= _chance(POOR, max(int(known.sum()) - 1, 1))
        doubtful = -1 if well or explains else self._doubtful(read, spread, known)
        following = None
        if not well and ranked:
            following = self._next(ranked, count)
        two = () if well or explains else self._two(readings, read, spread)
        return Diagnosis(
            tuple(readings), expected, tuple(map(float, misses)), misfit, well, tuple(ranked),
            explains, doubtful, following, two,
        )  # fmt: skip

    def _two(self, readings: Sequence[Claim], read: Array, spread: Array) -> tuple[Pair, ...]:
        """Pairs of faults that explain the readings, where these are enough to say so."""
        healthy = self.sound[: len(read)]
        free = int((~np.isnan(healthy)).sum()) - 2
        if free < LEFT_OVER:
            return ()
        signed = [one for one, _, _ in self._signatures]
        found = pairs(self.circuit, self.oil, readings, read, spread, healthy, signed)
        most = min(_chance(POOR, free), found[0].misfit + NEAR if found else 0.0)
        return tuple(one for one in found if one.misfit <= most)

    def _ranked(self, read: Array, spread: Array, known: Array) -> list[Candidate]:
        found = []
        count = len(read)
        for one, figures, shown in self._signatures:
            off = (read - shown[:, :count]) / spread
            off[:, ~known.astype(bool)] = 0.0
            lost = np.isnan(off).any(axis=1)
            squares = np.where(lost, np.inf, np.sum(np.nan_to_num(off) ** 2, axis=1))
            best = int(np.argmin(squares))
            if np.isfinite(squares[best]):
                found.append(
                    Candidate(
                        one.fault,
                        float(figures[best]),
                        float(squares[best]),
                        tuple(map(float, off[best])),
                        shown[best],
                    )
                )
        return sorted(found, key=lambda one: one.misfit)

    def _doubtful(self, read: Array, spread: Array, known: Array) -> int:
        """Reading without which the rest is explained, by a fault or by none; -1 if none."""
        left = int(known.sum()) - 1
        if left < 3:
            return -1
        for i in np.flatnonzero(known):
            some = known.copy()
            some[i] = False
            misses = np.where(some, (read - self.sound[: len(read)]) / spread, 0.0)
            if float(np.nansum(misses**2)) <= _chance(SOUND, left):
                return int(i)
            best = self._ranked(read, spread, some)
            if best and best[0].misfit <= _chance(SOUND, left - 1):
                return int(i)
        return -1

    def _next(self, ranked: list[Candidate], count: int) -> Next | None:
        """The place not read yet that splits the leading candidates into the most groups.

        Of those that split alike it is the one whose groups lie furthest apart.
        """
        leading = [c for c in ranked if c.misfit <= ranked[0].misfit + NEAR]
        best: tuple[tuple[int, float], Next] | None = None
        pressures = [
            value for m, value in zip(self.meters, self.sound, strict=True)
            if m.figure.quantity == "pressure" and not np.isnan(value)
        ]  # fmt: skip
        # one gauge that stands the highest pressure is carried from place to place
        gauge = GAUGE * max(pressures, default=0.0) / 2.0
        for i in range(count, len(self.meters)):
            values = np.array([c.shown[i] for c in leading])
            if np.isnan(values).any():
                continue
            spread = _spread(self.meters[i], float(values[0]))
            if self.meters[i].figure.quantity == "pressure":
                spread = max(spread, gauge)
            groups, gap = _groups(values / spread)
            worth = (len(groups), min(gap, 20.0))
            if len(groups) > 1 and (best is None or worth > best[0]):
                best = worth, Next(self.meters[i], tuple(map(float, values)), groups)
        return None if best is None else best[1]


def _groups(values: Array) -> tuple[tuple[tuple[int, ...], ...], float]:
    """Part values [standard deviations] where they are further apart than `SPLITS`; the
    numbers of each group, and the least gap between groups."""
    order = np.argsort(values, kind="stable")
    gaps = np.diff(values[order])
    cuts = np.flatnonzero(gaps > SPLITS)
    groups = tuple(tuple(map(int, group)) for group in np.split(order, cuts + 1))
    return groups, float(gaps[cuts].min()) if len(cuts) else 0.0


def diagnose(circuit: Circuit) -> tuple[Diagnosis, list[Claim]]:
    """Judge the readings of a circuit; give as well those that name no step and are left out.

    In a circuit of one step every reading is of that step.
    """
    steps = [step.name for step in circuit.steps] or [STEADY.name]
    only = steps[0] if len(steps) == 1 else ""
    named = [replace(one, step=one.step or only) for one in circuit.readings]
    used = [one for one in named if one.step and one.mode == "within"]
    oil = {one.step: one.temperature for one in reversed(used) if one.temperature is not None}
    further = [
        meter for meter in places(circuit) if not any(same_place(meter, one) for one in used)
    ]
    bench = Bench(circuit, [*used, *further], oil)
    return bench.diagnose(used), [one for one in named if one not in used]


def deviation(reading: Claim) -> float:
    """Standard deviation of a reading [SI]: half its tolerance, and what the model may miss."""
    least = LEAST.get(reading.figure.quantity, 1e-3 * abs(reading.figure.value) + 1e-12)
    return float(np.hypot(max(tolerance(reading) / 2.0, least), SHARE * reading.figure.value))


def _spread(meter: Claim, value: float) -> float:
    """Standard deviation of a meter that shows a value [SI], its tolerance taken as a share."""
    share = meter.tolerance if meter.share else 0.02
    least = LEAST.get(meter.figure.quantity, 1e-12)
    return float(max(share * abs(value) / 2.0, least))


def _size(reading: Claim) -> float:
    quantity = reading.figure.quantity
    signless = quantity in ("speed", "flow", "rotation", "force", "torque")
    return abs(reading.figure.value) if signless else reading.figure.value


def _chance(share: float, count: int) -> float:
    """Sum of squares that ``count`` normal deviates keep under with a probability."""
    from scipy.special import gammaincinv  # loaded where readings are judged

    return float(2.0 * gammaincinv(0.5 * max(count, 1), share))
