"""The oil's line: fluids of the standards, viscosities, windows, air, stiffness, mistakes."""

from __future__ import annotations

import pytest

from circuitcheck.circuit import Circuit, build
from circuitcheck.language import read
from circuitcheck.pipeline import parse

TEXT = """circuit "oil"
oil {line}
parts
  T1  tank
  P1  pump, fixed, 10 cc/rev, 1000 rpm
lines
  from T1 to P1 S
  from P1 P to T1
"""


def said(line: str) -> Circuit:
    return parse(TEXT.format(line=line)).circuit


def refused(line: str) -> str:
    text, findings = read(TEXT.format(line=line), "oil.hyc")
    _, more = build(text)
    return " ".join(f"{f.message}; {f.remedy}" for f in (*findings, *more))


@pytest.mark.parametrize(
    ("line", "name", "family", "at_40"),
    [
        ("HLP 46, at 40 degC", "HLP 46", "mineral", 46.0),
        ("HLP 46 at 40 degC", "HLP 46", "mineral", 46.0),
        ("HLP, ISO VG 46, at 40 degC", "HLP 46", "mineral", 46.0),
        ("HFC 46, at 40 degC", "HFC 46", "HFC", 46.0),
        ("water glycol, ISO VG 46, at 40 degC", "water glycol ISO VG 46", "HFC", 46.0),
        ("HFA 95/5, at 40 degC", "HFA", "HFA", 0.661),
        ("HFAE at 40 degC", "HFAE", "HFA", 0.661),
        ("HFDR 46, at 40 degC", "HFDR 46", "HFDR", 46.0),
        ("HFDU 68, at 40 degC", "HFDU 68", "ester", 68.0),
        ("HETG 32, at 40 degC", "HETG 32", "vegetable", 32.0),
        ("HEES 46, at 40 degC", "HEES 46", "ester", 46.0),
        ("HEPG 46, at 40 degC", "HEPG 46", "polyglycol", 46.0),
        ("HEPR 46, at 40 degC", "HEPR 46", "hydrocarbon", 46.0),
        ("HFC, 40 cSt at 40 degC", "HFC 40 cSt at 40 degC", "HFC", 40.0),
        ("ISO VG 2, at 40 degC", "ISO VG 2", "mineral", 2.2),
    ],
)
def test_fluids_of_the_standards(line: str, name: str, family: str, at_40: float) -> None:
    circuit = said(line)
    assert (circuit.oil.name, circuit.oil.family) == (name, family)
    assert circuit.oil_degC == pytest.approx(40.0)
    assert float(circuit.oil.nu(40.0)) * 1e6 == pytest.approx(at_40, rel=2e-3)


@pytest.mark.parametrize("index", ["VI 150", "viscosity index 150"])
def test_both_forms_of_the_index(index: str) -> None:
    assert said(f"ISO VG 46, {index}").oil.viscosity_index == pytest.approx(150, abs=1e-6)


def test_a_fluid_has_the_figures_of_its_family() -> None:
    oil = said("HFC 46, at 50 degC").oil
    assert float(oil.rho(15.0)) == pytest.approx(1080.0)
    assert oil.specific_heat == pytest.approx(3300.0)
    assert said("HVLP 46").oil.viscosity_index == pytest.approx(140, abs=1e-6)


def test_figures_of_the_text_win() -> None:
    circuit = said(
        "HLP 46, air 0.5 %, bulk modulus 17000 bar, specific heat 1.8 kJ/(kg K), "
        "880 kg/m3 at 15 degC, viscosity 20 to 60 mm2/s"
    )
    given = circuit.oil.given
    assert (given.air, given.modulus) == (pytest.approx(0.005), pytest.approx(1.7e9))
    assert given.specific_heat == pytest.approx(1800.0)
    assert given.window == (pytest.approx(20e-6), pytest.approx(60e-6))
    assert float(circuit.oil.rho(15.0)) == pytest.approx(880.0)
    assert {a.name for a in circuit.assumptions if a.part == "oil"} == {
        "temperature",
        "viscosity index",
    }


def test_saybolt_seconds_at_both_temperatures_of_the_standard() -> None:
    """Seconds of 46 and 7 mm2/s by ASTM D2161; at 210 degF times 1.0067."""
    oil = said("213.9 SUS at 100 degF, 49.09 SUS at 210 degF").oil
    assert float(oil.nu(340 / 9)) * 1e6 == pytest.approx(46.0, rel=2e-3)
    assert float(oil.nu(890 / 9)) * 1e6 == pytest.approx(7.0, rel=5e-3)


def test_an_oil_between_reference_oils_has_their_index() -> None:
    """Textbook example: L 400, H 150 SUS, index 80 is 200 SUS."""
    oil = said("VI 80 between 400 SUS and 150 SUS at 100 degF").oil
    same = said("200 SUS at 100 degF, VI 80").oil
    assert float(oil.nu(60.0)) == pytest.approx(float(same.nu(60.0)), rel=1e-9)


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("HFC", "write the grade too: HFC 46"),
        ("HFA 46", "HFA has no viscosity grades"),
        ("HLX 46", "did you mean 'HL'"),
        ("HLP 46, HFC", "the kind of fluid is given twice"),
        ("HLP 46, ISO VG 32", "the grade is given twice"),
        ("ISO VG 46, 32 cSt at 50 degC", "a grade and viscosities"),
        ("32 cSt at 40 degC, 5 cSt at 100 degC, VI 100", "say the viscosity index"),
        ("32 cSt, 20 cSt at 60 degC, 5 cSt at 100 degC", "two viscosities are enough"),
        ("ISO VG 46, 870 kg/m3, 880 kg/m3", "the density is given twice"),
        ("ISO VG 46, 8700 kg/m3", "no hydraulic fluid has a density of 8700 kg/m3"),
        ("ISO VG 46, air 30 %", "no oil works with 30 % of air"),
        ("ISO VG 46, air 0.5", "the air of the oil needs a unit"),
        ("ISO VG 46, air 1 %, air 2 %", "the air is given twice"),
        ("ISO VG 46, VI 900", "a viscosity index of 900"),
        ("ISO VG 46, VI 100 cSt", "needs no unit"),
        ("ISO VG 46, bulk modulus 3 bar", "a bulk modulus of 3 bar"),
        ("ISO VG 46, bulk modulus 3 kg", "not given in kg"),
        ("ISO VG 46, specific heat 9 kJ/(kg K)", "a specific heat of 9 kJ/(kg K)"),
        ("ISO VG 46, viscosity 36 to 16 cSt", "from the thinner to the thicker"),
        ("ISO VG 46, viscosity 36 cSt", "this says nothing of the oil"),
        ("VI 80 between 150 SUS and 400 SUS at 100 degF", "write it first"),
        ("VI 80 between 400 SUS and 150 cSt at 100 degF", "take the same unit"),
        ("VI 80 between 400 SUS and 150 SUS", "this says nothing of the oil"),
        ("0.000001 cSt at 40 degC", "no hydraulic fluid has"),
        ("12 SUS at 100 degF", "below 32 SUS"),
        ("32 cSt at -300 degC, VI 100", "a figure at -300 degC is of no use"),
        ("ISO VG 46, 870 kg/m3 at 900 degC", "a figure at 900 degC is of no use"),
        ("ISO VG 1e999", "this says nothing of the oil"),
        ("ISO VG 46, oil air", "did you mean 'air'"),
    ],
)
def test_what_an_oil_cannot_be(line: str, words: str) -> None:
    assert words in refused(line)
