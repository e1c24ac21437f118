"""Nitrogen against figures of an independent library and laws that must hold."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuitcheck.fluid import nitrogen


@pytest.mark.parametrize(
    ("degC", "bar", "Z"),
    [
        (20, 50, 0.9940), (20, 100, 1.0008), (20, 200, 1.0518), (20, 300, 1.1401),
        (60, 100, 1.0213), (60, 200, 1.0751), (60, 400, 1.2466),
    ],
)  # fmt: skip
def test_compressibility(degC: float, bar: float, Z: float) -> None:
    """CoolProp 8.0, at points between those of the table."""
    found = nitrogen.compressibility(np.array(degC), np.array(bar * 1e5))
    assert float(found) == pytest.approx(Z, abs=1e-4)


@pytest.mark.parametrize(
    ("degC", "charge", "bar", "slow", "fast"),
    [(20, 90, 200, 0.4740808, 0.6195285), (20, 90, 350, 0.3071986, 0.4576633)],
)
def test_volume_left(degC: float, charge: float, bar: float, slow: float, fast: float) -> None:
    """CoolProp 8.0: density along the isotherm and along the line of equal entropy."""
    args = np.array(degC), np.array(charge * 1e5), np.array(bar * 1e5)
    assert float(nitrogen.volume_left(*args, False)) == pytest.approx(slow, rel=1e-4)
    assert float(nitrogen.volume_left(*args, True)) == pytest.approx(fast, rel=1e-4)


@given(degC=st.floats(-20, 80), charge=st.floats(1.5e5, 300e5), ratio=st.floats(1.01, 6))
def test_fast_gas_is_stiffer_and_warmer_than_slow(degC: float, charge: float, ratio: float) -> None:
    pressure = min(charge * ratio, 690e5)
    args = np.array(degC), np.array(charge), np.array(pressure)
    slow, fast = (float(nitrogen.volume_left(*args, kind)) for kind in (False, True))
    assert 0.0 < slow < fast < 1.0
    assert float(nitrogen.adiabatic_temperature(*args)) > degC


@given(degC=st.floats(-20, 80), charge=st.floats(1.5e5, 3e5), ratio=st.floats(1.2, 5))
def test_thin_gas_is_nearly_ideal(degC: float, charge: float, ratio: float) -> None:
    args = np.array(degC), np.array(charge), np.array(charge * ratio)
    assert float(nitrogen.volume_left(*args, False)) == pytest.approx(1 / ratio, rel=0.01)
    assert float(nitrogen.volume_left(*args, True)) == pytest.approx(ratio ** (-1 / 1.4), rel=0.01)
