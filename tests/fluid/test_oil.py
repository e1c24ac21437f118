"""Oil: published figures of the viscosity standards, and laws that must hold for any oil."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuitcheck.basics.tables import read_csv
from circuitcheck.fluid import viscosity as law
from circuitcheck.fluid.families import designations, families, fluid
from circuitcheck.fluid.oil import Density, Given, Oil

GRADES = [int(row["grade"]) for row in read_csv("fluids/viscosity_grades.csv")]
WITH_INDEX = [grade for grade in GRADES if grade >= 7]


def test_viscosity_index_published_example() -> None:
    """ASTM D2270 procedure A: 73.3 and 8.86 mm2/s give index 92."""
    assert round(law.viscosity_index(73.3, 8.86)) == 92


def test_viscosity_index_published_example_above_100() -> None:
    """ASTM D2270 procedure B: 22.83 and 5.05 mm2/s give index 156 (from memory)."""
    assert round(law.viscosity_index(22.83, 5.05)) == 156


def test_viscosity_from_two_points_published_example() -> None:
    """Public calculation sheet of ASTM D341: 32 at 40, 5.4 at 100 give 8.5 mm2/s at 80 degC.

    The sheet has A 9.5259 and B 3.7449 with 273 in place of 273.15.
    """
    A, B = law.walther_lines((40, 32.0), (100, 5.4))
    assert pytest.approx(9.5308, abs=1e-4) == A
    assert pytest.approx(3.7466, abs=1e-4) == B
    assert float(law.viscosity(A, B, np.array(80.0))) == pytest.approx(8.533, abs=5e-4)


@pytest.mark.parametrize(
    ("points", "at"),
    [
        (((40, 32e-6), (100, 5.4e-6)), {-10: 805.1, 0: 336.0, 20: 86.3, 60: 15.2, 80: 8.5}),
        (((40, 46e-6), (100, 6.8e-6)), {-10: 1474.3, 0: 577.3, 20: 133.8, 60: 20.6, 80: 11.1}),
    ],
)
def test_table_of_viscosities(
    points: tuple[tuple[float, float], tuple[float, float]], at: dict[float, float]
) -> None:
    """Computed apart from this program with the short form of ASTM D341."""
    oil = Oil.of_points(*points)
    computed = oil.nu(np.array(list(at), dtype=float)) * 1e6
    assert computed == pytest.approx(list(at.values()), abs=0.051)


def test_agrees_with_an_open_library() -> None:
    chemicals = pytest.importorskip("chemicals.viscosity")
    for at_40, at_100 in [(10, 2.6), (32, 5.4), (46, 6.8), (46, 8.2), (320, 24.0), (5000, 130)]:
        theirs = chemicals.viscosity_index(at_40 * 1e-6, at_100 * 1e-6)
        assert law.viscosity_index(at_40, at_100) == pytest.approx(theirs, abs=1e-6)


@pytest.mark.parametrize("grade", WITH_INDEX)
def test_a_grade_has_its_middle_at_40_degrees_and_the_usual_index(grade: int) -> None:
    oil = Oil.of_grade(grade)
    middle = next(
        float(row["middle"])
        for row in read_csv("fluids/viscosity_grades.csv")
        if int(row["grade"]) == grade
    )
    assert float(oil.nu(40.0)) * 1e6 == pytest.approx(middle, rel=1e-9)
    assert oil.viscosity_index == pytest.approx(100, abs=1e-6)
    listed = {"viscosity index", "density at 15 degC", "bulk modulus at 50 degC", "specific heat"}
    assert {item.name for item in oil.assumed} == listed


@given(
    st.sampled_from(WITH_INDEX),
    st.floats(20, 250),
    st.lists(st.floats(-30, 120), min_size=2, max_size=2, unique=True),
)
def test_oil_gets_thinner_and_lighter_when_it_warms_up(
    grade: int, index: float, temperatures: list[float]
) -> None:
    cold, warm = np.sort(np.array(temperatures))
    if warm - cold < 1e-6:
        return
    try:
        oil = Oil.of_grade(grade, viscosity_index=index)
    except ValueError:
        return  # too thin for its index: refused by name, tested below
    assert oil.nu(cold) > oil.nu(warm) > 0
    assert oil.rho(cold) > oil.rho(warm)


@given(st.floats(0.25, 1e5))
def test_the_long_form_is_inverted_exactly(nu: float) -> None:
    y = float(law.loglog(np.array(nu)))
    assert float(law.viscosity(y, 0.0, np.array(20.0))) == pytest.approx(nu, rel=1e-9)


@given(st.floats(5, 500), st.floats(0, 100), st.floats(20, 200))
def test_a_viscosity_holds_at_its_temperature(nu: float, degC: float, index: float) -> None:
    try:
        oil = Oil.of_viscosity(nu * 1e-6, degC, viscosity_index=index)
    except ValueError:
        return
    assert float(oil.nu(degC)) * 1e6 == pytest.approx(nu, rel=1e-9)
    assert oil.viscosity_index == pytest.approx(index, abs=1e-4)


def test_a_grade_given_by_its_figures_is_the_same_oil() -> None:
    T = np.array([-10.0, 20.0, 50.0, 90.0])
    assert Oil.of_viscosity(46e-6, 40).nu(T) == pytest.approx(Oil.of_grade(46).nu(T), rel=1e-9)


def test_shapes_follow_the_temperatures() -> None:
    T = np.array([[20.0, 40.0, 60.0], [0.0, 50.0, 80.0]])
    oil = Oil.of_grade(46)
    for values in (oil.nu(T), oil.rho(T), oil.mu(T), oil.bulk_modulus(T)):
        assert values.shape == T.shape
    assert oil.mu(T) == pytest.approx(oil.nu(T) * oil.rho(T))


def test_a_density_holds_at_its_temperature() -> None:
    assert float(Oil.of_grade(46, given=Given(Density(860, 50))).rho(50.0)) == pytest.approx(860)
    assert float(Oil.of_grade(46).rho(15.0)) == pytest.approx(870)
    assert float(Oil.of_grade(46).rho(50.0)) == pytest.approx(870 * (1 - 7e-4 * 35))


def test_pressure_thickens_oil_by_about_forty_percent_at_200_bar() -> None:
    """Textbook on hydraulic fluid power, section 2.6.2, excerpt."""
    oil = Oil.of_grade(46)
    assert float(oil.mu(50.0, 200e5) / oil.mu(50.0)) == pytest.approx(1.40, abs=0.01)


def test_bulk_modulus_rises_with_pressure_and_falls_with_heat() -> None:
    oil = Oil.of_grade(46)
    assert float(oil.bulk_modulus(50.0)) == pytest.approx(1.5e9)
    assert oil.bulk_modulus(50.0, 300e5) > oil.bulk_modulus(50.0) > oil.bulk_modulus(80.0) > 0


@pytest.mark.parametrize("name", [*families(), *families().values(), *designations()])
def test_every_fluid_makes_an_oil(name: str) -> None:
    kind = fluid(name)
    oil = Oil.of_grade(46, kind=name) if kind.graded else Oil.of_kind(name)
    assert float(oil.nu(40.0)) == pytest.approx(46e-6 if kind.graded else 0.658e-6, rel=0.01)
    assert 1000 < oil.specific_heat < 4200
    assert 0.1 < oil.conductivity < 0.7
    assert kind["coldest"].value < 20 < 50 < kind["hottest"].value
    assert all(figure.source for figure in kind.figures.values())


def test_letters_of_a_standard_name_a_fluid() -> None:
    assert fluid("HLP") == fluid("HLP")
    assert (fluid("HLP").family, fluid("HLP").standard) == ("mineral", "DIN 51524-2")
    assert fluid("HEES").family == fluid("HFDU").family == "ester"
    assert Oil.of_grade(46, kind="HVLP").viscosity_index == pytest.approx(140, abs=1e-6)
    assert Oil.of_grade(46, kind="HVLP").name == "HVLP 46"
    watery = {name for name in families() if fluid(name).watery}
    assert watery == {"HFA", "HFB", "HFC"}


def test_thin_emulsion_is_as_water() -> None:
    """Water by an open equation of state: 1.003 at 20, 0.658 at 40, 0.511 mm2/s at 55 degC."""
    oil = Oil.of_kind("HFA")
    found = oil.nu(np.array([20.0, 40.0, 55.0])) * 1e6
    assert found == pytest.approx([1.0034, 0.6578, 0.5109], rel=0.01)
    assert float(oil.rho(50.0)) == pytest.approx(988.0, rel=1e-3)
    assert float(oil.bulk_modulus(50.0, 300e5)) == pytest.approx(2.369e9, rel=0.01)


@pytest.mark.parametrize(("grade", "middle"), [(2, 2.2), (3, 3.2), (5, 4.6)])
def test_the_thinnest_grades_rest_on_the_index_carried_on(grade: int, middle: float) -> None:
    """Below 2 mm2/s the equation H(Y) of the index is solved apart from this program."""
    oil = Oil.of_grade(grade)
    assert float(oil.nu(40.0)) * 1e6 == pytest.approx(middle, rel=1e-9)
    Y = float(oil.nu(100.0)) * 1e6
    H = 0.84155 * Y**2 + 1.5521 * Y - 0.077
    assert pytest.approx(middle, rel=1e-6) == H
    assert "viscosity at 100 degC" in {item.name for item in oil.assumed}
    with pytest.raises(ValueError, match="not defined below 2"):
        assert oil.viscosity_index


def test_the_index_carried_on_meets_the_table() -> None:
    below, at = law.at_40_from_index(2.0 - 1e-9, 50), law.at_40_from_index(2.0, 50)
    assert below == pytest.approx(at, rel=3e-4)


def test_what_a_text_gives_wins() -> None:
    given = Given(air=0.01, modulus=1.7e9, specific_heat=1800.0)
    oil = Oil.of_grade(46, given=given)
    assert oil.bulk_modulus(np.array([20.0, 80.0]), 300e5) == pytest.approx([1.7e9, 1.7e9])
    assert oil.specific_heat == 1800.0
    assert {item.name for item in oil.assumed} == {"viscosity index", "density at 15 degC"}
    assert oil.secant_modulus(50.0, 300e5) < 1.7e9


def test_far_from_the_data_is_known() -> None:
    assert not Oil.of_grade(46).stretched(50.0)
    assert Oil.of_grade(46).stretched(-5.0)
    assert Oil.of_viscosity(32e-6, 50).stretched(95.0)


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: Oil.of_grade(45), "the nearest are 32 and 46"),
        (lambda: Oil.of_grade(2, viscosity_index=-100), "give two viscosities"),
        (lambda: Oil.of_grade(46, kind="milk"), "no family of fluids 'milk'"),
        (lambda: Oil.of_grade(46, kind="HFA"), "HFA has no viscosity grades"),
        (lambda: Oil.of_kind("HFC"), "write the grade too: HFC 46"),
        (lambda: Oil.of_grade(46, given=Given(Density(0, 15))), "density of 0 kg/m3"),
        (lambda: Oil.of_viscosity(1e-6, 20), "no oil of viscosity index 100"),
        (lambda: Oil.of_points((40, 5e-6), (100, 32e-6)), "gets thinner when it warms up"),
        (lambda: Oil.of_points((40, 5e-6), (40, 4e-6)), "give two temperatures"),
        (lambda: Oil.of_points((40, 5e-6), (100, 0.0)), "more than zero"),
        (lambda: Oil.of_points((-300, 5e-6), (40, 4e-6)), "absolute zero"),
        (lambda: Oil.of_grade(46).nu(-300.0), "absolute zero"),
        (lambda: Oil.of_viscosity(46e-6, -300.0), "absolute zero"),
        (lambda: law.viscosity_index(5, 1.5), "not defined below 2"),
    ],
)
def test_impossible_oils_are_refused_in_words(make, words: str) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError, match=words):
        make()


@pytest.mark.parametrize("name", families())
def test_no_seal_both_stands_a_fluid_and_does_not(name: str) -> None:
    seals = fluid(name).seals
    assert seals.fit
    assert seals.source
    assert not set(seals.fit) & set(seals.unfit)
