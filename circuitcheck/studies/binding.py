"""What stands in the way of a target: ends of ranges, parts at their limits, other figures."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from circuitcheck.basics.findings import Finding
from circuitcheck.laws.smoothing import Array
from circuitcheck.solver.sensitivity import Sensitivity, asked
from circuitcheck.solver.solve import solve
from circuitcheck.studies.targets import CLOSE, Target
from circuitcheck.studies.trials import Trials

NEAR_END = 0.01
"""Share of a range from its end within which a figure is at the end."""

TOLD = 3
"""Other figures that are named."""

DEAF = 1e-7
"""Change of a result, as a share of its target, that is none."""

LEAST = 0.02
"""Share of an effect, per cent for per cent, below which a figure does not count."""

LIMITING = {
    "relief": ("open",),
    "port relief": ("open",),
    "crossport relief": ("open",),
    "unloading valve": ("open", "unloading"),
    "reducing valve": ("regulating", "relieving"),
    "pump": ("cut-off", "limit", "full stroke", "at command", "margin"),
    "cylinder": ("stalled", "at end stop"),
    "motor": ("stalled",),
    "winch": ("stalled", "standing"),
    "electric motor": ("stalled", "overloaded", "over its duty"),
    "engine": ("stalled", "overloaded"),
    "flow control": ("short of drop", "regulating"),
    "bypass flow control": ("regulating",),
}
"""Words in the state of a part that say that it limits something."""


@dataclass(frozen=True)
class Lever:
    """Another figure that would move a missed result: ``share`` in per cent for per cent."""

    figure: str
    share: float


@dataclass(frozen=True)
class Missed:
    """A target that cannot be met, with the parts at their limit and the levers left.

    ``deaf``: the result does not move with the figures at all.
    """

    target: Target
    result: float
    deaf: bool = False
    limits: tuple[str, ...] = ()
    levers: tuple[Lever, ...] = ()


@dataclass(frozen=True)
class Binding:
    """Everything that stands in the way; ``ends`` are figures at an end of their range.

    ``barred`` says why the part cannot have the values beyond, in words.
    """

    missed: tuple[Missed, ...] = ()
    ends: tuple[tuple[str, float], ...] = ()
    barred: str = ""


def what_binds(
    trials: Trials, ranges: Sequence[tuple[float, float]], values: Array
) -> Binding:  # fmt: skip
    """Say what stands in the way at figures (figures,) that miss the targets least."""
    shares = np.linspace(0.02, 0.98, 5)
    over = np.array([low + (high - low) * shares for low, high in ranges])
    results = trials.results(np.hstack([values[:, None], over]))
    missed = [
        _missed(trials, values, target, float(row[0]), _deaf(target, row))
        for target, row in zip(trials.targets, results, strict=True)
        if not target.missed(row[0]) <= CLOSE
    ]
    ends, barred = [], ""
    for i, (low, high) in enumerate(ranges):
        for end in (low, high):
            if abs(values[i] - end) <= NEAR_END * abs(high - low):
                ends.append((trials.figures[i].text, end))
        for way in (0.97, 1.03):  # just beyond: can the part be so at all?
            beyond = values.copy()
            beyond[i] = np.clip(beyond[i] * way, low, high)
            able, why = trials.allowed(beyond[:, None])
            if not able.all():
                barred = barred or why
    return Binding(tuple(missed), tuple(ends), barred)


def _missed(
    trials: Trials, values: Array, target: Target, result: float, deaf: bool
) -> Missed:  # fmt: skip
    able, _ = trials.allowed(values[:, None])
    if not able.all() or np.isnan(result):
        return Missed(target, result)
    circuit = trials.at(values)
    solution = solve(circuit)
    step = _step(trials, values, target)
    if not step:
        return Missed(target, result, deaf)
    limits = [
        f"{name} {state.state}"
        for name, state in solution.step(step).parts.items()
        if any(word in state.state for word in LIMITING.get(state.kind, ()))
    ]
    findings: list[Finding] = []
    try:
        slopes = asked(solution, target.name, (), step, findings)
    except ValueError:  # the point has no slopes: then no lever is named
        slopes = []
    levers = tuple(_levers(trials, target, result, slopes))
    return Missed(target, result, deaf, tuple(limits), levers)


def _deaf(target: Target, row: Array) -> bool:
    """Whether a result stays the same over all trials."""
    known = row[np.isfinite(row)]
    return len(known) > 1 and float(np.ptp(known)) <= DEAF * target.scale


def _step(trials: Trials, values: Array, target: Target) -> str:
    """Give the step in which a target is missed most; none where the cycle is meant."""
    if target.over_cycle or target.step:
        return "" if target.over_cycle else target.step
    chunk = trials.chunks(values[:, None])[0]
    missed = target.missed(chunk.of(target.subject)[:, 0])
    return "" if np.isnan(missed).all() else chunk.steps[int(np.nanargmax(missed))]


def _levers(
    trials: Trials, target: Target, result: float, slopes: Sequence[Sensitivity]
) -> Iterator[Lever]:
    """Give the other figures that move the result most."""
    sized = {figure.text for figure in trials.figures}
    known = [s for s in slopes if s.figure.text not in sized and np.isfinite(s.share)]
    if not result or target.claim.figure.quantity == "temperature":
        return
    for one in sorted(known, key=lambda s: -abs(s.share))[:TOLD]:
        if abs(one.share) >= LEAST and one.at:
            yield Lever(one.figure.text, one.share)
