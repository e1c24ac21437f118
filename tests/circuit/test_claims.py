"""Claims and readings, hints, oil, units of the answers, title."""

from __future__ import annotations

import pytest

from circuitcheck.circuit.model import Claim

from .conftest import LINES, PARTS, Make

CYCLE = "cycle\n  step press, V1 at a, C1 load 150 kN\n"


def one(make: Make, sentence: str, head: str = "claims within 3 %") -> Claim:
    parts = PARTS + "  G1  gauge, 0 to 315 bar\n"
    circuit = make(f"{CYCLE}{head}\n  {sentence}\n", parts, LINES + "  from pressure to G1\n")
    (claim,) = [*circuit.claims, *circuit.readings]
    return claim


def test_a_claim_with_everything(make: Make) -> None:
    claim = one(make, "C1 speed 45 mm/s, in press, within 2 mm/s", 'claims "sheet 2", within 3 %')
    assert (claim.subject, claim.port, claim.what, claim.step) == ("C1", "", "speed", "press")
    assert claim.figure.value == pytest.approx(0.045)
    assert (claim.tolerance, claim.share, claim.mode) == (pytest.approx(0.002), False, "within")
    assert claim.document == "sheet 2"


@pytest.mark.parametrize(
    ("sentence", "subject", "port", "what", "quantity"),
    [
        ("C1 rod pressure 143 bar", "C1", "rod", "pressure", "pressure"),
        ("P1 P pressure 20 bar", "P1", "P", "pressure", "pressure"),
        ("P1 shaft power 9 kW", "P1", "", "shaft power", "power"),
        ("P1 flow 21 L/min", "P1", "", "flow", "flow"),
        ("G1 205 bar", "G1", "", "pressure", "pressure"),
        ("R1 heat 2 kW", "R1", "", "heat", "power"),
        ("heat 9 kW", "", "", "heat", "power"),
        ("time 27 s, over the cycle", "", "", "time", "time"),
        ("push pressure 100 bar", "push", "", "pressure", "pressure"),
        ("pressure pressure 100 bar", "pressure", "end", "pressure", "pressure"),
        ("pressure start pressure 100 bar", "pressure", "start", "pressure", "pressure"),
        ("pressure drop 1 bar", "pressure", "", "drop", "pressure"),
    ],
)
def test_of_what_a_claim_speaks(
    make: Make, sentence: str, subject: str, port: str, what: str, quantity: str
) -> None:
    claim = one(make, sentence)
    assert (claim.subject, claim.port, claim.what) == (subject, port, what)
    assert claim.figure.quantity == quantity


@pytest.mark.parametrize(
    ("words", "tolerance", "share", "mode"),
    [
        ("", 0.03, True, "within"),
        (", within 5 %", 0.05, True, "within"),
        (", within 3 bar", 3e5, False, "within"),
        (" ± 3 bar", 3e5, False, "within"),
        (" +/- 2 %", 0.02, True, "within"),
        (", at most", 0.0, True, "at most"),
        (", at least, within 1 %", 0.01, True, "at least"),
    ],
)
def test_tolerances(make: Make, words: str, tolerance: float, share: bool, mode: str) -> None:
    claim = one(make, f"G1 205 bar{words}")
    assert (claim.tolerance, claim.share, claim.mode) == (pytest.approx(tolerance), share, mode)


def test_a_tolerance_that_nobody_says_is_assumed_and_listed(make: Make) -> None:
    circuit = make("claims\n  P1 flow 21 L/min\n")
    assert circuit.claims[0].tolerance == 0.05
    assert [(a.part, a.name, a.text) for a in circuit.assumptions if a.name == "within"] == [
        ("claims", "within", "5 %")
    ]


def test_readings_have_an_occasion_and_a_temperature(make: Make) -> None:
    claim = one(make, "G1 205 bar, in press", 'readings "cold morning", at 40 degF')
    assert (claim.document, claim.temperature) == ("cold morning", pytest.approx(40 / 9))


def test_hints_and_sheet(make: Make) -> None:
    circuit = make(
        "drawing A3, landscape\n  C1 above V1\n  R1 between P1 and V1\n  V1 turned 90 deg\n"
        "  V1 column 2\n  V1 sheet 3\n"
    )
    assert circuit.sheet == "A3, landscape"
    assert [(h.subject, h.relation, h.objects) for h in circuit.hints] == [
        ("C1", "above", ("V1",)), ("R1", "between", ("P1", "V1")), ("V1", "turned", ("90",)),
        ("V1", "column", ("2",)), ("V1", "sheet", ("3",)),
    ]  # fmt: skip


def test_title_and_units(make: Make) -> None:
    circuit = make(head='circuit "Press", issue B\nunits psi, gpm, in/s, lbf, hp')
    assert (circuit.title, circuit.issue) == ("Press", "B")
    assert circuit.units == {
        "pressure": "psi", "flow": "gpm", "speed": "in/s", "force": "lbf", "power": "hp",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("line", "degC", "cSt"),
    [
        ("oil ISO VG 46, at 40 degC", 40.0, 46.0),
        ("oil ISO VG 46 at 104 degF", 40.0, 46.0),
        ("oil 32 cSt at 50 degC, 870 kg/m3", 50.0, 32.0),
        ("oil 32 cSt, at 50 degC", 50.0, 32.0),
        ("oil 46 cSt at 40 degC, 6.8 cSt at 100 degC, at 100 degC", 100.0, 6.8),
    ],
)
def test_oil(make: Make, line: str, degC: float, cSt: float) -> None:
    circuit = make(head=line)
    assert circuit.oil_degC == pytest.approx(degC)
    assert float(circuit.oil.nu(circuit.oil_degC)) * 1e6 == pytest.approx(cSt, rel=1e-3)


def test_a_density_holds_at_the_temperature_of_the_oil(make: Make) -> None:
    circuit = make(head="oil 32 cSt at 50 degC, 870 kg/m3")
    assert float(circuit.oil.rho(50.0)) == pytest.approx(870.0)


def test_an_oil_that_nobody_names_is_assumed_and_listed(make: Make) -> None:
    listed = {a.name: a.text for a in make().assumptions if a.part == "oil"}
    assert listed["grade"] == "ISO VG 46"
    assert listed["temperature"].startswith("50")
