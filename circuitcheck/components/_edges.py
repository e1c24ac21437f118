"""Metering edges: sharp ones that turn viscous at low Reynolds number, and long ones."""

from __future__ import annotations

import math

import numpy as np

from circuitcheck.components._common import NU_RATED, RHO_RATED, circle
from circuitcheck.laws.net import Net, Value
from circuitcheck.laws.smoothing import Array

SHARP = 0.62
"""Flow coefficient of a sharp edge; 0.60 to 0.65 in practice, Merritt 1967, from memory."""

ROUND_HOLE = 0.2
"""C = 0.2 root(Re) of a round hole at low Reynolds number; Merritt 1967, from memory."""

NEGLIGIBLE = 0.01
"""Viscous share under which a metering edge counts as sharp; own choice."""

LEAST_BORE = 1e-6
"""Bore that the passage of a finer hole is reckoned with [m]: of one that is shut it is nowhere."""

LEAST_START = 1e3
"""Drop below which every hole is taken as straight [Pa]; own choice."""


def viscous_start(coefficient: Value, bore: Value, nu: Value, rho: Value) -> Array:
    """Drop [Pa] about which a hole of this bore [m] passes from viscous to turbulent.

    Where the straight line C = 0.2 root(Re) and the constant coefficient meet.
    """
    width = np.maximum(bore, LEAST_BORE)
    own = np.asarray(coefficient) * np.asarray(nu) / (ROUND_HOLE**2 * width)
    start: Array = np.hypot(0.5 * np.asarray(rho) * own**2, LEAST_START)
    return start


def hole(net: Net, name: str, a: str, b: str, bore: Value, coefficient: Value = SHARP) -> None:
    """Sharp-edged hole of a bore [m]."""
    k = np.asarray(coefficient) * circle(bore) * np.sqrt(2.0 / net.oil.rho)
    start = viscous_start(coefficient, bore, net.oil.nu, net.oil.rho)
    net.hole(name, a, b, k, start)


def rated_edge(
    net: Net, name: str, a: str, b: str, flow: Value, drop: Value, opening: Value = 1.0
) -> None:
    """Sharp edge that passes ``flow`` at ``drop``, fully open, with the usual test oil.

    ``opening`` is its share of that area. The bore that its viscous start needs is that of
    the round hole of its area.
    """
    share = np.maximum(np.asarray(opening, dtype=float), 0.0)
    free = np.asarray(flow) / np.sqrt(np.asarray(drop))
    bore = np.sqrt(free / (SHARP * math.sqrt(2.0 / RHO_RATED)) / (0.25 * math.pi))
    at_test = viscous_start(SHARP, bore, NU_RATED, RHO_RATED)
    k = free * (1.0 + (at_test / np.asarray(drop)) ** 2) ** 0.25
    k = k * np.sqrt(RHO_RATED / net.oil.rho)
    held = bore * np.sqrt(np.maximum(share, 1e-6))
    net.hole(name, a, b, k * share, viscous_start(SHARP, held, net.oil.nu, net.oil.rho))


def part_viscous(
    net: Net, name: str, a: str, b: str, flow: Value, drop: Value, share: Value, opening: Value
) -> None:
    """Long edge: ``share`` of the drop at ``flow`` is viscous with the usual test oil."""
    passed = np.asarray(flow) * np.maximum(np.asarray(opening), 1e-9)
    viscous = np.maximum(np.asarray(share), NEGLIGIBLE)
    r1 = viscous * np.asarray(drop) / passed * net.oil.nu * net.oil.rho / (NU_RATED * RHO_RATED)
    r2 = (1.0 - viscous) * np.asarray(drop) / passed**2 * net.oil.rho / RHO_RATED
    net.resistor(name, a, b, r1, r2)
