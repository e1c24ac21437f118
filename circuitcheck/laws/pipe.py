"""Flow in a line: friction from laminar to turbulent, minor losses, height."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

import numpy as np

from circuitcheck.laws._law import BY_DROP, PASSAGE, Law
from circuitcheck.laws.pipe_curve import along, curve
from circuitcheck.laws.pipe_friction import reynolds
from circuitcheck.laws.smoothing import Array, Smoothing

CURVE_FROM = 100
"""Variants from which a curve pays (own measurement)."""


class Pipe(Law):
    """A round line. Terminal 0 is its near end.

    Coefficients: bore ``d`` [m], ``length`` [m], ``minor`` sum of loss factors [-],
    ``rough`` roughness over bore [-], ``rho`` [kg/m3], ``nu`` [m2/s], ``head`` pressure of
    the oil column from near to far end [Pa] (positive where the far end is higher).
    """

    word = "pipe"
    terminals = 2
    values = ("flow", "reynolds")
    stamps = PASSAGE
    slopes = BY_DROP
    coefficients = MappingProxyType(
        {"d": 0.01, "length": 1.0, "minor": 0.0, "rough": 0.0, "rho": 870.0, "nu": 32e-6}
        | {"head": 0.0}
    )

    def prepared(self, c: Mapping[str, Array], variants: int) -> Mapping[str, Array]:
        """Lay the curve of Reynolds number over drop once, where many variants share it."""
        shape = ("d", "length", "minor", "rough")
        scales = _scales(c)
        if variants < CURVE_FROM or any(c[name].shape[-1] > 1 for name in shape):
            return scales
        edges, pieces = curve(c["length"] / c["d"], c["minor"], c["rough"])
        return scales | {"edges": edges, "pieces": pieces}

    def fill(
        self, x: Array, c: Mapping[str, Array], s: Smoothing, value: Array, rows: Array
    ) -> None:
        figures = c if "scale" in c else {**c, **_scales(c)}
        dp = x[0] - x[1]
        if figures["head"].any():
            dp -= figures["head"]
        y = np.abs(dp)
        y *= figures["scale"]
        if "pieces" in c:
            re, slope = along(y, c["edges"], c["pieces"])
        else:
            line, minor, rough = (
                np.broadcast_to(v, y.shape) for v in (c["length"] / c["d"], c["minor"], c["rough"])
            )
            re, slope = reynolds(y, line, minor, rough)
        np.multiply(re, figures["per_re"], out=y)
        np.copysign(y, dp, out=value[0])
        value[1:] = re
        np.multiply(slope, figures["steep"], out=rows[0])


def _scales(c: Mapping[str, Array]) -> dict[str, Array]:
    """What drop and Reynolds number are multiplied by, and the slope of flow over drop."""
    scale = 2.0 * c["d"] ** 2 / (c["rho"] * c["nu"] ** 2)
    per_re = 0.25 * np.pi * c["d"] * c["nu"]
    return {"scale": scale, "per_re": per_re, "steep": scale * per_re}
