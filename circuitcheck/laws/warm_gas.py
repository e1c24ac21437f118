"""Oil stored behind gas that warms when it is squeezed and gives its heat to the wall."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

import numpy as np

from circuitcheck.laws._law import BAR, Law, Slope, Stamp
from circuitcheck.laws.smoothing import Array, Smoothing
from circuitcheck.laws.storage import ATMOSPHERE, squeeze

ROUNDS = 40
SETTLED = 1e-13


class WarmStore(Law):
    """A store whose gas has a temperature of its own; pressure at the end of the step.

    Gas at the temperature of the wall follows the curve of `laws.storage.Store`; at theta
    times that (absolute), its pressure is theta times as high. Over a step it warms by
    being squeezed and relaxes to the wall: d theta/dt = (1 - theta)/T + theta dk/dt, with
    k = kappa y + bend y^2 of y = ln(volume/gas volume). With k growing evenly,

        theta = theta0 exp(-l) + a (1 - exp(-l))/l,  a = duration/T,  l = a - (k - k0).

    ``excess`` is theta0 - 1 when the step begins, ``relax`` a; the value of that name is
    theta - 1 when it ends. Source: time constant of the gas, Otis and Pourmovahed 1985,
    from memory.
    """

    word = "warm_store"
    terminals = 1
    values = ("flow", "held", "excess")
    stamps = (Stamp(0, 0, -1.0),)
    slopes = (Slope(0, 0, 0, times="rate"),)
    coefficients = MappingProxyType(
        {"volume": 1e-3, "charge": BAR, "exponent": 1.0, "start": 0.0, "rate": 0.0}
        | {"real1": 0.0, "real2": 0.0, "real3": 0.0}
        | {"kappa": 0.4, "bend": 0.0, "excess": 0.0, "relax": 0.0}
    )

    def fill(
        self, x: Array, c: Mapping[str, Array], s: Smoothing, value: Array, rows: Array
    ) -> None:
        absolute = x[0] + ATMOSPHERE
        before = -np.log1p(-np.minimum(c["start"] / c["volume"], 0.999999))
        log_theta = np.broadcast_to(np.log1p(c["excess"]), absolute.shape).copy()
        for _ in range(ROUNDS):
            y, dy, warm, slope = self._at(absolute * np.exp(-log_theta), before, c, s)
            steep = 1.0 + slope * dy * absolute * np.exp(-log_theta)
            move = np.clip((log_theta - warm) / steep, -1.0, 1.0)
            log_theta = log_theta - move
            if np.max(np.abs(move), initial=0.0) < SETTLED:
                break
        cooled = np.exp(-log_theta)
        y, dy, _, slope = self._at(absolute * cooled, before, c, s)
        # the pressure of the cool gas moves less than that of the warm one
        shift = cooled / (1.0 + slope * dy * absolute * cooled)
        held = c["volume"] * -np.expm1(-y)
        rows[0] = c["volume"] * np.exp(-y) * dy * shift
        value[0] = (held - c["start"]) * c["rate"]
        if len(value) > 1:
            value[1] = held
            value[2] = np.where(c["rate"] > 0.0, np.expm1(log_theta), c["excess"])

    @staticmethod
    def _at(
        cool: Array, before: Array, c: Mapping[str, Array], s: Smoothing
    ) -> tuple[Array, Array, Array, Array]:
        """y at the pressure the gas would have cool, dy/dp; ln(theta) that y makes, its slope
        to y."""
        y, dy = squeeze(cool, c, s)
        a = c["relax"]
        fade = a - (c["kappa"] + c["bend"] * (y + before)) * (y - before)
        near = np.abs(fade) < 1e-4  # by series: the plain forms lose their figures there
        safe = np.where(near, 1.0, fade)
        share = np.where(near, 1.0 - fade / 2.0 + fade**2 / 6.0, -np.expm1(-safe) / safe)
        plain = (np.exp(-safe) * (safe + 1.0) - 1.0) / safe**2
        dshare = np.where(near, -0.5 + fade / 3.0 - fade**2 / 8.0, plain)
        old = (1.0 + c["excess"]) * np.exp(-fade)
        theta = old + a * share
        warming = c["kappa"] + 2.0 * c["bend"] * y
        return y, dy, np.log(theta), warming * (old - a * dshare) / theta
