"""A pump or motor as a law: displacement, its controls, lost torque, constant efficiencies."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from types import MappingProxyType
from typing import NamedTuple

import numpy as np

from circuitcheck.laws._law import BAR, Law, Slope, Stamp
from circuitcheck.laws.machines import ABS_WIDTH, NEVER, STILL_SHAFT
from circuitcheck.laws.smoothing import Array, Smoothing, least, pos, ramp, sign, size

OUT, INLET, SENSED, SHAFT, PARTNER = range(5)
"""Terminals of the law."""

Wish = tuple[Array, dict[int, Array]]
"""A wanted stroke fraction and its derivatives, by terminal; zero to those not named."""


class Rotary(Law):
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
    slopes = tuple(
        Slope(value, terminal, 5 * value + terminal) for value in range(2) for terminal in range(5)
    )
    coefficients = MappingProxyType(
        {"full": 0.0, "drag": 0.0, "rub": 0.0, "stick": 0.0, "command": 1.0}
        | {"cutoff": NEVER, "cutoff_band": 7 * BAR, "either": 0.0}
        | {"margin": NEVER, "margin_band": 3 * BAR, "begin": -NEVER, "begin_band": BAR}
        | {"torque": 1e12, "cross": 0.0, "deviation": 0.0}
        | {"volumetric": 1.0, "mechanical": 1.0, "pressed": 0.0, "dead": 0.0}
    )

    def prepared(self, c: Mapping[str, Array], variants: int) -> Mapping[str, Array]:
        """Tell which parts of the law any unit has at all, and the stroke where it is fixed."""
        fixed = _fixed(c)
        return {
            "traits": np.array(_traits(c), dtype=float)[:, None],
            "fixed": fixed,
            "share": fixed * c["full"],
            **_losses(c),
        }

    def fill(
        self, x: Array, c: Mapping[str, Array], s: Smoothing, value: Array, rows: Array
    ) -> None:
        turned(x, c, s, value, rows.reshape(2, 5, *x.shape[1:]))


def turned(x: Array, c: Mapping[str, Array], s: Smoothing, value: Array, slope: Array) -> Wish:
    """Fill in the values, and the slopes of flow and torque, (2, terminals, ...); give
    the stroke and its slopes."""
    has = _traits(c)
    dp, w, full = x[OUT] - x[INLET], x[SHAFT], c["full"]
    slope[...] = 0.0
    flow, torque = slope[0], slope[1]
    if has.controlled:
        stroke, dstroke = _stroke(x, c, s, has)
        swept, thrust = full * w, full * dp
        for terminal, own in dstroke.items():
            np.multiply(own, swept, out=flow[terminal])
            np.multiply(own, thrust, out=torque[terminal])
        share = stroke * full
    else:
        stroke, dstroke = c["fixed"] if "fixed" in c else _fixed(c), {}
        share = c["share"] if "share" in c else stroke * full
    still = STILL_SHAFT * s.creep
    turn, dturn = sign(w * (1.0 / still), s)
    for row in (flow[SHAFT], torque[OUT]):
        np.add(row, share, out=row)
    np.subtract(torque[INLET], share, out=torque[INLET])
    moved, ideal = np.multiply(share, w, out=value[0]), np.multiply(share, dp, out=value[1])
    lost: Array = c["stick"]
    if has.by_efficiency:
        kept, taken = _by_efficiency(moved, ideal, dp, w, turn, c, slope, s)
        value[0] = kept
        lost = taken + lost if has.sticks else taken
    if has.pressed:
        back = c["pressed"] * full * np.abs(w)
        space = c["dead"] + 0.5 * (1.0 - np.abs(stroke))
        value[0] -= back * dp * space
        flow[OUT] -= back * space
        flow[INLET] += back * space
        flow[SHAFT] -= c["pressed"] * full * np.sign(w) * dp * space
        half = 0.5 * back * dp * np.sign(stroke)
        for terminal, own in dstroke.items():
            flow[terminal] += half * own
    if has.rubs:
        rough, drough = size(dp / ABS_WIDTH, s)
        lost = lost + c["rub"] * ABS_WIDTH * rough
        rub = c["rub"] * drough * turn
        torque[OUT] += rub
        torque[INLET] -= rub
    dturn *= 1.0 / still
    dturn *= lost
    np.add(torque[SHAFT], dturn, out=torque[SHAFT])
    turn *= lost
    np.add(ideal, turn, out=value[1])
    if has.drags:
        torque[SHAFT] += c["drag"]
        value[1] += c["drag"] * w
    value[2:3] = stroke
    return stroke, dstroke


def _fixed(c: Mapping[str, Array]) -> Array:
    """Stroke of units without a control."""
    found: Array = np.maximum(np.minimum(c["command"], 1.0), -1.0)
    return found


def _stroke(x: Array, c: Mapping[str, Array], s: Smoothing, has: Traits) -> Wish:
    """Stroke fraction with its sign: the least of all wishes, clipped, and the command."""
    wishes = []
    if has.cutoff:
        wishes.append(_cutoff(x, c, s))
    if has.margin:
        wishes.append(_difference(x, c, s))
    if has.centring:
        wishes.append(_centring(x, c))
    if has.torque:
        wishes.append(_torque(x, c, s, has))
    value, slopes = wishes[0]
    for wish in wishes[1:]:
        value, slopes = _lesser((value, slopes), wish, s)
    clipped, dclip = ramp(value, s)
    over = np.sign(c["command"]) + (c["command"] == 0.0)
    # full command must not round the corner of full stroke a second time
    given = np.abs(c["command"])
    ask = np.broadcast_to(np.where(given >= 1.0, 2.0, given), value.shape)
    taken, own, _ = least(clipped, ask, s)
    dclip *= own
    dclip *= over
    taken *= over
    return taken, {terminal: slope * dclip for terminal, slope in slopes.items()}


class Traits(NamedTuple):
    """What any of the units of a circuit has; what none has need not be reckoned."""

    cutoff: bool
    margin: bool
    centring: bool
    torque: bool
    either: bool
    cross: bool
    deviation: bool
    by_efficiency: bool
    pressed: bool
    rubs: bool
    sticks: bool
    drags: bool

    @property
    def controlled(self) -> bool:
        return self.cutoff or self.margin or self.centring or self.torque


@lru_cache(maxsize=100)
def _told(flags: bytes) -> Traits:
    """Traits as they are kept among the coefficients."""
    return Traits(*np.frombuffer(flags).astype(bool).tolist())


def _traits(c: Mapping[str, Array]) -> Traits:
    """Find the traits, or take those that were found for the circuit."""
    if "traits" in c:
        return _told(c["traits"].tobytes())
    return Traits(
        cutoff=bool(np.min(c["cutoff"]) < NEVER),
        margin=bool(np.min(c["margin"]) < NEVER),
        centring=bool(np.max(c["begin"]) > -NEVER),
        torque=bool(np.min(c["torque"]) < 1e12),
        either=bool(np.any(c["either"] != 0.0)),
        cross=bool(np.any(c["cross"] != 0.0)),
        deviation=bool(np.any(c["deviation"] != 0.0)),
        by_efficiency=bool(np.any(c["volumetric"] != 1.0) or np.any(c["mechanical"] != 1.0)),
        pressed=bool(np.any(c["pressed"] != 0.0)),
        rubs=bool(np.any(c["rub"] != 0.0)),
        sticks=bool(np.any(c["stick"] != 0.0)),
        drags=bool(np.any(c["drag"] != 0.0)),
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
) -> tuple[Array, Array]:
    """Flow and lost torque with constant efficiencies; turns the slopes of both to them.

    They take flow from high to low, and torque against the motion.
    """
    figures = c if "pumping" in c else {**c, **_losses(c)}
    way, dway = sign(dp * (1.0 / BAR), s)
    ahead = np.sign(moved)
    way *= ahead
    loss = np.where(way > 0.0, figures["pumping"], figures["motoring"])
    way *= loss
    kept = np.subtract(1.0, way, out=way)
    flow, torque = slope[0], slope[1]
    flow *= kept
    loss *= ahead
    loss *= moved
    loss *= dway
    loss *= 1.0 / BAR
    np.subtract(flow[OUT], loss, out=flow[OUT])
    np.add(flow[INLET], loss, out=flow[INLET])
    round_ = np.sign(w)
    push = ideal * round_
    extra = np.where(push > 0.0, figures["behind"], figures["ahead"])
    taken = extra * push
    extra *= round_
    extra *= turn
    extra += 1.0
    torque *= extra
    kept *= moved
    return kept, taken


def _losses(c: Mapping[str, Array]) -> dict[str, Array]:
    """Shares lost by constant efficiencies: of flow, pumping and working as a motor; of torque,
    where it works against the motion and with it."""
    return {
        "pumping": 1.0 - c["volumetric"],
        "motoring": 1.0 / c["volumetric"] - 1.0,
        "behind": 1.0 / c["mechanical"] - 1.0,
        "ahead": c["mechanical"] - 1.0,
    }


def _lesser(one: Wish, other: Wish, s: Smoothing) -> Wish:
    value, d_one, d_other = least(one[0], other[0], s)
    slopes = {terminal: slope * d_one for terminal, slope in one[1].items()}
    for terminal, slope in other[1].items():
        part = slope * d_other
        slopes[terminal] = slopes[terminal] + part if terminal in slopes else part
    return value, slopes


def _held(value: Array, slopes: dict[int, Array]) -> Wish:
    """Hold a wish under 2, so that a control far from acting keeps no weight."""
    below = value < 2.0
    return np.minimum(value, 2.0), {t: below * slope for t, slope in slopes.items()}


def _cutoff(x: Array, c: Mapping[str, Array], s: Smoothing) -> Wish:
    band = c["cutoff_band"] * s.widen
    if not np.any(c["either"]):
        return _held((c["cutoff"] - x[OUT]) / band, {OUT: -1.0 / band})
    over, dover = pos((x[INLET] - x[OUT]) / BAR, s)
    high = x[OUT] + c["either"] * BAR * over
    back = c["either"] * dover
    return _held((c["cutoff"] - high) / band, {OUT: -(1.0 - back) / band, INLET: -back / band})


def _difference(x: Array, c: Mapping[str, Array], s: Smoothing) -> Wish:
    band = c["margin_band"] * s.widen
    slopes = {OUT: -1.0 / band, SENSED: 1.0 / band}
    return _held((c["margin"] - x[OUT] + x[SENSED]) / band, slopes)


def _centring(x: Array, c: Mapping[str, Array]) -> Wish:
    band = c["begin_band"]
    return _held((x[SENSED] - c["begin"]) / band, {SENSED: 1.0 / band})


def _torque(x: Array, c: Mapping[str, Array], s: Smoothing, has: Traits) -> Wish:
    z = (x[OUT] - x[INLET]) / BAR
    high, rise = pos(z - 1.0, s)
    if has.either:
        back, dback = pos(-z - 1.0, s)
        high += c["either"] * back
        rise -= c["either"] * dback
    # r: torque at full stroke over the limit; the pressure counts as 1 bar at least
    high += 1.0
    r = high * (c["full"] * BAR / c["torque"])
    rise *= c["full"] / c["torque"]
    slopes = {OUT: rise, INLET: -rise}
    if has.cross:
        other, dother = pos(x[PARTNER] / BAR, s)
        r += c["cross"] * BAR / c["torque"] * other
        slopes[PARTNER] = c["cross"] / c["torque"] * dother
    inverse = 1.0 / np.maximum(r, 1e-12)
    value, dvalue = inverse, -inverse * inverse
    if has.deviation:
        root = np.sqrt(c["deviation"])
        first = 1.0 + root
        second = first * (1.0 + root) / (1.0 - root)
        low, d_first, d_second = least(-_tangent(r, first), -_tangent(r, second), s)
        two = c["deviation"] > 0.0
        value = np.where(two, -low, value)
        dvalue = np.where(two, -(d_first / first**2 + d_second / second**2), dvalue)
    return _held(value, {terminal: slope * dvalue for terminal, slope in slopes.items()})


def _tangent(r: Array, at: Array) -> Array:
    """Tangent of the hyperbola 1/r at a point."""
    line: Array = 2.0 / at - r / at**2
    return line
