"""Sizes that meet targets: solves a circuit backwards, for one figure or for several."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import product

import numpy as np

from circuitcheck.basics.quantities import System
from circuitcheck.basics.shown import Shown
from circuitcheck.circuit.model import Circuit
from circuitcheck.circuit.ranges import Axis
from circuitcheck.circuit.varied import Varied
from circuitcheck.laws.smoothing import Array
from circuitcheck.studies import several, single
from circuitcheck.studies.binding import Binding, what_binds
from circuitcheck.studies.standard_sizes import Rounded, Series, Size, series_of
from circuitcheck.studies.targets import CLOSE, Target
from circuitcheck.studies.trials import Trials

WIDEST = 10.0
"""Factor by which a figure may change where no range is given; own choice."""

MOST_FIGURES = 4
"""Figures sized together; each doubles the combinations of standard sizes."""


@dataclass(frozen=True)
class Attempt:
    """Figures that were tried, and what they give: ``results`` by target [SI].

    ``name`` says what it is; ``sizes`` are the figures as they are ordered, empty where they
    are not those of a standard.
    """

    name: str
    values: Array
    results: Array
    meets: tuple[bool, ...]
    sizes: tuple[Size, ...] = ()

    @property
    def good(self) -> bool:
        return all(self.meets)


@dataclass(frozen=True)
class Sized(Shown):
    """What a sizing found.

    ``ranges`` are least and most of each figure, after what its part cannot be was left out;
    ``within``: stretches of the only figure in which all targets are met. ``exact`` is the
    attempt that meets the targets best, ``standard`` those with sizes that can be bought,
    the best first. ``binding`` says what stands in the way where ``exact`` does not meet them.
    """

    circuit: Circuit
    figures: tuple[Varied, ...]
    targets: tuple[Target, ...]
    ranges: tuple[tuple[float, float], ...]
    series: tuple[Series | Rounded, ...]
    present: Attempt
    exact: Attempt
    standard: tuple[Attempt, ...]
    within: tuple[tuple[float, float], ...] = ()
    binding: Binding = field(default_factory=Binding)
    solved: int = 0

    @property
    def feasible(self) -> bool:
        return self.exact.good

    @property
    def chosen(self) -> Attempt:
        """The first standard attempt that meets all targets, else the exact one."""
        return next((a for a in self.standard if a.good), self.exact)


def size(
    circuit: Circuit,
    wanted: Sequence[tuple[Varied, Axis | None]],
    targets: Sequence[Target],
    units: System,
) -> Sized:
    """Find figures that meet targets, and the standard sizes next to them.

    ``wanted`` are the figures, each with the range in which it is sought (None: a tenth to ten
    times what the text gives). One figure is scanned over its range and bracketed (Brent's
    method), several are fitted by least squares within bounds.

    Raises
    ------
    ValueError
        If a figure has neither a range nor a value in the text, or there are too many
    CircuitError
        If a figure cannot be varied
    circuitcheck.studies.trials.NoDurations
        If a target speaks of a cycle whose steps have no durations
    """
    if len(wanted) > MOST_FIGURES:
        raise ValueError(f"at most {MOST_FIGURES} figures are sized together")
    trials = Trials(circuit, [figure for figure, _ in wanted], targets)
    present = trials.present()
    ranges = [_range(f, axis, float(x)) for (f, axis), x in zip(wanted, present, strict=True)]
    within: tuple[tuple[float, float], ...] = ()
    if len(wanted) == 1:
        best, within = single.solve(trials, *ranges[0], float(present[0]))
    else:
        best = several.solve(trials, ranges, present)
    exact = _attempt(trials, "exact", best)
    series = tuple(series_of(circuit.parts.get(f.part), f, units) for f, _ in wanted)
    standard = _standard(trials, series, ranges, exact, within)
    found = Sized(
        circuit, tuple(trials.figures), tuple(targets), tuple(ranges), series,
        _attempt(trials, "as the text has it", present), exact, standard, within,
        solved=trials.solved,
    )  # fmt: skip
    if exact.good:
        return found
    return replace(found, binding=what_binds(trials, ranges, best))


def _range(figure: Varied, axis: Axis | None, present: float) -> tuple[float, float]:
    least, most = figure.parameter.limits
    if axis is not None:
        return axis.low, axis.high
    if np.isnan(present) or present == 0.0:
        raise ValueError(f"the text gives no {figure.text}: say where it is sought")
    if figure.quantity == "temperature":
        return max(present - 40.0, least), min(present + 40.0, most)
    low, high = sorted((present / WIDEST, present * WIDEST))
    return max(low, least), min(high, most)


def _attempt(
    trials: Trials, name: str, values: Array, sizes: tuple[Size, ...] = ()
) -> Attempt:  # fmt: skip
    if np.isnan(values).any():
        nothing = np.full(len(trials.targets), np.nan)
        return Attempt(name, values, nothing, tuple(False for _ in trials.targets))
    results = trials.results(values[:, None])[:, 0]
    meets = tuple(
        bool(t.missed(np.array(y)) <= CLOSE) for t, y in zip(trials.targets, results, strict=True)
    )
    return Attempt(name, values, results, meets, sizes)


def _standard(
    trials: Trials,
    series: Sequence[Series | Rounded],
    ranges: Sequence[tuple[float, float]],
    exact: Attempt,
    within: Sequence[tuple[float, float]],
) -> tuple[Attempt, ...]:
    """Try the sizes next to the exact ones, every combination of up and down.

    Where none of several figures meets the targets so, the sizes beyond are tried as well.
    """
    choices = []
    for i, of in enumerate(series):
        value = float(exact.values[i])
        near = [of.up(value), of.down(value)]
        if len(series) == 1:  # a stretch that meets all: what lies just inside its ends
            low, high = next((w for w in within if w[0] <= value <= w[1]), (value, value))
            near += [of.up(low) if low > ranges[i][0] else None]
            near += [of.down(high) if high < ranges[i][1] else None]
        choices.append(_unique(near))
    found = _combined(trials, choices, exact)
    if len(series) > 1 and exact.good and not any(attempt.good for attempt in found):
        wider = [_unique(_beyond(of, near)) for of, near in zip(series, choices, strict=True)]
        found = _combined(trials, wider, exact)
    return tuple(sorted(found, key=lambda attempt: _rank(trials.targets, attempt, exact)))


def _unique(sizes: Sequence[Size | None]) -> list[Size]:
    return list({size.value: size for size in sizes if size is not None}.values())


def _beyond(of: Series | Rounded, near: Sequence[Size]) -> list[Size | None]:
    """Give sizes with the ones next to them on both sides."""
    away = 100.0 * CLOSE
    sides = [(of.down(s.value * (1.0 - away)), s, of.up(s.value * (1.0 + away))) for s in near]
    return [size for side in sides for size in side]


def _combined(
    trials: Trials, choices: Sequence[Sequence[Size]], exact: Attempt
) -> list[Attempt]:  # fmt: skip
    """Try every combination of sizes that a part can have."""
    found = []
    for sizes in product(*choices):
        values = np.array([size.value for size in sizes])
        able, _ = trials.allowed(values[:, None])
        if able.all():
            found.append(_attempt(trials, _name(sizes, exact), values, tuple(sizes)))
    return found


def _name(sizes: Sequence[Size], exact: Attempt) -> str:
    ways = {"up" if s.value >= x else "down" for s, x in zip(sizes, exact.values, strict=True)}
    return f"next {' and '.join(sorted(ways, reverse=True))}"


def _rank(targets: Sequence[Target], attempt: Attempt, exact: Attempt) -> tuple[float, ...]:
    """Order attempts: those that meet all targets, then by what they miss; upwards first."""
    off = [
        float(np.nan_to_num(t.off(np.array(y)), nan=1e9)) ** 2
        for t, y in zip(targets, attempt.results, strict=True)
    ]
    ups = int(np.count_nonzero(attempt.values >= exact.values * (1.0 - CLOSE)))
    far = float(np.abs(attempt.values / exact.values - 1.0).max()) if exact.values.all() else 0.0
    if attempt.good:
        return 0.0, -float(ups), far
    return 1.0, sum(off), far
