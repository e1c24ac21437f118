"""Compression of oil and air in it: published examples, closed forms, order of things."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuitcheck.fluid import stiffness
from circuitcheck.fluid import viscosity as law
from circuitcheck.fluid.families import families
from circuitcheck.fluid.oil import Given, Oil

INCH3, PSI = 0.0254**3, 6894.757


def test_published_compression() -> None:
    """10 in3 from 100 to 2000 psi at 250 000 psi: -0.076 in3; textbook example."""
    found = stiffness.compression(10 * INCH3, 100 * PSI, 2000 * PSI, 250e3 * PSI)
    assert float(found) / INCH3 == pytest.approx(-0.076, abs=1e-9)


def test_published_compression_metric() -> None:
    """687 to 13 740 kPa at 1718 MPa: -0.76 %; textbook example."""
    found = stiffness.compression(1.0, 687e3, 13740e3, 1718e6)
    assert float(found) == pytest.approx(-0.0076, rel=1e-3)


def test_published_viscosity_index_the_old_way() -> None:
    """L 400, H 150, index 80: U = 200 SUS; textbook example."""
    assert law.between_references(400, 150, 80) == pytest.approx(200)


@pytest.mark.parametrize(("bar", "modulus"), [(2, 44), (10, 486), (50, 1325), (200, 1482)])
def test_a_per_cent_of_air_softens_oil_at_low_pressure(bar: float, modulus: float) -> None:
    """Closed form, air at 1 bar abs, K 1.5e9, absolute pressures; recomputed figures."""
    found = stiffness.with_air(1.5e9, bar * 1e5 - stiffness.ATMOSPHERE, 0.01)
    assert float(found) / 1e6 == pytest.approx(modulus, rel=0.015)


@given(
    pressure=st.floats(-0.9e5, 700e5), air=st.floats(0, 0.2), modulus=st.floats(5e8, 4e9),
    exponent=st.floats(1, 1.4),
)  # fmt: skip
def test_air_only_softens_and_pressure_only_stiffens(
    pressure: float, air: float, modulus: float, exponent: float
) -> None:
    found = float(stiffness.with_air(modulus, pressure, air, exponent))
    assert 0.0 < found <= modulus / (1.0 - air) * (1 + 1e-12)
    assert found <= float(stiffness.with_air(modulus, pressure + 1e5, air, exponent)) * (1 + 1e-12)


@pytest.mark.parametrize(("pressure", "air"), [(-1.1e5, 0.01), (1e5, -0.1), (1e5, 1.0)])
def test_what_cannot_be_is_refused(pressure: float, air: float) -> None:
    with pytest.raises(ValueError, match=r"vacuum|share of air"):
        stiffness.with_air(1.5e9, pressure, air)


@pytest.mark.parametrize("family", families())
def test_density_grows_with_pressure_and_falls_with_warmth(family: str) -> None:
    oil = Oil.of_points((40, 46e-6), (100, 7e-6), kind=family)
    pressures = np.linspace(0, 600e5, 7)
    assert np.all(np.diff(oil.rho(50, pressures)) > 0)
    assert np.all(np.diff(oil.rho(np.linspace(0, 90, 7), 200e5)) < 0)
    assert float(oil.rho(50, 0.0)) == pytest.approx(float(oil.rho(50)), rel=1e-15)
    squeezed = float(oil.rho(50, 250e5) / oil.rho(50)) - 1
    assert 0.004 < squeezed < 0.03


def test_density_under_pressure_is_that_of_the_squeezed_volume() -> None:
    oil = Oil.of_grade(46)
    change = float(stiffness.compression(1.0, 0.0, 250e5, float(oil.bulk_modulus(50, 250e5))))
    assert float(oil.rho(50, 250e5)) == pytest.approx(float(oil.rho(50)) / (1 + change), rel=1e-12)


def test_airy_oil_is_soft_at_low_pressure() -> None:
    oil = Oil.of_grade(46, given=Given(air=0.005))
    soft, stiff = oil.secant_modulus(50, np.array([5e5, 300e5]))
    assert soft < stiff < float(oil.bulk_modulus(50, 300e5)) * 1.01


@given(
    pressure=st.floats(0, 700e5), air=st.floats(0, 0.2), modulus=st.floats(5e8, 4e9),
    exponent=st.floats(1, 1.4),
)  # fmt: skip
def test_mean_modulus_is_that_of_the_volume_left(
    pressure: float, air: float, modulus: float, exponent: float
) -> None:
    """Oil and bubbles pressed side by side, written out with absolute pressures."""
    secant = float(stiffness.secant_with_air(modulus, pressure, air, exponent))
    p0 = stiffness.ATMOSPHERE
    left = (1 - air) * (1 - pressure / modulus) + air * (p0 / (p0 + pressure)) ** (1 / exponent)
    assert pressure / secant == pytest.approx(1 - left, rel=1e-6, abs=1e-9)


@given(pressure=st.floats(0, 700e5), air=st.floats(0, 0.03), degC=st.floats(-20, 90))
def test_the_two_moduli_belong_together(pressure: float, air: float, degC: float) -> None:
    """Tangent = -V0 dp/dV by differences of the volume left; V0 for V in the textbook form."""
    oil = Oil.of_grade(46, given=Given(air=air))
    step = 1e-4 * pressure + 10.0
    ends = np.array([pressure + step, pressure])
    lost = ends / oil.secant_modulus(degC, ends)
    slope = step / float(lost[0] - lost[1])
    middle = float(oil.tangent_modulus(degC, pressure + step / 2))
    assert middle == pytest.approx(slope, rel=0.05)


def test_no_step_where_the_pressure_is_none() -> None:
    found = stiffness.secant_with_air(1.5e9, np.array([0.0, 1e-4, 1.0, 100.0]), 0.01)
    assert found == pytest.approx(np.full(4, found[0]), rel=1e-3)
    assert float(found[0]) == pytest.approx(float(stiffness.with_air(1.5e9, 0.0, 0.01)), rel=1e-6)
