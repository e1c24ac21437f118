"""Leakage of a spool over its shut edges: the figure that valves share."""

from __future__ import annotations

import numpy as np

from circuitcheck.components._parts import Parameter
from circuitcheck.laws._law import BAR
from circuitcheck.laws.net import Net
from circuitcheck.laws.smoothing import Array


def leakage_parameter(default: float) -> Parameter:
    """Give the parameter ``leakage``; ``default`` [m3/s] at 100 bar."""
    return Parameter(
        "leakage",
        "flow",
        "L/min",
        "leakage over each shut edge",
        default=default,
        least=0.0,
        at=Parameter(
            "leakage pressure",
            "pressure",
            "bar",
            "pressure of that leakage",
            default=100 * BAR,
            least=1e5,
        ),
        source="1e-4 to 1e-3 L/min per bar and edge; common practice, no source",
    )


def leakage_of(net: Net) -> Array:
    """Leakage over one shut edge [m3/(s Pa)]."""
    leak: Array = np.asarray(net.value("leakage")) / np.asarray(net.value("leakage pressure"))
    return leak
