"""Flow in a line: friction from laminar to turbulent, minor losses, height."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

import numpy as np

from circuitcheck.laws._law import PASSAGE
from circuitcheck.laws.pipe_curve import along, curve
from circuitcheck.laws.pipe_friction import reynolds
from circuitcheck.laws.smoothing import Array, Smoothing

CURVE_FROM = 100
"""Variants from which a curve pays (own measurement)."""


class Pipe:
    """A round line. Terminal 0 is its near end.

    Coefficients: bore ``d`` [m], ``length`` [m], ``minor`` sum of loss factors [-],
    ``rough`` roughness over bore [-], ``rho`` [kg/m3], ``nu`` [m2/s], ``head`` pressure of
    the oil column from near to far end [Pa] (positive where the far end is higher).
    """

    word = "pipe"
    terminals = 2
    values = ("flow", "reynolds")
    stamps = PASSAGE
    coefficients: Mapping[str, float] = MappingProxyType(
        {"d": 0.01, "length": 1.0, "minor": 0.0, "rough": 0.0, "rho": 870.0, "nu": 32e-6}
        | {"head": 0.0}
    )

    def prepared(self, c: Mapping[str, Array], variants: int) -> Mapping[str, Array]:
        """Lay the curve of Reynolds number over drop once, where many variants share it."""
        shape = ("d", "length", "minor", "rough")
        if variants < CURVE_FROM or any(c[name].shape[-1] > 1 for name in shape):
            return {}
        edges, pieces = curve(c["length"] / c["d"], c["minor"], c["rough"])
        return {"edges": edges, "pieces": pieces}

    def evaluate(self, x: Array, c: Mapping[str, Array], s: Smoothing) -> tuple[Array, Array]:
        dp = x[0] - x[1] - c["head"]
        scale = 2.0 * c["d"] ** 2 / (c["rho"] * c["nu"] ** 2)
        y = np.abs(dp) * scale
        line = np.broadcast_to(c["length"] / c["d"], y.shape)
        minor = np.broadcast_to(c["minor"], y.shape)
        if "pieces" in c:
            re, slope = along(y, line, minor, c["edges"], c["pieces"])
        else:
            re, slope = reynolds(y, line, minor, np.broadcast_to(c["rough"], y.shape))
        per_re = 0.25 * np.pi * c["d"] * c["nu"]
        q = np.sign(dp) * re * per_re
        dq = slope * scale * per_re
        value = np.stack([q, re])
        dre = np.sign(dp) * slope * scale
        return value, np.stack([np.stack([dq, -dq]), np.stack([dre, -dre])])
