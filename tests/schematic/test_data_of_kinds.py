"""Data beside the parts: every figure is one of its kind, and sizes share one unit."""

from __future__ import annotations

import pytest

from circuitcheck import pipeline
from circuitcheck.components import kinds
from circuitcheck.components._parts import Figure, Part
from circuitcheck.schematic.descriptions import _DATA, data_lines, hose_label
from circuitcheck.schematic.from_circuit import from_circuit
from circuitcheck.schematic.netlist import ROLE_OF_KIND
from circuitcheck.schematic.readings import _READ, _SHOWN
from tests.press_text import PRESS

CIRCUIT = pipeline.parse(PRESS).circuit


@pytest.mark.parametrize("word", sorted(_DATA))
def test_every_figure_beside_a_part_is_one_of_its_kind(word: str) -> None:
    kind = kinds()[word]
    assert all(kind.parameter(name) is not None for name, _ in _DATA[word])


def test_roles_and_values_are_of_kinds_that_exist() -> None:
    assert set(ROLE_OF_KIND) | set(_SHOWN) | set(_READ) <= {kind.word for kind in kinds().values()}


def part(word: str, **texts: str) -> Part:
    figures = {name.replace("_", " "): Figure(1.0, text, "") for name, text in texts.items()}
    return Part("X1", kinds()[word], figures)


def test_stages_of_a_telescopic_cylinder_stand_before_its_stroke() -> None:
    cylinder = part(
        "telescopic cylinder", first_stage="100 mm", second_stage="80 mm", stroke="1200 mm"
    )
    assert data_lines(cylinder, CIRCUIT) == ("100/80 x 1200 mm",)


def test_a_brake_valve_says_setting_ratio_and_relief() -> None:
    valve = part("brake valve", set="230 bar", pilot="4:1", relief="280 bar")
    assert data_lines(valve, CIRCUIT) == ("230 bar", "4:1", "relief 280 bar")


def test_a_burst_valve_says_at_which_flow_it_closes() -> None:
    assert data_lines(part("burst valve", closes="90 L/min"), CIRCUIT) == ("closes 90 L/min",)


def test_a_fixed_pump_has_its_rated_flow_beside_it() -> None:
    # 16 cc/rev at 1450 rpm without losses: 23.2 L/min
    assert data_lines(CIRCUIT.parts["P1"], CIRCUIT) == ("16 cc/rev", "23.2 L/min")


def test_the_rated_flow_of_a_continuous_valve_stands_with_its_drop() -> None:
    # ISO 1219-2 asks for the rated flow; it says nothing without the drop (common practice)
    text = PRESS.replace("closed centre", "closed centre, servo, 40 L/min at 70 bar")
    circuit = pipeline.parse(text).circuit
    assert data_lines(circuit.parts["V1"], circuit) == ("40 L/min at 70 bar",)


def test_a_tube_is_named_by_its_outside_and_wall() -> None:
    text = PRESS.replace("from V1 A to C1 cap", "from V1 A to C1 cap, tube 16 x 2 mm, 1 m")
    lines = pipeline.parse(text).circuit.of_kind("line")
    assert [hose_label(line) for line in lines if hose_label(line)] == ["16 x 2 mm"]


def test_what_a_part_is_for_stands_above_its_data() -> None:
    text = PRESS.replace("C1  cylinder, bore", 'C1  cylinder, "press ram", bore')
    circuit = pipeline.parse(text).circuit
    assert data_lines(circuit.parts["C1"], circuit) == ("press ram", "80/50 x 400 mm")


def test_two_purposes_of_a_part_are_refused() -> None:
    text = PRESS.replace("C1  cylinder, bore", 'C1  cylinder, "ram", "press ram", bore')
    found = pipeline.parse(text).check().findings
    assert [f.message for f in found] == ["what this part is for is said twice"]


def test_the_heading_fills_the_title_block() -> None:
    head = 'circuit "press", issue C, owner "Orchard Works", number HP-2, approved "B. Birch"'
    circuit = pipeline.parse(PRESS.replace('circuit "press"', head)).circuit
    netlist = from_circuit(circuit)
    assert netlist.fields == (
        ("Legal owner", "Orchard Works"),
        ("Approved by", "B. Birch"),
        ("Document number", "HP-2"),
        ("Issue", "C"),
    )
    assert netlist.rows == ("Oil ISO VG 46, 45 °C", "Drawn at rest")


def test_the_text_may_ask_for_pump_controls_in_short_form() -> None:
    long = PRESS.replace("fixed, 16 cc/rev", "load sensing, 16 cc/rev, margin 20 bar")
    long = long.replace(
        "  from R1 T to T1", "  from R1 T to T1\n  from P1 L to T1\n  from P1 P to P1 X"
    )
    heights = []
    for text in (long, f"{long}drawing A3, short\n"):
        project = pipeline.parse(text)
        assert project.understood, project.check().findings
        pump = next(i for i in from_circuit(project.circuit).items if i.id == "P1")
        heights.append(pump.symbol.frame[3] - pump.symbol.frame[1])
    assert heights[1] < heights[0]


@pytest.mark.parametrize(
    ("said", "written"), [("", "normally open"), (", locked open", "locked open")]
)
def test_a_shut_off_says_how_it_stands_at_rest(said: str, written: str) -> None:
    text = PRESS.replace("\nlines\n", f"\n  SV1 shut-off{said}\n\nlines\n", 1)
    text = text.replace("from P1 P to V1 P", "from P1 P through SV1 to V1 P", 1)
    circuit = pipeline.parse(text).circuit
    assert data_lines(circuit.parts["SV1"], circuit) == (written,)
