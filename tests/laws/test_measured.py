"""Units with a table of losses: interpolation against scipy, and where the slip goes."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import RegularGridInterpolator

from circuitcheck.laws.measured import interpolated
from circuitcheck.laws.smoothing import Array
from tests.laws.element import BAR, L_MIN, values

FULL = 45e-6 / (2 * np.pi)
PRESSURES = np.array([0.0, 100.0, 250.0, 350.0]) * BAR
SPEEDS = np.array([50.0, 150.0, 250.0])
STROKES = np.array([0.25, 1.0])
RNG = np.random.default_rng(3)
SLIP = np.cumsum(RNG.uniform(0.1, 1.0, (4, 3, 2)), axis=0) * L_MIN
SLIP -= SLIP[:1]
TORQUE = RNG.uniform(1.0, 10.0, (4, 3, 2))
CASE_BAR = 2.0


def looked_up(table: Array, dp: float, w: float, stroke: float) -> float:
    """What scipy finds at the place, held at the edges of the grid."""
    axes = (PRESSURES, SPEEDS, STROKES)
    at = [
        np.clip(v, a[0], a[-1]) for v, a in zip((abs(dp), abs(w), abs(stroke)), axes, strict=True)
    ]
    return float(RegularGridInterpolator(axes, table)(at)[0])


def unit(out: float, inlet: float, w: float, stroke: float, **figures: float) -> Array:
    tables = {
        "pressures": PRESSURES[:, None, None],
        "speeds": SPEEDS[:, None, None],
        "strokes": STROKES[:, None, None],
        "slip": SLIP[..., None, None],
        "torque_lost": TORQUE[..., None, None],
    }
    x = [out * BAR, inlet * BAR, 0, w, 0, CASE_BAR * BAR]
    return values("measured", x, full=FULL, command=stroke, **tables, **figures)


@given(
    st.floats(-0.5, 400), st.floats(-0.5, 400), st.floats(1, 300), st.sampled_from([-1.0, 1.0]),
    st.floats(-1, 1),
)  # fmt: skip
def test_losses_are_those_of_the_table(
    out: float, inlet: float, speed: float, way: float, stroke: float
) -> None:
    w = way * speed
    shares = {"inside": 0.5, "to_case": 0.3, "back_to_case": 0.2}
    flow, torque, found, *slips = unit(out, inlet, w, stroke, **shares)
    assert found == pytest.approx(stroke, abs=1e-12)
    drops = [(out - inlet) * BAR, (out - CASE_BAR) * BAR, (inlet - CASE_BAR) * BAR]
    assert flow == pytest.approx(stroke * FULL * w, rel=1e-12, abs=1e-20)
    expected = [
        share * np.sign(dp) * looked_up(SLIP, dp, w, stroke)
        for share, dp in zip(shares.values(), drops, strict=True)
    ]
    assert slips == pytest.approx(expected, rel=1e-9, abs=1e-15)
    lost = looked_up(TORQUE, drops[0], w, stroke)
    assert torque == pytest.approx(stroke * FULL * drops[0] + way * lost, rel=1e-9)


def test_without_shares_all_slip_stays_inside() -> None:
    *_, inside, to_case, back = unit(200, 0, 150, 1.0)
    assert inside == pytest.approx(looked_up(SLIP, 200 * BAR, 150, 1.0))
    assert (to_case, back) == (0.0, 0.0)


def test_slopes_of_a_table_are_those_of_its_cells() -> None:
    """Derivatives to each axis alone, in a table that is the sum of its axes."""
    grid = PRESSURES[:, None, None] * 2e-9 + SPEEDS[:, None] * 3e-3 + STROKES * 5.0
    axes = (PRESSURES, SPEEDS, STROKES)
    at = (120 * BAR, 160.0, 0.6)
    weights = []
    for axis, z in zip(axes, at, strict=True):
        i = int(np.searchsorted(axis, z)) - 1
        width = axis[i + 1] - axis[i]
        hat, slope = np.zeros(axis.size), np.zeros(axis.size)
        hat[i], hat[i + 1] = (axis[i + 1] - z) / width, (z - axis[i]) / width
        slope[i], slope[i + 1] = -1.0 / width, 1.0 / width
        weights.append((hat, slope))
    value, slopes = interpolated(grid, (weights[0], weights[1], weights[2]))
    assert value == pytest.approx(120e5 * 2e-9 + 160 * 3e-3 + 0.6 * 5.0)
    assert slopes == pytest.approx([2e-9, 3e-3, 5.0])
