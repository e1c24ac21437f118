"""Branches of the rules that their pages enter from one side only: what is found, with figures."""

from __future__ import annotations

import math

import pytest

from circuitcheck import circuit, language, rules
from circuitcheck.basics.findings import Finding
from circuitcheck.circuit import Circuit
from circuitcheck.solver.solve import solve

PLANT = """\
circuit "plant"
oil ISO VG 46, at 45 degC
parts
  T1  tank, 100 L
  E1  electric motor, 11 kW, 1450 rpm
  P1  pump, fixed, 16 cc/rev, driven by E1
  R1  relief, set 180 bar
  V1  valve 4/3, tandem centre
  C1  cylinder, bore 80 mm, rod 50 mm, stroke 400 mm
lines
  suction from T1 to P1 S
  from P1 P to V1 P
  from P1 P to R1 P
  from R1 T to T1
  from V1 A to C1 cap
  from V1 B to C1 rod
  from V1 T to T1
cycle
  step idle, V1 at centre, 5 s
  step out, V1 at a, C1 load 20 kN, C1 travels 400 mm
  step back, V1 at b, C1 load 2 kN, C1 travels 400 mm
"""


def edited(text: str, *pairs: tuple[str, str]) -> str:
    """Replace pieces of a text, each of which must stand in it; "" stands for its end."""
    for old, new in pairs:
        assert old in text, old
        text = text.replace(old, new) if old else text + new
    return text


def built(text: str) -> Circuit:
    read, mistakes = language.read(text, "x.hyc")
    made, wrong = circuit.build(read)
    told = [m.message for m in (*mistakes, *wrong)]
    assert made is not None, told
    assert told == []
    return made


def findings(text: str, slug: str) -> list[Finding]:
    made = built(text)
    return [f for f in rules.check_all(made, solve(made)).all_findings() if f.slug == slug]


def figures(finding: Finding) -> dict[str, float]:
    return {number.name: number.value for number in finding.numbers}


REDUCED = edited(
    PLANT,
    ("stroke 400 mm\n", "stroke 400 mm, rated 60 bar\n  RV1 reducing valve, set 80 bar\n"),
    ("from P1 P to V1 P", "from P1 P to RV1 P\n  from RV1 A to V1 P\n  from RV1 T to T1"),
)


def test_behind_a_reducing_valve_its_own_setting_may_be_over_a_rating() -> None:
    (found,) = findings(REDUCED, "relief-over-lowest-rating")
    assert found.component == "RV1"
    assert figures(found) == {"pressure at full flow": 80e5, "rating of C1": 60e5}


def test_a_back_pressure_valve_in_the_return_passes_oil_by_design() -> None:
    text = edited(
        PLANT,
        ("lines\n", "  R2  relief, set 5 bar\nlines\n"),
        ("from V1 T to T1", "from V1 T to R2 P\n  from R2 T to T1"),
    )
    for slug in ("relief-open-in-work", "idle-over-relief"):
        assert findings(text, slug) == []


METERED = edited(
    PLANT,
    ("pump, fixed, 16 cc/rev", "pump, pressure compensated, 16 cc/rev, compensator 150 bar"),
    ("lines\n", "  FM1 flowmeter, 0 to 60 L/min\n  FM2 flowmeter, 0 to 60 L/min\nlines\n"),
    ("from P1 P to V1 P", "feed from P1 P to FM1 in, hose 12 mm, 1 m\n  from FM1 out to V1 P"),
    ("from P1 P to R1 P", "from FM1 out to R1 P\n  from P1 L through FM2 to T1"),
)


@pytest.mark.parametrize(
    ("one", "other", "apart"),
    [
        ("P1 case drain 2 L/min", "FM2 2.05 L/min", None),
        ("P1 case drain 2 L/min", "FM2 4 L/min", 2.0),
        ("P1 flow 20 L/min", "FM1 20.1 L/min", None),
        ("P1 flow 20 L/min", "FM1 25 L/min", 5.0),
        ("feed flow 20 L/min", "FM1 20.1 L/min", None),
        ("feed flow 20 L/min", "FM1 25 L/min", 5.0),
        ("V1 P flow 20 L/min", "C1 cap flow 20.1 L/min", None),
        ("V1 P flow 20 L/min", "C1 cap flow 25 L/min", 5.0),
    ],
)
def test_two_readings_of_one_flow_must_agree(one: str, other: str, apart: float | None) -> None:
    rows = f'readings "hot", within 3 %\n  {one}, in out\n  {other}, in out\n'
    found = findings(METERED + rows, "readings-contradict")
    if apart is None:
        assert found == []
    else:
        (told,) = found
        assert figures(told)["flow from nowhere"] == pytest.approx(apart * 1e-3 / 60, rel=0.05)


def test_energy_of_the_oil_shut_in_on_both_sides_of_a_piston() -> None:
    """p^2 V / (2 K) on each side, V the whole stroke."""
    text = edited(PLANT, ("tandem centre", "closed centre"))
    (found,) = findings(text, "stored-energy-after-stop")
    told, oil = figures(found), built(text).oil
    stiff = float(oil.bulk_modulus(45.0))
    cap, rod = (math.pi / 4 * a * 0.4 for a in (0.08**2, 0.08**2 - 0.05**2))
    sides = ((told["pressure of C1 cap"], cap), (told["pressure of C1 rod"], rod))
    by_hand = sum(pressure**2 * volume / (2 * stiff) for pressure, volume in sides)
    assert told["stored energy"] == pytest.approx(by_hand)


def test_energy_of_an_accumulator_is_told_among_the_others() -> None:
    text = edited(
        PLANT,
        ("tandem centre", "float centre"),
        ("lines\n", "  A1  accumulator, 4 L, precharge 80 bar\n  CV1 check\nlines\n"),
        ("from P1 P to V1 P", "from P1 P through CV1 to V1 P\n  from V1 P to A1"),
    )
    (found,) = findings(text, "stored-energy-after-stop")
    told = figures(found)
    assert told["pressure of A1"] > 80e5
    high, low = told["pressure of A1"] + 101325.0, 80e5 + 101325.0
    n = 1.4
    squeezed = 4e-3 * (low / high) ** (1 / n)
    work = high * squeezed / (n - 1) * (1 - (squeezed / 4e-3) ** (n - 1))
    assert told["stored energy"] == pytest.approx(work, rel=0.01)
