"""Duties of an electric motor: rms over the cycle, long loads of S3 and S6, short peaks.

IEC 60034-1, from memory: S1 runs on at the rated load; S3 and S6 carry it for the duty
factor of a cycle of 10 minutes, and rest (S3) or run idle (S6) for the rest of it; every
motor stands 1.6 times its rated torque for 15 s.
"""

from __future__ import annotations

import numpy as np

from circuitcheck.components._drives import mean_square, rated_torque, torque_of
from circuitcheck.components._parts import Caution, Part
from circuitcheck.laws.net import Bools
from circuitcheck.laws.smoothing import Array
from circuitcheck.laws.view import View

DUTIES = ("S1", "S3", "S6")

CYCLE = 600.0
"""Cycle to which the duty factor of S3 and S6 belongs [s]; IEC 60034-1, from memory."""

PEAK, PEAK_TIME = 1.6, 15.0
"""Torque in rated ones that a motor stands, and how long [s]; IEC 60034-1, from memory."""


def allowed(view: View) -> Array:
    """Rms torque over the whole cycle that the duty allows, in rated torques.

    S1: the rated one. S3 and S6: rated for a share of the time, so sqrt(share) of it as a
    mean over the cycle; losses of running idle are left out.
    """
    factor = view.value_of("duty factor")
    found: Array = np.sqrt(np.asarray(1.0 if factor is None else factor, dtype=float))
    return found


def load(part: Part, view: View) -> Array | None:
    """Rms torque over what the duty allows; None where no power is given."""
    rated = rated_torque(view)
    if rated is None:
        return None
    found: Array = mean_square(view, torque_of(part, view)) / (rated * allowed(view))
    return found


def cautions(part: Part, view: View) -> list[tuple[Caution, ...]]:
    """Loads that last longer than the duty, or the motor itself, stands."""
    found: list[list[Caution]] = [[] for _ in range(view.variants)]
    rated = rated_torque(view)
    if rated is None:
        return [tuple(said) for said in found]
    share = torque_of(part, view) / rated
    # no motor carries its peak for long; an S3 or S6 motor its rated load neither
    for i, lasts in _stretches(view, share > PEAK):
        if lasts > PEAK_TIME:
            found[i].append(
                Caution(
                    "motor-peak-too-long",
                    f"{part.name} gives {share[i]:.2f} times its rated torque in a stretch of "
                    f"{lasts:.0f} s; {PEAK:g} times for {PEAK_TIME:g} s is what motors stand",
                    "a shorter peak, or a larger motor",
                )
            )
    factor = view.value_of("duty factor")
    if factor is None:
        return [tuple(said) for said in found]
    most = CYCLE * float(np.max(np.asarray(factor)))
    for i, lasts in _stretches(view, share > allowed(view)):
        if lasts > most:
            found[i].append(
                Caution(
                    "motor-duty-too-long",
                    f"{part.name} is under load for {lasts:.0f} s on end; its duty is "
                    f"{most:.0f} s of every {CYCLE:.0f} s",
                    "a motor for S1, or longer pauses between shorter loads",
                )
            )
    return [tuple(said) for said in found]


def _stretches(view: View, under: Bools) -> list[tuple[int, float]]:
    """First variant and length [s] of every run of steps that are under load."""
    found: list[tuple[int, float]] = []
    lasts = view.by_step(view.duration)
    for variation, column in enumerate(view.by_step(under).T):
        before = False
        for step, now in enumerate(column):
            if now and before:
                found[-1] = (found[-1][0], found[-1][1] + float(lasts[step, variation]))
            elif now:
                where = step * view.variations + variation
                found.append((where, float(lasts[step, variation])))
            before = bool(now)
    return found
