"""Size beyond which no figure of a quantity belongs to a machine, for parameters of no own end."""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType

FARTHEST: Mapping[str, float] = MappingProxyType(
    {
        "pressure": 1e9,
        "flow": 10.0,
        "displacement": 10.0,
        "volume": 1e4,
        "length": 1e5,
        "area": 1e5,
        "force": 1e9,
        "mass": 1e8,
        "torque": 1e9,
        "power": 1e9,
        "speed": 1e3,
        "rotation": 1e5,
        "time": 1e9,
        "temperature": 1000.0,
        "temperature_difference": 1000.0,
        "viscosity": 1.0,
        "dynamic_viscosity": 1e3,
        "density": 1e5,
        "ratio": 1e9,
        "share": 1e3,
        "count": 1e6,
        "angle": 1e6,
        "stiffness": 1e12,
        "energy": 1e12,
        "heat_conductance": 1e6,
        "heat_transfer": 1e6,
        "specific_heat": 1e6,
        "frequency": 1e5,
    }
)
"""Own choice [SI], a decade or more beyond the largest that is built: 10,000 bar, 100,000 t.
Such a figure is a slip of the pen (a unit, a comma), and its results would be nonsense."""


def outermost(quantity: str) -> tuple[float, float]:
    """Least and most that a figure of a quantity can be at all [SI]; codes have no ends."""
    far = FARTHEST.get(quantity, math.inf)
    return -far, far
