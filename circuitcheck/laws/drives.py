"""Drives of a shaft: governor line, torque curve of an engine, slip of an induction motor."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

import numpy as np

from circuitcheck.laws._law import Law, Slope, Stamp
from circuitcheck.laws.smoothing import Array, Smoothing, least

POINTS = 4
"""Points of a torque curve, from low to high speed."""

NEVER = 1e12
"""Torque that no drive gives [N m]: the curve of a drive that has none."""


class Slip(Law):
    """A shaft driven at a speed that falls with torque.

    Governor line: (idle - w) stiffness, held under a curve of straight lines through the
    points (w0, m0) ... (w3, m3), level outside; ``top`` is its highest torque, which
    scales the rounded corner. With a ``breakdown`` torque above zero instead the formula of
    Kloss, 2 breakdown/(u + 1/u), u = (idle - w)/critical: an induction motor, that brakes
    over its synchronous speed ``idle``. Torques [N m], speeds [rad/s]. While the solver is
    on its way (``widen``) Kloss is stretched to its tangent at synchronous speed.
    """

    word = "slip"
    terminals = 1
    values = ("torque",)
    stamps = (Stamp(0, 0, 1.0),)
    slopes = (Slope(0, 0, 0),)
    coefficients = MappingProxyType(
        {"idle": 0.0, "stiffness": 1.0, "breakdown": 0.0, "critical": 1.0, "top": NEVER}
        | {f"w{i}": float(i) for i in range(POINTS)}
        | {f"m{i}": NEVER for i in range(POINTS)}
    )

    def fill(
        self, x: Array, c: Mapping[str, Array], s: Smoothing, value: Array, rows: Array
    ) -> None:
        w = x[0]
        line, dline = (c["idle"] - w) * c["stiffness"], -c["stiffness"]
        most, dmost = _curve(w, c)
        top = c["top"]
        share, d_line, d_most = least(line / top, most / top, s)
        critical, breakdown = c["critical"] * s.widen, c["breakdown"] * s.widen
        held = top < NEVER
        governed = np.where(held, top * share, line)
        dgoverned = np.where(held, d_line * dline + d_most * dmost, dline)
        u = (c["idle"] - w) / critical
        kloss = 2.0 * breakdown * u / (1.0 + u * u)
        dkloss = -2.0 * breakdown * (1.0 - u * u) / (1.0 + u * u) ** 2 / critical
        motor = c["breakdown"] > 0.0
        value[0] = np.where(motor, kloss, governed)
        rows[0] = np.where(motor, dkloss, dgoverned)


def _curve(w: Array, c: Mapping[str, Array]) -> tuple[Array, Array]:
    """Straight lines through the points, level outside of them; value and derivative."""
    value = np.broadcast_to(c["m0"], w.shape).astype(float)
    slope = np.zeros_like(value)
    for i in range(POINTS - 1):
        rise = (c[f"m{i + 1}"] - c[f"m{i}"]) / (c[f"w{i + 1}"] - c[f"w{i}"])
        value = value + rise * np.clip(w - c[f"w{i}"], 0.0, c[f"w{i + 1}"] - c[f"w{i}"])
        slope = slope + np.where((w > c[f"w{i}"]) & (w < c[f"w{i + 1}"]), rise, 0.0)
    return value, slope
