"""Pistons, loads and voids: oil to rod, what hangs on rods and shafts, oil that is missing."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

import numpy as np

from circuitcheck.laws._law import BAR, L_MIN, Law, Slope, Stamp
from circuitcheck.laws.smoothing import Array, Smoothing, pos, sign

NEVER = 1e20
"""Setting of a control that is not fitted [Pa]: it never acts."""

STILL_ROD = 1e-5
"""Speed under which a rod counts as standing: friction and load take any value up to
their full one [m/s]; own choice, 0.6 mm/min."""

STILL_SHAFT = 1e-2
"""The same for shafts [rad/s]; own choice, 0.1 rev/min."""

MISSING = 1e4 * L_MIN
"""Flow that stands for missing oil per bar under the floor [m3/s], at least; so stiff that no
chamber falls below absolute vacuum."""

FASTEST_ROD, FASTEST_SHAFT = 50.0, 2000.0
"""Speeds at which a chamber that goes empty is still at most 0.05 bar under the floor [m/s,
rad/s]; own choice."""


def missing(swept: Array | float) -> Array:
    """Stiffness of the floor of a chamber, [m3/s] per bar, from the most oil it can miss."""
    stiffness: Array = np.maximum(MISSING, np.asarray(swept) / 0.05)
    return stiffness


ABS_WIDTH = BAR
"""Width of the corner of abs(dp) in the pressure-dependent friction [Pa]."""


class Piston(Law):
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
    slopes = (
        Slope(0, 2, None, times="cap_area"),
        Slope(1, 2, None, times="rod_area"),
        Slope(2, 0, 0, times="cap_area"),
        Slope(2, 1, 1, times="rod_area"),
        Slope(2, 2, 2),
    )
    coefficients = MappingProxyType(
        {"cap_area": 0.0, "rod_area": 0.0, "share": 0.0, "viscous": 0.0}
    )

    def fill(
        self, x: Array, c: Mapping[str, Array], s: Smoothing, value: Array, rows: Array
    ) -> None:
        v = x[2]
        still = STILL_ROD * s.creep
        way, dway = sign(v * (1.0 / still), s)
        pressed, rise = pos(x[:2] * (1.0 / BAR), s)
        cap_area, rod_area, viscous = c["cap_area"], c["rod_area"], c["viscous"]
        cap_flow, rod_flow, force = value
        np.multiply(v, cap_area, out=cap_flow)
        np.multiply(v, rod_area, out=rod_flow)
        push, back = x[0] * cap_area, x[1] * rod_area
        np.subtract(push, back, out=force)
        above, below = pressed
        above *= cap_area
        below *= rod_area
        above += below
        above *= c["share"] * BAR  # the friction of a moving rod
        force -= np.multiply(v, viscous, out=push)
        force -= np.multiply(above, way, out=push)
        way *= c["share"]
        rise *= way
        np.subtract(1.0, rise[0], out=rows[0])
        np.subtract(-1.0, rise[1], out=rows[1])
        dway *= above
        dway *= -1.0 / still
        np.subtract(dway, viscous, out=rows[2])


class Load(Law):
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
    slopes = (Slope(0, 0, 0),)
    coefficients = MappingProxyType(
        {"resisting": 0.0, "steady": 0.0, "viscous": 0.0, "still": STILL_ROD, "useful": 1.0}
    )

    def fill(
        self, x: Array, c: Mapping[str, Array], s: Smoothing, value: Array, rows: Array
    ) -> None:
        v = x[0]
        still = c["still"] * s.creep
        way, dway = sign(v / still, s)
        way *= c["resisting"]
        way += c["steady"]
        force = np.multiply(v, c["viscous"], out=value[0])
        force += way
        dway *= c["resisting"]
        dway /= still
        np.add(dway, c["viscous"], out=rows[0])


class Void(Law):
    """Oil that is missing: holds a chamber at its lowest pressure while it goes empty.

    The flow into the node is not supply; whoever prints results says that the part
    cavitates where it is not zero. Lowest pressure 0.9 bar below atmosphere (own choice).
    """

    word = "void"
    terminals = 1
    values = ("flow",)
    stamps = (Stamp(0, 0, 1.0),)
    slopes = (Slope(0, 0, 0, -1.0 / BAR, "missing"),)
    coefficients = MappingProxyType({"floor": -0.9 * BAR, "missing": MISSING})

    def fill(
        self, x: Array, c: Mapping[str, Array], s: Smoothing, value: Array, rows: Array
    ) -> None:
        below = c["floor"] - x[0]
        below *= 1.0 / BAR
        short, rows[0] = pos(below, s)
        np.multiply(short, c["missing"], out=value[0])
