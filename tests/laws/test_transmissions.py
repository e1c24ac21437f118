"""Couplings of shafts: small torques stay whole, limits hold."""

from __future__ import annotations

import numpy as np
import pytest

from circuitcheck.laws.smoothing import EXACT, Array, Smoothing
from circuitcheck.laws.transmissions import UNLIMITED, Coupling


def torques(slip: float, limit: float, s: Smoothing = EXACT) -> tuple[float, float, Array]:
    """Torque in, torque out and slopes of a coupling of 1e4 N m s, ratio 1."""
    c = {name: np.array([[value]]) for name, value in Coupling.coefficients.items()}
    c |= {"stiffness": np.array([[1e4]]), "limit": np.array([[limit]])}
    value, slope = Coupling().evaluate(np.array([[[slip]], [[0.0]]]), c, s)
    return float(value[0, 0, 0]), float(value[1, 0, 0]), slope[:, :, 0, 0]


@pytest.mark.parametrize("tails", [False, True])
@pytest.mark.parametrize("slip", [1e-12, 1e-7, -3e-6, 2e-3])
def test_torque_without_a_limit_is_stiffness_times_slip(slip: float, tails: bool) -> None:
    """To the last figures, however small beside the limit that stands for none."""
    _, out, slope = torques(slip, UNLIMITED, Smoothing(tails=tails))
    assert out == pytest.approx(1e4 * slip, rel=1e-15)
    assert slope[1, 0] == 1e4


@pytest.mark.parametrize("slip", [1e-9, 1e-6, -1e-4])
def test_torque_far_under_its_limit_is_whole(slip: float) -> None:
    _, out, _ = torques(slip, 1e8)
    assert out == pytest.approx(1e4 * slip, rel=1e-15)


@pytest.mark.parametrize("way", [-1.0, 1.0])
def test_beyond_its_limit_it_slips_at_it(way: float) -> None:
    taken, out, slope = torques(way * 1.0, 60.0)
    assert [out, taken] == pytest.approx([way * 60.0] * 2, rel=1e-12)
    assert not slope.any()
