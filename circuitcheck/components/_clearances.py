"""Leakage of a piston unit from its clearances: pistons, slipper pads, lands of the plate.

All gaps are laminar and lead to the case; half of the pistons stand under pressure.
"""

from __future__ import annotations

import math

import numpy as np

from circuitcheck.components._parts import Parameter, Part
from circuitcheck.laws.net import Net, Value
from circuitcheck.laws.smoothing import Array

PISTON, SLIPPER, PLATE = "piston gap", "slipper gap", "plate gap"
GAPS = (PISTON, SLIPPER, PLATE)

NEEDS = {
    PISTON: ("pistons", "piston diameter", "piston seal"),
    SLIPPER: ("pistons", "slipper outer", "slipper inner"),
    PLATE: ("inner land from", "inner land to", "outer land from", "outer land to"),
}
"""What belongs to each gap; without it the gap says nothing."""

GAP_LEAST, GAP_MOST = 0.5e-6, 500e-6

PARAMETERS = (
    Parameter(
        PISTON,
        "length",
        "um",
        "radial gap of a piston in its bore, 8 to 15 um is usual",
        least=GAP_LEAST,
        most=GAP_MOST,
    ),
    Parameter("piston seal", "length", "mm", "length of the piston in its bore", least=1e-4),
    Parameter(
        "piston eccentricity",
        "share",
        "%",
        "how far pistons stand off the middle of their bores",
        default=0.0,
        least=0.0,
        most=1.0,
        source="in the middle unless given; a side-loaded piston leaks up to 2.5 times as much",
    ),
    Parameter(
        SLIPPER,
        "length",
        "um",
        "gap under a slipper pad, 5 to 15 um is usual",
        least=GAP_LEAST,
        most=GAP_MOST,
    ),
    Parameter("slipper outer", "length", "mm", "outer diameter of the pad's land", least=1e-4),
    Parameter("slipper inner", "length", "mm", "inner diameter of the pad's land", least=1e-4),
    Parameter(
        PLATE,
        "length",
        "um",
        "gap between cylinder block and valve plate, 5 to 12 um is usual",
        least=GAP_LEAST,
        most=GAP_MOST,
    ),
    Parameter("inner land from", "length", "mm", "inner radius of the inner land", least=1e-4),
    Parameter("inner land to", "length", "mm", "outer radius of the inner land", least=1e-4),
    Parameter("outer land from", "length", "mm", "inner radius of the outer land", least=1e-4),
    Parameter("outer land to", "length", "mm", "outer radius of the outer land", least=1e-4),
    Parameter(
        "plate arc",
        "angle",
        "deg",
        "arc of the kidney under pressure",
        default=0.8 * math.pi,
        least=0.1,
        most=2.0 * math.pi,
        source="0.8 of a half turn of two lands; common practice, no source",
    ),
)


def given(part: Part) -> bool:
    """Whether the text gives any gap."""
    return any(part.given(name) for name in GAPS)


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    """Gaps without their other dimensions, lands turned inside out."""
    found = [
        (
            gap,
            f"the {gap} of {part.name} needs '{name}' too",
            f"give {', '.join(NEEDS[gap])}",
        )
        for gap in GAPS
        for name in NEEDS[gap]
        if part.given(gap) and part.figure(name) is None
    ]
    pairs = (
        ("slipper inner", "slipper outer"),
        ("inner land from", "inner land to"),
        ("inner land to", "outer land from"),
        ("outer land from", "outer land to"),
    )
    for small, large in pairs:
        inside, outside = part.figure(small), part.figure(large)
        if inside is not None and outside is not None and inside >= outside:
            message = f"'{large}' of {part.name} is not larger than '{small}'"
            found.append((large, message, "look at the two figures"))
    return found


def annular(diameter: Value, gap: Value, length: Value, eccentricity: Value, mu: Array) -> Array:
    """Leakage of a piston [m3/(s Pa)]: pi d h^3 (1 + 1.5 e^2)/(12 mu L)."""
    off = 1.0 + 1.5 * np.asarray(eccentricity) ** 2
    over = np.asarray(diameter) * np.asarray(gap) ** 3 * off / np.asarray(length)
    g: Array = math.pi * over / (12.0 * mu)
    return g


def pad(outer: Value, inner: Value, gap: Value, mu: Array) -> Array:
    """Leakage of a slipper pad [m3/(s Pa)]: pi h^3/(6 mu ln(R/r)), whole pressure under it."""
    g: Array = math.pi * np.asarray(gap) ** 3 / (6.0 * mu * np.log(np.asarray(outer) / inner))
    return g


def lands(arc: Value, gap: Value, radii: tuple[Value, Value, Value, Value], mu: Array) -> Array:
    """Leakage over both lands of a kidney [m3/(s Pa)]."""
    r1, r2, r3, r4 = (np.asarray(r) for r in radii)
    both = 1.0 / np.log(r2 / r1) + 1.0 / np.log(r4 / r3)
    g: Array = np.asarray(arc) * np.asarray(gap) ** 3 * both / (12.0 * mu)
    return g


def leakage(net: Net, part: Part) -> tuple[Array, Array]:
    """Leakage across and to the case [m3/(s Pa)]; without a case port it stays inside."""
    mu = net.oil.mu
    whole = np.zeros(net.variants)
    if part.given(PISTON):
        pressed = 0.5 * np.asarray(net.value("pistons"))
        d, gap, length = (net.value(n) for n in ("piston diameter", PISTON, "piston seal"))
        whole = whole + pressed * annular(d, gap, length, net.value("piston eccentricity"), mu)
    if part.given(SLIPPER):
        pressed = 0.5 * np.asarray(net.value("pistons"))
        outer, inner, gap = (net.value(n) for n in ("slipper outer", "slipper inner", SLIPPER))
        whole = whole + pressed * pad(outer, inner, gap, mu)
    if part.given(PLATE):
        r1, r2, r3, r4 = (net.value(name) for name in NEEDS[PLATE])
        whole = whole + lands(net.value("plate arc"), net.value(PLATE), (r1, r2, r3, r4), mu)
    if net.joined("L"):
        return np.zeros(net.variants), whole
    return whole, np.zeros(net.variants)
