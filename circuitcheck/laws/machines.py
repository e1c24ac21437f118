"""Rotary units and pistons: oil to shaft, oil to rod, and the loads on them."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

import numpy as np

from circuitcheck.laws._law import BAR, L_MIN, Stamp
from circuitcheck.laws.smoothing import Array, Smoothing, least, pos, ramp, sign, size

NEVER = 1e20
"""Setting of a control that is not fitted [Pa]: it never acts."""

STILL_ROD = 1e-5
"""Speed under which a rod counts as standing: friction and load take any value up to
their full one [m/s]; own choice, 0.6 mm/min."""

STILL_SHAFT = 1e-2
"""The same for shafts [rad/s]; own choice, 0.1 rev/min."""

MISSING = 1e4 * L_MIN
"""Flow that stands for missing oil per bar under the floor [m3/s]; so stiff that no chamber
falls below absolute vacuum."""

ABS_WIDTH = BAR
"""Width of the corner of abs(dp) in the pressure-dependent friction [Pa]."""


class Rotary:
    """A pump or motor: moves x D w from terminal 1 (inlet) to terminal 0 (outlet).

    Terminals: outlet, inlet, sensed load pressure, shaft. Torque taken from the shaft is
    x D dp + (drag abs(w) + rub abs(dp) + stick) sign(w). The stroke fraction x is the
    least of what the controls ask for, each a straight line over its band:

    cut-off      (cutoff - p_out)/cutoff_band
    load sensing (margin - (p_out - p_sensed))/margin_band
    torque       torque/(D dp)
    command      command

    clipped to 0..1; a command below zero turns the flow round (over-centre). ``full`` is
    D [m3/rad]; drag [N m s], rub [m3], stick [N m]. Slip is not in here: it is a `Gap`
    between the ports, so that it goes where the part sends it.
    """

    word = "rotary"
    terminals = 4
    values = ("flow", "torque", "stroke")
    stamps = (Stamp(0, 1, -1.0), Stamp(0, 0, 1.0), Stamp(1, 3, -1.0))
    coefficients: Mapping[str, float] = MappingProxyType(
        {"full": 0.0, "drag": 0.0, "rub": 0.0, "stick": 0.0, "command": 1.0}
        | {"cutoff": NEVER, "cutoff_band": 7 * BAR}
        | {"margin": NEVER, "margin_band": 3 * BAR, "torque": 1e12}
    )

    def evaluate(self, x: Array, c: Mapping[str, Array], s: Smoothing) -> tuple[Array, Array]:
        out, inlet, sensed, w = x
        dp = out - inlet
        zero = np.zeros_like(dp)
        # fractions are held under 2 so that a control far from acting keeps no weight
        cut = np.minimum((c["cutoff"] - out) / (c["cutoff_band"] * s.widen), 2.0)
        dcut = np.where(cut < 2.0, -1.0 / (c["cutoff_band"] * s.widen), zero)
        ls = np.minimum((c["margin"] - out + sensed) / (c["margin_band"] * s.widen), 2.0)
        dls = np.where(ls < 2.0, -1.0 / (c["margin_band"] * s.widen), zero)
        lift, dlift = pos(dp / BAR - 1.0, s)
        base = BAR * (1.0 + lift)  # max(dp, 1 bar)
        whole = np.broadcast_to(c["torque"] / (c["full"] * base), dp.shape)
        tq = np.minimum(whole, 2.0)
        dtq = np.where(whole < 2.0, -whole / base * dlift, zero)
        a, a_cut, a_ls = least(cut, ls, s)
        b, b_a, b_tq = least(a, tq, s)
        clipped, dclip = ramp(b, s)
        way = np.sign(c["command"]) + (c["command"] == 0.0)
        # full command must not round the corner of full stroke a second time
        given = np.abs(c["command"])
        ask = np.broadcast_to(np.where(given >= 1.0, 2.0, given), dp.shape)
        taken, t_own, _ = least(clipped, ask, s)
        stroke = way * taken
        gain = way * t_own * dclip
        d_out = gain * (b_a * (a_cut * dcut + a_ls * dls) + b_tq * dtq)
        d_in = -gain * b_tq * dtq
        d_ls = -gain * b_a * a_ls * dls
        full = c["full"]
        rough, drough = size(dp / ABS_WIDTH, s)
        loss = c["drag"] * np.abs(w) + c["rub"] * ABS_WIDTH * rough + c["stick"]
        still = STILL_SHAFT * s.creep
        turn, dturn = sign(w / still, s)
        flow = stroke * full * w
        torque = stroke * full * dp + loss * turn
        value = np.stack([flow, torque, stroke])
        slope = np.zeros((3, 4, *dp.shape))
        slope[2, 0], slope[2, 1], slope[2, 2] = d_out, d_in, d_ls
        slope[0] = slope[2] * (full * w)
        slope[0, 3] += stroke * full
        slope[1] = slope[2] * (full * dp)
        rub = c["rub"] * drough * turn
        slope[1, 0] += stroke * full + rub
        slope[1, 1] -= stroke * full + rub
        slope[1, 3] += c["drag"] * np.sign(w) * turn + loss * dturn / still
        return value, slope


class Piston:
    """A piston between cap (0) and rod side (1) on a rod that moves at speed v (2).

    Cap takes cap_area v, the rod side gives rod_area v; force on the rod is
    cap_area p0 - rod_area p1 - friction, friction = share (cap_area p0 + rod_area p1)
    sign(v) + viscous v with pressures under zero counted as zero. v > 0 moves the rod out.
    ``viscous`` [N s/m] must be above zero: without it nothing would share oil between two
    rods that are fed in parallel.
    """

    word = "piston"
    terminals = 3
    values = ("cap flow", "rod flow", "force")
    stamps = (Stamp(0, 0, -1.0), Stamp(1, 1, 1.0), Stamp(2, 2, 1.0))
    coefficients: Mapping[str, float] = MappingProxyType(
        {"cap_area": 0.0, "rod_area": 0.0, "share": 0.0, "viscous": 0.0}
    )

    def evaluate(self, x: Array, c: Mapping[str, Array], s: Smoothing) -> tuple[Array, Array]:
        cap, rod, v = x
        still = STILL_ROD * s.creep
        way, dway = sign(v / still, s)
        above, dabove = pos(cap / BAR, s)
        below, dbelow = pos(rod / BAR, s)
        rub = c["share"] * BAR * (c["cap_area"] * above + c["rod_area"] * below)
        value = np.stack(
            [
                c["cap_area"] * v,
                c["rod_area"] * v,
                c["cap_area"] * cap - c["rod_area"] * rod - rub * way - c["viscous"] * v,
            ]
        )
        slope = np.zeros((3, 3, *v.shape))
        slope[0, 2] = c["cap_area"]
        slope[1, 2] = c["rod_area"]
        slope[2, 0] = c["cap_area"] * (1.0 - c["share"] * dabove * way)
        slope[2, 1] = -c["rod_area"] * (1.0 + c["share"] * dbelow * way)
        slope[2, 2] = -rub * dway / still - c["viscous"]
        return value, slope


class Load:
    """What hangs on a rod or shaft: force that acts on it at speed v.

    ``resisting`` works against the motion (up to its value at rest), ``steady`` has one
    sign, positive against motion out; ``viscous`` grows with speed. Forces [N] or torques
    [N m]; ``still`` is the speed under which the part counts as standing. ``useful`` is
    not used here: it is the share of the power that the accounts call useful.
    """

    word = "load"
    terminals = 1
    values = ("force",)
    stamps = (Stamp(0, 0, -1.0),)
    coefficients: Mapping[str, float] = MappingProxyType(
        {"resisting": 0.0, "steady": 0.0, "viscous": 0.0, "still": STILL_ROD, "useful": 1.0}
    )

    def evaluate(self, x: Array, c: Mapping[str, Array], s: Smoothing) -> tuple[Array, Array]:
        v = x[0]
        still = c["still"] * s.creep
        way, dway = sign(v / still, s)
        force = c["resisting"] * way + c["steady"] + c["viscous"] * v
        slope = c["resisting"] * dway / still + c["viscous"]
        return force[None], slope[None, None]


class Void:
    """Oil that is missing: holds a chamber at its lowest pressure while it goes empty.

    The flow into the node is not supply; whoever prints results says that the part
    cavitates where it is not zero. Lowest pressure 0.9 bar below atmosphere (own choice).
    """

    word = "void"
    terminals = 1
    values = ("flow",)
    stamps = (Stamp(0, 0, 1.0),)
    coefficients: Mapping[str, float] = MappingProxyType({"floor": -0.9 * BAR})

    def evaluate(self, x: Array, c: Mapping[str, Array], s: Smoothing) -> tuple[Array, Array]:
        short, dshort = pos((c["floor"] - x[0]) / BAR, s)
        return (MISSING * short)[None], (-MISSING / BAR * dshort)[None, None]


class Slip:
    """A shaft driven at a speed that falls with torque: torque = (idle - w) stiffness."""

    word = "slip"
    terminals = 1
    values = ("torque",)
    stamps = (Stamp(0, 0, 1.0),)
    coefficients: Mapping[str, float] = MappingProxyType({"idle": 0.0, "stiffness": 1.0})

    def evaluate(self, x: Array, c: Mapping[str, Array], s: Smoothing) -> tuple[Array, Array]:
        torque = (c["idle"] - x[0]) * c["stiffness"]
        return torque[None], np.broadcast_to(-c["stiffness"], torque.shape)[None, None]
