"""Units as people write them, SI inside, figures as people read them."""

from __future__ import annotations

import math
import re
import subprocess
import sys
from pathlib import Path

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuitcheck.basics import quantities as q
from circuitcheck.basics.unit_table import QUANTITIES, UNITS

ROWS = [(quantity, *row) for quantity, rows in UNITS.items() for row in rows]
SPELLINGS = [
    spelling.replace("*", "-")
    for _, canonical, others, _, _ in ROWS
    for spelling in [canonical, *filter(None, others.split("|"))]
]
REGISTRY = pint.UnitRegistry()


def unit(text: str) -> q.Unit:
    found = q.read_unit(text)
    assert found is not None, text
    return found


@pytest.mark.parametrize(
    ("quantity", "canonical", "factor", "expression"),
    [(name, canonical, factor, text) for name, canonical, _, factor, text in ROWS if text],
)
def test_factors_agree_with_pint(
    quantity: str, canonical: str, factor: float, expression: str
) -> None:
    if quantity == "temperature":
        theirs = REGISTRY.Quantity(77.0, expression).m_as("degC")
        assert q.to_si(77.0, unit(canonical)) == pytest.approx(theirs)
    else:
        theirs = REGISTRY.Quantity(1.0, expression).m_as(QUANTITIES[quantity].si_pint)
        assert factor == pytest.approx(theirs, rel=1e-9)


@pytest.mark.parametrize("spelling", SPELLINGS)
def test_every_spelling_is_read_and_matched_whole_by_the_lexer(spelling: str) -> None:
    assert q.read_unit(spelling) is not None
    match = re.compile(q.unit_pattern()).match(spelling + ", next")
    assert match is not None
    assert match.group() == spelling


def test_no_spelling_means_two_things() -> None:
    assert len(SPELLINGS) == len(set(SPELLINGS))


@pytest.mark.parametrize("quantity", QUANTITIES)
def test_every_quantity_has_a_unit_in_both_systems_and_an_example_of_itself(quantity: str) -> None:
    for system in ("metric", "inch"):
        chosen = q.unit_for(quantity, system)
        assert (chosen is None) == (quantity in ("ratio", "count"))
    example = QUANTITIES[quantity].example.partition(" ")[2]
    if example:
        assert unit(example).quantity == quantity
    assert quantity in q.SI_NAME


@pytest.mark.parametrize(
    ("number", "text", "si"),
    [
        (210, "bar", 210e5),
        (1, "bar abs", 1e5 - 101325),
        (14.7, "psia", 14.7 * 6894.757293168361 - 101325),
        (3000, "PSI", 3000 * 6894.757293168361),
        (16, "cc/rev", 16e-6),
        (1, "gpm", 231 * 0.0254**3 / 60),
        (1, "imp gpm", 4.54609e-3 / 60),
        (1, "US gal", 231 * 0.0254**3),
        (1450, "rpm", 1450 * 2 * math.pi / 60),
        (120, "degF", 48.888888889),
        (50, "°C", 50),
        (1, "hp", 745.69987),
        (1, "PS", 735.49875),
        (1, "lb-ft", 1.3558179),
        (1, "N·m", 1),
        (46, "mm²/s", 46e-6),
        (10, "kgf/cm^2", 10 * 98066.5),
        (92, "%", 0.92),
    ],
)
def test_values(number: float, text: str, si: float) -> None:
    assert q.to_si(number, unit(text)) == pytest.approx(si, rel=1e-7)


def test_meaning_that_pint_alone_gets_wrong() -> None:
    assert unit("Nm").quantity == "torque"
    assert unit("PS").quantity == "power"
    assert unit("cu in").quantity == "volume"


@pytest.mark.parametrize("text", ["ton", "mPa", "bars", "cc/tr", "Gal", "kg/cm2", "gallon", ""])
def test_doubtful_spellings_are_refused(text: str) -> None:
    assert q.read_unit(text) is None


@pytest.mark.parametrize(
    ("text", "near"),
    [("bars", "bar"), ("cc/tr", "cc/rev"), ("mPa", "MPa"), ("Kw", "kW"), ("L/minn", "L/min")],
)
def test_near_misses_are_answered_with_a_unit(text: str, near: str) -> None:
    assert q.suggest_unit(text) == near


def test_nothing_near_is_answered_with_nothing() -> None:
    assert q.suggest_unit("xyzzy") is None


def test_advice_names_what_to_write() -> None:
    assert "lbf" in (q.unit_advice("lb", "force") or "")
    assert "kN" in (q.unit_advice("kg", "force") or "")
    assert "t (1000 kg)" in (q.unit_advice("ton") or "")
    assert q.unit_advice("lb", "mass") is None


def test_a_force_before_a_step_name_is_not_a_torque() -> None:
    match = re.compile(q.unit_pattern()).match("lbf in press")
    assert match is not None
    assert match.group() == "lbf"


def test_a_unit_does_not_end_inside_a_word() -> None:
    assert re.compile(q.unit_pattern()).match("bars") is None
    assert re.compile(q.unit_pattern()).match("cc/tr") is None


LINEAR = [row[1] for row in ROWS if row[1] != "SUS"] + ["bar abs", "psi abs"]


@given(
    st.sampled_from(LINEAR),
    st.floats(-1e6, 1e6, allow_nan=False).filter(lambda x: x == 0 or abs(x) > 1e-3),
)
def test_there_and_back(text: str, number: float) -> None:
    chosen = unit(text)
    slack = abs(chosen.offset / chosen.factor) * 1e-12
    assert q.from_si(q.to_si(number, chosen), chosen) == pytest.approx(number, rel=1e-12, abs=slack)


@given(st.floats(2e-6, 1e-2))
def test_saybolt_seconds_there_and_back(nu: float) -> None:
    sus = unit("SUS")
    assert q.to_si(q.from_si(nu, sus), sus) == pytest.approx(nu, rel=1e-9)


def test_saybolt_seconds_of_a_known_oil() -> None:
    """ASTM D2161, from memory: 46 mm2/s is 214 SUS at 100 degF; the scale starts near 32."""
    assert q.from_si(46e-6, unit("SUS")) == pytest.approx(214, abs=0.5)
    with pytest.raises(ValueError, match="below 32 SUS"):
        q.to_si(20, unit("SUS"))
    assert q.to_si(1e300, unit("SUS")) == pytest.approx(1e294 / 4.6324)  # no power overflows


def test_saybolt_seconds_at_another_temperature() -> None:
    """ASTM D2161: factor 1 + 0.000061 (t - 100 degF), 1.0067 at 210 degF; from memory."""
    sus = unit("SUS")
    at_100, at_210 = q.to_si(500, sus), q.to_si(500 * 1.00671, sus, 890 / 9)
    assert q.to_si(500, sus, 340 / 9) == pytest.approx(at_100, rel=1e-9)
    assert at_210 == pytest.approx(at_100, rel=1e-6)
    assert q.to_si(500, sus, 890 / 9) < at_100


@pytest.mark.parametrize(
    ("si", "quantity", "system", "text"),
    [
        (210e5, "pressure", "metric", "210 bar"),
        (21.3e-3 / 60, "flow", "metric", "21.3 L/min"),
        (1450 * math.pi / 30, "rotation", "metric", "1450 rpm"),
        (0.05, "length", "metric", "50 mm"),
        (0.0665, "speed", "metric", "66.5 mm/s"),
        (50.0, "temperature", "metric", "50 °C"),
        (50.0, "temperature", "inch", "122 °F"),
        (0.92, "share", "metric", "92 %"),
        (math.pi / 2, "angle", "metric", "90°"),
        (4.0, "ratio", "metric", "4"),
        (210e5, "pressure", {"pressure": "psi"}, "3046 psi"),
        (210e5, "pressure", {"flow": "gpm"}, "210 bar"),
        (1e-13, "flow", "metric", "0 L/min"),
        (-0.01, "pressure", "metric", "0 bar"),
        (-2.5e5, "pressure", "metric", "-2.5 bar"),
        (math.nan, "flow", "metric", "not known"),
    ],
)
def test_figures_for_people(si: float, quantity: str, system: q.System, text: str) -> None:
    assert q.show(si, quantity, system) == text


def test_a_wrong_system_is_refused_by_name() -> None:
    with pytest.raises(ValueError, match="'metric' or 'inch'"):
        q.show(1.0, "flow", "imperial")
    with pytest.raises(ValueError, match="'bar' is not a unit of flow"):
        q.show(1.0, "flow", {"flow": "bar"})


def test_pint_objects_check_dimensions() -> None:
    flow = q.quantity_object(16e-6, "displacement") * q.quantity_object(
        1450 * math.pi / 30, "rotation"
    )
    assert q.value_of(flow, "flow") * 6e4 == pytest.approx(23.2)
    with pytest.raises(ValueError, match="not a pressure"):
        q.value_of(flow, "pressure")


def test_reading_a_unit_does_not_load_pint(project: Path) -> None:
    code = (
        "import sys; from circuitcheck.basics.quantities import read_unit, show;"
        "read_unit('bar'); show(1e5, 'pressure'); print('pint' in sys.modules)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=project, capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == "False"
