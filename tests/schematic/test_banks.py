"""Banks of load-sensing valves and whole mobile machines: no faults, and few crossings.

A general layered layout has nine crossings at best for three sections with compensators (the
anchor of the neutral case), 74 for a mobile machine of 60 parts. A signal line under the valves
costs three crossings for each section after the first; led above the actuators it leaves one:
the pressure line of a section through the return rail.
"""

from __future__ import annotations

import time
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from circuitcheck.schematic import draw
from tests.schematic import metrics, neutral
from tests.schematic.banks import BANKS, bank
from tests.schematic.large import LARGE
from tests.schematic.machines import machine

CROSSINGS = {
    "bank of 2": 4,
    "bank of 3": 4,
    "bank of 4": 7,
    "bank of 5": 6,
    "bank of 6": 8,
    "bank of 8": 12,
    "bank of 10": 12,
    "mobile of 60": 18,
    "mobile of 70": 21,
    "crane": 39,
    "loader": 33,
    "transfer line": 16,
}
"""What was reached once, measured by code that knows nothing of ours."""
CASES = BANKS | LARGE
KINDS = ("plain", "held", "locked", "throttled", "twin", "relieved", "motor", "motor held")
CROSSED = {"locked": 2, "twin": 3}
"""Kinds of branches whose own lines cross: pilot lines, two cylinders at one pair of lines."""


def measured(case: dict[str, Any]) -> dict[str, Any]:
    drawing = neutral.to_neutral(draw(neutral.to_netlist(case), case["name"]), case)
    assert metrics.differences(case, drawing) == []
    result: dict[str, Any] = metrics.measure(drawing)
    assert {key: result[key] for key in metrics.FAULTS if result[key]} == {}
    return result


@pytest.mark.parametrize("name", CASES)
def test_a_bank_has_no_faults_and_few_crossings(name: str) -> None:
    assert measured(CASES[name])["crossings"] <= CROSSINGS[name]


@settings(max_examples=8, deadline=None)
@given(st.lists(st.sampled_from(KINDS), min_size=2, max_size=8), st.booleans(), st.booleans())
def test_crossings_grow_by_little_more_than_one_with_every_section(
    kinds: list[str], compensated: bool, backwards: bool
) -> None:
    case = bank(tuple(kinds), compensated=compensated, backwards=backwards)
    own = sum(CROSSED.get(kind, 0) for kind in kinds)
    assert measured(case)["crossings"] <= len(kinds) + 3 + own


def test_five_hundred_parts_take_less_than_fifteen_seconds() -> None:
    netlist = machine(["holding", "locked", "motor", "metered"] * 42)
    assert len(netlist.items) >= 500
    began = time.process_time()
    assert draw(netlist, "test").faults == ()
    assert time.process_time() - began < 15.0


@pytest.mark.parametrize("name", ["bank of 4", "bank of 6", "mobile of 70", "transfer line"])
def test_up_to_sixty_parts_take_less_than_a_second_of_processor_time(name: str) -> None:
    """Those that take longest: just small enough to be polished, or just too large for it."""
    netlist = neutral.to_netlist(CASES[name])
    draw(neutral.to_netlist(BANKS["bank of 2"]), "what is loaded at first use")
    began = time.process_time()
    draw(netlist, "test")
    assert time.process_time() - began < 2.0  # a second with a core of its own
