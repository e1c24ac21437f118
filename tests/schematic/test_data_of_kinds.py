"""Data beside the parts: every figure is one of its kind, and sizes share one unit."""

from __future__ import annotations

import pytest

from circuitcheck.components import kinds
from circuitcheck.components._parts import Figure, Part
from circuitcheck.schematic.descriptions import _DATA, data_lines
from circuitcheck.schematic.from_circuit import _SHOWN
from circuitcheck.schematic.netlist import ROLE_OF_KIND


@pytest.mark.parametrize("word", sorted(_DATA))
def test_every_figure_beside_a_part_is_one_of_its_kind(word: str) -> None:
    kind = kinds()[word]
    assert all(kind.parameter(name) is not None for name, _ in _DATA[word])


def test_roles_and_values_are_of_kinds_that_exist() -> None:
    assert set(ROLE_OF_KIND) | set(_SHOWN) <= {kind.word for kind in kinds().values()}


def part(word: str, **texts: str) -> Part:
    figures = {name.replace("_", " "): Figure(1.0, text, "") for name, text in texts.items()}
    return Part("X1", kinds()[word], figures)


def test_stages_of_a_telescopic_cylinder_stand_before_its_stroke() -> None:
    cylinder = part(
        "telescopic cylinder", first_stage="100 mm", second_stage="80 mm", stroke="1200 mm"
    )
    assert data_lines(cylinder) == ("100/80 x 1200 mm",)


def test_a_brake_valve_says_setting_ratio_and_relief() -> None:
    valve = part("brake valve", set="230 bar", pilot="4:1", relief="280 bar")
    assert data_lines(valve) == ("230 bar", "4:1", "relief 280 bar")


def test_a_burst_valve_says_at_which_flow_it_closes() -> None:
    assert data_lines(part("burst valve", closes="90 L/min")) == ("closes 90 L/min",)
