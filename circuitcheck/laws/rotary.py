"""A pump or motor as a law: displacement, its controls, lost torque, constant efficiencies."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

import numpy as np

from circuitcheck.laws._law import BAR, Stamp
from circuitcheck.laws.machines import ABS_WIDTH, NEVER, STILL_SHAFT
from circuitcheck.laws.smoothing import Array, Smoothing, least, pos, ramp, sign, size

OUT, INLET, SENSED, SHAFT, PARTNER = range(5)
"""Terminals of the law."""

Wish = tuple[Array, Array]
"""A wanted stroke fraction and its derivatives to the terminals, (5, ...)."""


class Rotary:
    """A pump or motor: moves x D w from terminal 1 (inlet) to terminal 0 (outlet).

    Terminals: outlet, inlet, sensed pressure, shaft, outlet of a partner pump. Torque taken
    from the shaft is x D dp + drag w + (rub abs(dp) + stick) sign(w). The stroke
    fraction x is the least of what the controls ask for:

    cut-off      (cutoff - p)/cutoff_band, p at the outlet, with ``either`` the higher side
    load sensing (margin - (p_out - p_sensed))/margin_band; a remote pressure control too
    centring     (p_sensed - begin)/begin_band: without charge pressure no stroke
    torque       torque/(D dp + cross p_partner); with a ``deviation`` the two straight
                 lines of two springs, that far below the hyperbola in their corners
    command      command

    clipped to 0..1; a command below zero turns the flow round (over-centre). ``full`` is
    D [m3/rad]; drag [N m s], rub [m3], stick [N m], cross [m3/rad]. ``volumetric`` and
    ``mechanical`` are efficiencies that hold everywhere, for pump and motor work, in place
    of slip and lost torque. Oil pressed together in the ``dead`` space (share of D) and in
    what a part stroke leaves of the chambers is carried back from the high to the low side:
    D abs(w) dp pressed (dead + (1 - abs(x))/2), ``pressed`` = 1/bulk modulus [1/Pa]; the
    work put into it counts as lost. Slip by clearances is not in here: it is a `Gap` between the
    ports, so that it goes where the part sends it.
    """

    word = "rotary"
    terminals = 5
    values = ("flow", "torque", "stroke")
    stamps = (Stamp(0, 1, -1.0), Stamp(0, 0, 1.0), Stamp(1, 3, -1.0))
    coefficients: Mapping[str, float] = MappingProxyType(
        {"full": 0.0, "drag": 0.0, "rub": 0.0, "stick": 0.0, "command": 1.0}
        | {"cutoff": NEVER, "cutoff_band": 7 * BAR, "either": 0.0}
        | {"margin": NEVER, "margin_band": 3 * BAR, "begin": -NEVER, "begin_band": BAR}
        | {"torque": 1e12, "cross": 0.0, "deviation": 0.0}
        | {"volumetric": 1.0, "mechanical": 1.0, "pressed": 0.0, "dead": 0.0}
    )

    def evaluate(self, x: Array, c: Mapping[str, Array], s: Smoothing) -> tuple[Array, Array]:
        dp, w = x[OUT] - x[INLET], x[SHAFT]
        stroke, dstroke = self._stroke(x, c, s)
        full = c["full"]
        rough, drough = size(dp / ABS_WIDTH, s)
        loss = c["rub"] * ABS_WIDTH * rough + c["stick"]
        still = STILL_SHAFT * s.creep
        turn, dturn = sign(w / still, s)
        slope = np.zeros((3, 5, *dp.shape))
        slope[2] = dstroke
        slope[0] = dstroke * (full * w)
        slope[0, SHAFT] += stroke * full
        slope[1] = dstroke * (full * dp)
        slope[1, OUT] += stroke * full
        slope[1, INLET] -= stroke * full
        moved, ideal = stroke * full * w, stroke * full * dp
        flow: Array = moved
        taken: Array | float = 0.0
        if np.any(c["volumetric"] != 1.0) or np.any(c["mechanical"] != 1.0):
            flow, taken = _by_efficiency(moved, ideal, dp, w, turn, c, slope, s)
        if np.any(c["pressed"] != 0.0):
            back = c["pressed"] * full * np.abs(w)
            space = c["dead"] + 0.5 * (1.0 - np.abs(stroke))
            flow = flow - back * dp * space
            slope[0, OUT] -= back * space
            slope[0, INLET] += back * space
            slope[0, SHAFT] -= c["pressed"] * full * np.sign(w) * dp * space
            slope[0] += 0.5 * back * dp * np.sign(stroke) * dstroke
        torque = ideal + c["drag"] * w + (loss + taken) * turn
        rub = c["rub"] * drough * turn
        slope[1, OUT] += rub
        slope[1, INLET] -= rub
        slope[1, SHAFT] += c["drag"]
        slope[1, SHAFT] += (loss + taken) * dturn / still
        return np.stack([flow, torque, stroke]), slope

    def _stroke(self, x: Array, c: Mapping[str, Array], s: Smoothing) -> Wish:
        """Stroke fraction with its sign: the least of all wishes, clipped, and the command."""
        if _uncontrolled(c):
            shape = x.shape[1:]
            return np.broadcast_to(np.clip(c["command"], -1.0, 1.0), shape), np.zeros_like(x)
        wish = _lesser(_cutoff(x, c, s), _difference(x, c, s), s)
        wish = _lesser(wish, _centring(x, c), s)
        value, slope = _lesser(wish, _torque(x, c, s), s)
        clipped, dclip = ramp(value, s)
        over = np.sign(c["command"]) + (c["command"] == 0.0)
        # full command must not round the corner of full stroke a second time
        given = np.abs(c["command"])
        ask = np.broadcast_to(np.where(given >= 1.0, 2.0, given), value.shape)
        taken, own, _ = least(clipped, ask, s)
        return over * taken, over * own * dclip * slope


def _uncontrolled(c: Mapping[str, Array]) -> bool:
    """Whether no unit has a control: the usual fixed ones, which need no more reckoning."""
    return bool(
        (np.min(c["cutoff"]) >= NEVER)
        and (np.min(c["margin"]) >= NEVER)
        and (np.max(c["begin"]) <= -NEVER)
        and (np.min(c["torque"]) >= 1e12)
    )


def _by_efficiency(
    moved: Array,
    ideal: Array,
    dp: Array,
    w: Array,
    turn: Array,
    c: Mapping[str, Array],
    slope: Array,
    s: Smoothing,
) -> Wish:
    """Flow and lost torque with constant efficiencies; turns the slopes of both to them.

    They take flow from high to low, and torque against the motion.
    """
    way, dway = sign(dp / BAR, s)
    ahead = np.sign(moved)
    gain, dgain = _taken(way * ahead, c["volumetric"])
    slope[0] *= 1.0 - gain
    bend = moved * dgain * ahead * dway / BAR
    slope[0, OUT] -= bend
    slope[0, INLET] += bend
    round_ = np.sign(w)
    a, b = 1.0 / c["mechanical"] - 1.0, 1.0 - c["mechanical"]
    up, down = ideal * round_ > 0.0, ideal * round_ < 0.0
    extra = np.where(up, a, 0.0) - np.where(down, b, 0.0)
    slope[1] *= 1.0 + extra * round_ * turn
    return moved * (1.0 - gain), extra * ideal * round_


def _taken(work: Array, efficiency: Array) -> Wish:
    """Share of the moved flow that is lost; ``work`` is +1 pumping, -1 working as a motor."""
    loss = np.where(work > 0.0, 1.0 - efficiency, 1.0 / efficiency - 1.0)
    return loss * work, loss


def _lesser(one: Wish, other: Wish, s: Smoothing) -> Wish:
    value, d_one, d_other = least(one[0], other[0], s)
    return value, d_one * one[1] + d_other * other[1]


def _held(value: Array, slope: Array) -> Wish:
    """Hold a wish under 2, so that a control far from acting keeps no weight."""
    return np.minimum(value, 2.0), np.where(value < 2.0, slope, 0.0)


def _cutoff(x: Array, c: Mapping[str, Array], s: Smoothing) -> Wish:
    band = c["cutoff_band"] * s.widen
    over, dover = pos((x[INLET] - x[OUT]) / BAR, s)
    high = x[OUT] + c["either"] * BAR * over
    slope = np.zeros_like(x)
    slope[OUT] = -(1.0 - c["either"] * dover) / band
    slope[INLET] = -c["either"] * dover / band
    return _held((c["cutoff"] - high) / band, slope)


def _difference(x: Array, c: Mapping[str, Array], s: Smoothing) -> Wish:
    band = c["margin_band"] * s.widen
    slope = np.zeros_like(x)
    slope[OUT], slope[SENSED] = -1.0 / band, 1.0 / band
    return _held((c["margin"] - x[OUT] + x[SENSED]) / band, slope)


def _centring(x: Array, c: Mapping[str, Array]) -> Wish:
    slope = np.zeros_like(x)
    slope[SENSED] = 1.0 / c["begin_band"]
    return _held((x[SENSED] - c["begin"]) / c["begin_band"], slope)


def _torque(x: Array, c: Mapping[str, Array], s: Smoothing) -> Wish:
    z = (x[OUT] - x[INLET]) / BAR
    ahead, dahead = pos(z - 1.0, s)
    back, dback = pos(-z - 1.0, s)
    other, dother = pos(x[PARTNER] / BAR, s)
    # r: torque at full stroke over the limit; the pressure counts as 1 bar at least
    r = c["full"] * BAR * (1.0 + ahead + c["either"] * back) + c["cross"] * BAR * other
    r = np.broadcast_to(r / c["torque"], z.shape)
    slope = np.zeros_like(x)
    slope[OUT] = c["full"] * (dahead - c["either"] * dback) / c["torque"]
    slope[INLET] = -slope[OUT]
    slope[PARTNER] = c["cross"] * dother / c["torque"]
    root = np.sqrt(c["deviation"])
    first = 1.0 + root
    second = first * (1.0 + root) / (1.0 - root)
    low, d_first, d_second = least(-_tangent(r, first), -_tangent(r, second), s)
    springs = d_first / first**2 + d_second / second**2
    two = c["deviation"] > 0.0
    safe = np.maximum(r, 1e-12)
    value = np.where(two, -low, 1.0 / safe)
    dvalue = np.where(two, -springs, -1.0 / safe**2)
    return _held(value, dvalue * slope)


def _tangent(r: Array, at: Array) -> Array:
    """Tangent of the hyperbola 1/r at a point."""
    line: Array = 2.0 / at - r / at**2
    return line
