"""A pump or motor whose slip and lost torque come from a measured table."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

import numpy as np

from circuitcheck.laws._law import Stamp
from circuitcheck.laws.machines import STILL_SHAFT
from circuitcheck.laws.rotary import INLET, OUT, SHAFT, Rotary
from circuitcheck.laws.smoothing import Array, Smoothing, sign

UNITS = ("rotary", "measured")
"""Words of the laws of a pump or motor; flow, torque and stroke are among their values."""

CASE = 5
"""Terminal of the law beside those of `Rotary`."""

FLOW, TORQUE, STROKE = range(3)

PATHS = ((OUT, INLET, "inside"), (OUT, CASE, "to_case"), (INLET, CASE, "back_to_case"))
"""Ways of the slip, and the coefficient that says how much of it goes there."""


class Measured:
    """A rotary unit with its losses interpolated over pressure, speed and stroke.

    Terminals, controls and coefficients are those of `Rotary`, the case is one more
    terminal. The table is a grid: ``pressures`` [Pa], the first of them zero, ``speeds``
    [rad/s] and ``strokes`` [1] each have an axis of their own in front; ``slip`` [m3/s] and
    ``torque_lost`` [N m] have all three. Both are multilinear between the points of the
    grid and held at its edge beyond them. Slip follows the pressure of each of its ways;
    ``inside``, ``to_case`` and ``back_to_case`` are the shares of the table's slip that go
    from outlet to inlet, from outlet to case and from inlet to case. The lost torque
    follows abs(p_out - p_in) and acts against the motion.

    The table must give no slip without pressure, else slip would jump where pressure turns.
    """

    word = "measured"
    terminals = 6
    values = ("flow", "torque", "stroke", "slip", "case slip", "case slip back")
    stamps = (
        *Rotary.stamps,
        Stamp(3, OUT, -1.0),
        Stamp(3, INLET, 1.0),
        Stamp(4, OUT, -1.0),
        Stamp(4, CASE, 1.0),
        Stamp(5, INLET, -1.0),
        Stamp(5, CASE, 1.0),
    )
    coefficients: Mapping[str, float] = MappingProxyType(
        dict(Rotary.coefficients)
        | {"inside": 1.0, "to_case": 0.0, "back_to_case": 0.0}
        | {"pressures": 0.0, "speeds": 0.0, "strokes": 0.0, "slip": 0.0, "torque_lost": 0.0}
    )

    def evaluate(self, x: Array, c: Mapping[str, Array], s: Smoothing) -> tuple[Array, Array]:
        moved, moved_slope = Rotary().evaluate(x[:CASE], c, s)
        value = np.concatenate([moved, np.zeros_like(moved)])
        slope = np.zeros((len(self.values), self.terminals, *x.shape[1:]))
        slope[: len(moved), :CASE] = moved_slope
        w, stroke, dstroke = x[SHAFT], value[STROKE], slope[STROKE].copy()
        at = _hats(c["speeds"], np.abs(w)), _hats(c["strokes"], np.abs(stroke))
        for i, (start, end, share) in enumerate(PATHS, start=3):
            dp = x[start] - x[end]
            way, part = np.sign(dp), c[share]
            slip, dslip = interpolated(c["slip"], (_hats(c["pressures"], np.abs(dp)), *at))
            value[i] = part * way * slip
            slope[i] = part * way * dslip[2] * np.sign(stroke) * dstroke
            slope[i, SHAFT] += part * way * dslip[1] * np.sign(w)
            slope[i, start] += part * dslip[0]
            slope[i, end] -= part * dslip[0]
        dp = x[OUT] - x[INLET]
        lost, dlost = interpolated(c["torque_lost"], (_hats(c["pressures"], np.abs(dp)), *at))
        still = STILL_SHAFT * s.creep
        turn, dturn = sign(w / still, s)
        value[TORQUE] += lost * turn
        slope[TORQUE] += turn * dlost[2] * np.sign(stroke) * dstroke
        slope[TORQUE, SHAFT] += turn * dlost[1] * np.sign(w) + lost * dturn / still
        slope[TORQUE, OUT] += turn * dlost[0] * np.sign(dp)
        slope[TORQUE, INLET] -= turn * dlost[0] * np.sign(dp)
        return value, slope


Hats = tuple[Array, Array]
"""Weight of every point of an axis and its derivative, (points, ...)."""


def _hats(axis: Array, z: Array) -> Hats:
    """Weigh the points of an axis for linear interpolation at z, held beyond its ends."""
    low, width = axis[:-1], np.diff(axis, axis=0)
    beyond = np.clip((z - low) / width, 0.0, 1.0)
    rises = np.where((z >= low) & (z < low + width), 1.0 / width, 0.0)
    shape = (1, *z.shape)
    weight = -np.diff(beyond, axis=0, prepend=np.ones(shape), append=np.zeros(shape))
    slope = -np.diff(rises, axis=0, prepend=np.zeros(shape), append=np.zeros(shape))
    return weight, slope


def interpolated(table: Array, at: tuple[Hats, Hats, Hats]) -> tuple[Array, Array]:
    """Give a table (pressures, speeds, strokes, ...) at a point and its three derivatives."""

    def summed(*weights: Array) -> Array:
        found = table
        for weight in weights:
            found = np.einsum("i...,i...->...", _beside(weight, found), found)
        return found

    (p, dp), (w, dw), (x, dx) = at
    return summed(p, w, x), np.stack([summed(dp, w, x), summed(p, dw, x), summed(p, w, dx)])


def _beside(weight: Array, table: Array) -> Array:
    """Put the axes that a table has more behind the first one of a weight."""
    more = (1,) * (table.ndim - weight.ndim)
    return weight.reshape(weight.shape[0], *more, *weight.shape[1:])
