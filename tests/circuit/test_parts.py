"""Parts: figures in SI, defaults and their precedence, what was assumed, drives, spools."""

from __future__ import annotations

import math

import pytest

from circuitcheck.circuit import Circuit

from .conftest import LINES, PARTS, Make


def test_figures_are_in_si_and_keep_their_text_and_place(make: Make) -> None:
    part = make().parts["C1"]
    bore = part.figures["bore"]
    assert bore.value == pytest.approx(0.1)
    assert (bore.text, bore.origin) == ("100 mm", "given")
    assert (bore.place.line, bore.place.column, bore.place.end_column) == (8, 22, 28)


def test_second_figure_after_at(make: Make) -> None:
    valve = make().parts["V1"]
    assert valve.figure("flow") == pytest.approx(1e-3)
    assert valve.figure("drop") == pytest.approx(6e5)
    assert valve.ways == (4, 3)


def test_units_of_any_mix(make: Make) -> None:
    parts = PARTS.replace("16 cc/rev", "1 cu in/rev").replace("210 bar", "3000 psi")
    circuit = make(parts=parts.replace("bore 100 mm", "bore 4 in"))
    assert circuit.parts["P1"].figure("displacement") == pytest.approx(16.387064e-6)
    assert circuit.parts["R1"].figure("set") == pytest.approx(206.842719e5)
    assert circuit.parts["C1"].figure("bore") == pytest.approx(0.1016)


def test_two_parts_alike(make: Make) -> None:
    parts = PARTS.replace("C1  cylinder", "C1 and C2  cylinder")
    lines = LINES.replace("to C1 cap", "to C1 cap and C2 cap").replace(
        "to C1 rod", "to C1 rod and C2 rod"
    )
    circuit = make(parts=parts, lines=lines)
    assert circuit.parts["C2"].figure("bore") == pytest.approx(0.1)
    assert circuit.parts["C1"].figures is not circuit.parts["C2"].figures


def assumed(circuit: Circuit, part: str, name: str) -> list[tuple[str, str]]:
    return [(a.text, a.origin) for a in circuit.assumptions if (a.part, a.name) == (part, name)]


def test_the_parts_own_word_goes_before_every_and_every_before_built_in(make: Make) -> None:
    head = "defaults\n  every pump, volumetric 91 %, mechanical 87 %\n"
    parts = PARTS.replace("16 cc/rev,", "16 cc/rev, volumetric 95 %,")
    circuit = make(parts=parts, head=head)
    pump = circuit.parts["P1"]
    assert pump.figure("volumetric") == pytest.approx(0.95)
    assert pump.figure("mechanical") == pytest.approx(0.87)
    assert pump.figures["volumetric"].origin == "given"
    assert pump.figures["mechanical"].origin == "every"
    assert pump.figures["test oil"].origin == "assumed"
    assert assumed(circuit, "P1", "volumetric") == []
    assert assumed(circuit, "P1", "mechanical") == [("87 %", "every pump")]
    assert [origin for _, origin in assumed(circuit, "P1", "test oil")] == ["built in"]
    assert pump.given("mechanical")
    assert not pump.given("test oil")


def test_every_built_in_figure_is_listed_with_its_source(make: Make) -> None:
    circuit = make()
    listed = {(a.part, a.name) for a in circuit.assumptions if a.source}
    for part in circuit.parts.values():
        for name, figure in part.figures.items():
            assert ((part.name, name) in listed) == (figure.origin != "given")


def test_every_of_a_phrase_concerns_only_those(make: Make) -> None:
    head = "defaults\n  every hose, rated 250 bar\n"
    lines = LINES.replace("hose 32 mm", "tube 38 x 3 mm")
    circuit = make(lines=lines, head=head)
    assert circuit.parts["pressure"].figure("rated") == pytest.approx(250e5)
    assert circuit.parts["suction"].figure("rated") is None


def test_choices_and_their_defaults(make: Make) -> None:
    circuit = make()
    assert circuit.parts["V1"].says("tandem centre")
    assert circuit.parts["P1"].choices["control"] == "fixed"
    assert assumed(circuit, "C1", "acting") == [("double acting", "built in")]


def test_drive(make: Make) -> None:
    assert make().parts["P1"].driven_by == "E1"


def test_a_spool_written_out(make: Make) -> None:
    parts = PARTS.replace("tandem centre", "at a P-A B-T, at centre P-A-B, at b closed")
    valve = make(parts=parts).parts["V1"]
    assert valve.positions["a"] == (("P", "A"), ("B", "T"))
    assert valve.positions["centre"] == (("P", "A", "B"),)
    assert valve.positions["b"] == ()


def test_a_plugged_port_needs_no_line(make: Make) -> None:
    parts = PARTS.replace("stroke 500 mm", "stroke 500 mm, rod plugged")
    lines = LINES.replace("to C1 rod", "to T1")
    circuit = make(parts=parts, lines=lines)
    assert circuit.parts["C1"].plugged == {"rod"}
    assert circuit.junction_of("C1", "rod") is None


def test_the_scale_of_a_gauge(make: Make) -> None:
    parts = PARTS + "  G1  gauge, 0 to 315 bar\n"
    gauge = make(parts=parts, lines=LINES + "  from pressure to G1\n").parts["G1"]
    assert gauge.figure("range") == pytest.approx(315e5)


def test_codes_are_kept_as_text(make: Make) -> None:
    parts = PARTS.replace("driven by E1", "driven by E1, flange 101-2, shaft 25-4")
    pump = make(parts=parts).parts["P1"]
    assert (pump.figures["flange"].text, pump.figures["shaft"].text) == ("101-2", "25-4")
    assert math.isnan(pump.figures["flange"].value)


@pytest.mark.parametrize(
    ("formula", "bar"),
    [
        ("1.1 * work", 220.0), ("work + 15 bar", 215.0), ("2 * work - work / 2", 300.0),
        ("(work + 10 bar) * 2", 420.0), ("30 kN / 15 cm2", 200.0), ("-10 bar + work", 190.0),
        ("120 Nm / 25 cc/rev", 301.59),
    ],
)  # fmt: skip
def test_sums_in_brackets(make: Make, formula: str, bar: float) -> None:
    head = "values\n  work  200 bar\n"
    circuit = make(parts=PARTS.replace("set 210 bar", f"set ({formula})"), head=head)
    assert circuit.parts["R1"].figure("set") == pytest.approx(bar * 1e5, rel=1e-4)


def test_displacement_times_speed_is_a_flow(make: Make) -> None:
    parts = PARTS.replace("set 210 bar, 60 L/min", "set 210 bar, (16 cc/rev * 1450 rpm)")
    assert make(parts=parts).parts["R1"].figure("flow") == pytest.approx(23.2e-3 / 60)


def test_a_force_on_an_arm_is_a_torque(make: Make) -> None:
    parts = PARTS.replace("16 cc/rev,", "16 cc/rev, shaft limit (2 kN * 50 mm),")
    assert make(parts=parts).parts["P1"].figure("shaft limit") == pytest.approx(100.0)


def test_pressure_times_displacement_is_a_torque(make: Make) -> None:
    parts = PARTS.replace("16 cc/rev,", "16 cc/rev, shaft limit (210 bar * 16 cc/rev),")
    expected = 210e5 * 16e-6 / (2 * math.pi)
    assert make(parts=parts).parts["P1"].figure("shaft limit") == pytest.approx(expected)


def test_a_difference_over_ambient(make: Make) -> None:
    parts = PARTS + "  K1  cooler, 12 kW at 54 degF over ambient\n"
    lines = LINES.replace("from V1 T to T1", "from V1 T through K1 to T1")
    assert make(parts=parts, lines=lines).parts["K1"].figure("difference") == pytest.approx(30.0)
