"""Shafts that gears, belts and clutches join: scales and stiffness that fit what runs over them.

A pump gives its shaft the scale of its displacement; a shaft that only carries on what
another takes knows nothing of it. Scales are handed on along the chain by the ratios, and
the stiffness of a coupling follows from them: as firm as rounding of the speeds allows.
"""

from __future__ import annotations

import numpy as np

from circuitcheck.laws._law import BAR, L_MIN
from circuitcheck.laws.machines import STILL_SHAFT
from circuitcheck.laws.net import GEAR_STIFFNESS, SHAFT, Element, System
from circuitcheck.laws.smoothing import Array

FIRM = 3e7
"""Torque of a coupling, in the scale of its shaft, that its whole speed as slip would give.
At 300 bar the speeds agree to 1e-5; the rounding of a speed makes 1e-8 bar. Own choice."""

TOGETHER = 1e-4
"""Slip of a clutch, as share of its speed, that is none yet; own choice."""

SLOWEST = 1.0
"""Speed under which a shaft counts as turning this slowly [rad/s]; own choice."""


def fit(system: System) -> None:
    """Hand scales along the chains of shafts, then set the stiffness of every coupling."""
    couplings = [element for element in system.elements if element.law == "coupling"]
    if not couplings:
        return
    speed = _turning(system, couplings)
    for _ in couplings:
        for element in couplings:
            _share_scale(system, element)
    for element in couplings:
        second = element.terminals[1]
        unknown = system.unknowns[second]
        turns = max(speed.get(second, unknown.scale), SLOWEST)
        firm = FIRM * unknown.row / turns
        engaged = element.coefficients["stiffness"] / GEAR_STIFFNESS
        # its whole limit is reached at a slip under which shafts turn together
        most = element.coefficients["limit"] / min(STILL_SHAFT, TOGETHER * turns)
        element.coefficients["stiffness"] = engaged * np.minimum(firm, most)


def _ratio(element: Element) -> float:
    ratio: Array = element.coefficients["ratio"]
    return float(np.mean(ratio))


def _share_scale(system: System, element: Element) -> None:
    """Give both shafts the larger scale of torque, seen through the ratio."""
    first, second = (system.unknowns[i] for i in element.terminals)
    ratio = _ratio(element)
    torque = max(first.row * ratio, second.row)
    for unknown, row in ((first, torque / ratio), (second, torque)):
        if row > unknown.row:
            unknown.row, unknown.scale = row, 10 * L_MIN * BAR / row


def _turning(system: System, couplings: list[Element]) -> dict[int, float]:
    """Speed at which each shaft turns idle, at most, by its number; drives first [rad/s]."""
    speed = {
        i: float(np.max(np.abs(unknown.pin)))
        for i, unknown in enumerate(system.unknowns)
        if unknown.kind == SHAFT and unknown.pinned.any()
    }
    for element in system.elements:
        if element.law == "slip":
            speed[element.terminals[0]] = float(np.max(np.abs(element.coefficients["idle"])))
    for _ in couplings:
        for element in couplings:
            first, second = element.terminals
            if first in speed and second not in speed:
                speed[second] = speed[first] / _ratio(element)
    return speed
