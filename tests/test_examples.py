"""The circuits in ``examples/``: they are what a newcomer sees first and copies."""

from __future__ import annotations

import json
import re
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from circuitcheck.basics.findings import Severity
from circuitcheck.pipeline import Project, load

FOLDER = Path(__file__).resolve().parent.parent / "examples"
NAMES = (
    "anchor_winch", "blade_and_winch", "clamp_stations", "clamps", "fan_drive", "feed_slide",
    "filter_loop", "flow_sharing", "lift", "logic_press", "press", "press_accumulator",
    "servo_axis", "splitter", "steering", "tipper", "tool_bank", "torque_limit", "travel_drive",
    "twin_lift", "wrong",
)  # fmt: skip
FOLDERS = ("blocks", "parts")
SOUND = [name for name in NAMES if name != "wrong"]
L_PER_MIN = 1e-3 / 60


@pytest.fixture(scope="module", params=NAMES)
def example(request: pytest.FixtureRequest) -> Project:
    """Each example in turn, its stages run once."""
    return load(FOLDER / f"{request.param}.hyc")


def test_the_folder_holds_the_examples_and_nothing_else() -> None:
    assert sorted(p.name for p in FOLDER.iterdir() if p.is_dir()) == sorted(FOLDERS)
    assert sorted(p.stem for p in FOLDER.iterdir() if p.is_file()) == sorted(NAMES)


def test_it_begins_with_its_story(example: Project) -> None:
    story = re.match(r"(?:#.*\n)+", example.text)
    assert story is not None
    assert len(story.group().splitlines()) >= 5
    assert max(map(len, example.text.splitlines())) <= 100


def test_every_step_is_solved_and_balances(example: Project) -> None:
    for point in example.solve():
        assert point.success, point.message
        assert point.imbalance < 1e-6 * L_PER_MIN
        assert point.power_error < 1e-6


def test_the_whole_text_is_used(example: Project) -> None:
    assert example.circuit.unused == []


def test_no_pressure_is_left_undecided(example: Project) -> None:
    for point in example.solve():
        assert "indeterminate" not in {state.status for state in point.junctions.values()}


def test_it_is_drawn_with_all_its_parts(example: Project) -> None:
    first = example.solve().points[0]  # the others are drawn in the report, see below
    root = ET.fromstring(example.draw(first.step.name))
    drawn = {group.get("id") for group in root.iter() if group.get("id")}
    # a line is drawn as a line, a tank as a small mark wherever oil goes back to it
    shown = [p for p in example.circuit.parts.values() if p.kind.word not in ("line", "tank")]
    assert {f"part-{part.name}".replace("/", "_") for part in shown} <= drawn


def test_every_form_of_report_can_be_made(example: Project) -> None:
    assert example.circuit.title in example.report("text")
    assert json.loads(example.report("json"))["solved"]
    assert example.report("html").count("<svg") == len(example.solve().points)


@pytest.mark.parametrize("name", SOUND)
def test_a_sound_circuit_has_no_errors(name: str) -> None:
    result = load(FOLDER / f"{name}.hyc").check()
    errors = [f"{f.slug}: {f.message}" for f in result.findings if f.severity is Severity.ERROR]
    assert errors == []
    assert result.claims
    assert {claim.word for claim in result.claims} == {"holds"}


def test_the_wrong_circuit_shows_what_its_story_promises() -> None:
    result = load(FOLDER / "wrong.hyc").check()
    found = {f.slug for finding in result.findings for f in (finding, *finding.consequences)}
    assert {"unprotected-pump", "relief-can-be-shut-off"} & found
    assert len(found) >= 10
