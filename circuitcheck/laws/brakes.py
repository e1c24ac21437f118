"""Friction brake on a shaft: a spring applies it, oil releases it."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from circuitcheck.laws._law import BAR, Law, Slope, Stamp
from circuitcheck.laws.machines import STILL_SHAFT
from circuitcheck.laws.smoothing import Array, Smoothing, ramp, sign


class Brake(Law):
    """Torque against the motion of a shaft (terminal 0), less with oil pressure (1).

    torque = (capacity (1 - r) + drag) sign(w); r is the share released, a straight line
    from 0 at ``begins`` to 1 at ``released`` [Pa]. A shaft that stands takes any torque up
    to the full one. ``capacity``, ``drag`` [N m].
    """

    word = "brake"
    terminals = 2
    values = ("torque", "released")
    stamps = (Stamp(0, 0, -1.0),)
    slopes = (Slope(0, 0, 0), Slope(0, 1, 1))
    coefficients = MappingProxyType(
        {"capacity": 0.0, "drag": 0.0, "begins": 10 * BAR, "released": 20 * BAR}
    )

    def fill(
        self, x: Array, c: Mapping[str, Array], s: Smoothing, value: Array, rows: Array
    ) -> None:
        w, p = x
        still = STILL_SHAFT * s.creep
        way, dway = sign(w / still, s)
        band = c["released"] - c["begins"]
        off, doff = ramp((p - c["begins"]) / band, s)
        grip = c["capacity"] * (1.0 - off) + c["drag"]
        value[0] = grip * way
        value[1:] = off
        rows[0] = grip * dway / still
        rows[1] = -c["capacity"] * doff / band * way
