"""A pump or motor whose slip and lost torque come from a measured table."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

import numpy as np

from circuitcheck.laws._law import Law, Slope, Stamp
from circuitcheck.laws.machines import STILL_SHAFT
from circuitcheck.laws.rotary import INLET, OUT, SHAFT, Rotary, turned
from circuitcheck.laws.smoothing import Array, Smoothing, sign

UNITS = ("rotary", "measured")
"""Words of the laws of a pump or motor; flow, torque and stroke are among their values."""

CASE = 5
"""Terminal of the law beside those of `Rotary`."""

FLOW, TORQUE, STROKE = range(3)

SLOPED = 5
"""Values with slopes: all but the stroke."""

PATHS = ((OUT, INLET, "inside"), (OUT, CASE, "to_case"), (INLET, CASE, "back_to_case"))
"""Ways of the slip, and the coefficient that says how much of it goes there."""


class Measured(Law):
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
    slopes = tuple(
        Slope(number, terminal, row * 6 + terminal)
        for row, number in enumerate((FLOW, TORQUE, 3, 4, 5))
        for terminal in range(6)
    )
    coefficients = MappingProxyType(
        dict(Rotary.coefficients)
        | {"inside": 1.0, "to_case": 0.0, "back_to_case": 0.0}
        | {"pressures": 0.0, "speeds": 0.0, "strokes": 0.0, "slip": 0.0, "torque_lost": 0.0}
    )

    def fill(
        self, x: Array, c: Mapping[str, Array], s: Smoothing, value: Array, rows: Array
    ) -> None:
        slope = rows.reshape(SLOPED, self.terminals, *x.shape[1:])
        slope[...] = 0.0
        w, (stroke, dstroke) = x[SHAFT], turned(x[:CASE], c, s, value, slope[:, :CASE])
        at = _hats(c["speeds"], np.abs(w)), _hats(c["strokes"], np.abs(stroke))
        for i, (start, end, share) in enumerate(PATHS, start=3):
            dp = x[start] - x[end]
            way, part = np.sign(dp), c[share]
            slip, dslip = interpolated(c["slip"], (_hats(c["pressures"], np.abs(dp)), *at))
            value[i] = part * way * slip
            own = slope[i - 1]  # the stroke, in between, has no slopes
            for terminal, turns in dstroke.items():
                own[terminal] = part * way * dslip[2] * np.sign(stroke) * turns
            own[SHAFT] += part * way * dslip[1] * np.sign(w)
            own[start] += part * dslip[0]
            own[end] -= part * dslip[0]
        dp = x[OUT] - x[INLET]
        lost, dlost = interpolated(c["torque_lost"], (_hats(c["pressures"], np.abs(dp)), *at))
        still = STILL_SHAFT * s.creep
        turn, dturn = sign(w / still, s)
        value[TORQUE] += lost * turn
        for terminal, turns in dstroke.items():
            slope[TORQUE, terminal] += turn * dlost[2] * np.sign(stroke) * turns
        slope[TORQUE, SHAFT] += turn * dlost[1] * np.sign(w) + lost * dturn / still
        slope[TORQUE, OUT] += turn * dlost[0] * np.sign(dp)
        slope[TORQUE, INLET] -= turn * dlost[0] * np.sign(dp)


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
