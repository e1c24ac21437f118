"""Buckling of a rod that pushes: Euler where slender, Johnson where short; ends of the stroke."""

from __future__ import annotations

from types import MappingProxyType

import numpy as np

from circuitcheck.basics.tables import read_toml
from circuitcheck.laws.smoothing import Array

LENGTH_FACTOR = MappingProxyType(
    {
        "pinned both ends": 1.0,
        "fixed and pinned": 0.7,
        "fixed and free": 2.0,
        "fixed both ends": 0.5,
    }
)
"""Free buckling length over length pin to pin, by mounting; textbook."""


def buckling_load(rod: Array, free_length: Array) -> Array:
    """Load at which a round steel bar buckles [N]; diameter and free length [m].

    Elasticity and yield as in the limits of the rule on buckling. Source: Euler and
    Johnson, textbook.
    """
    limits = read_toml("limits/limits.toml")["rod-buckling"]
    elasticity, strength = limits["elasticity"]["value"] * 1e6, limits["yield"]["value"] * 1e6
    slender = free_length / (rod / 4.0)
    area = 0.25 * np.pi * rod**2
    euler = np.pi**2 * elasticity * area / slender**2
    johnson = area * strength * (1.0 - strength * slender**2 / (4.0 * np.pi**2 * elasticity))
    found: Array = np.where(slender < np.pi * np.sqrt(2.0 * elasticity / strength), johnson, euler)
    return found
