"""Figures of a text that can be turned: where they stand, how far they go, how fast they answer."""

from __future__ import annotations

import time
from collections import OrderedDict
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest

from circuitcheck.language import read
from circuitcheck.live import jobs
from circuitcheck.live.amounts import knobs
from circuitcheck.live.sheets import draw_sheet
from tests.live.turning import EXAMPLES, asked, difference, knobs_of, measured, put, turned


def looked(file: Path) -> dict[str, Any]:
    return dict(jobs.look(asked(file, file.read_text(encoding="utf-8"))))


@pytest.mark.parametrize("file", [EXAMPLES / "press.hyc", EXAMPLES / "tool_bank.hyc"], ids=str)
def test_each_figure_stands_where_it_is_said_to_stand(file: Path) -> None:
    lines = file.read_text(encoding="utf-8").split("\n")
    found = looked(file)["knobs"]
    assert len(found) > 40
    for knob in found:
        line, start, last, end = knob["place"]
        assert line == last
        text = lines[line][start:end]
        if "-" not in text:  # 1-1/4 in
            assert float(text.replace(",", "")) == pytest.approx(knob["value"])
        assert lines[line][end:].strip().startswith(knob["unit"].split(" ")[0])
        assert knob["least"] <= knob["value"] <= knob["most"]
        assert 0 < knob["step"] <= max(knob["most"] - knob["least"], 1.0)


def test_they_have_the_names_that_the_trade_gives_them() -> None:
    names = {knob["name"]: knob for knob in looked(EXAMPLES / "press.hyc")["knobs"]}
    assert names["R1 set"]["value"] == 210.0
    assert names["C1 bore"]["unit"] == "mm"
    assert names["press: C1 load"]["value"] == 130.0
    assert names["push length"]["part"] == "push"
    assert names["P1 volumetric"]["most"] == 100.0


def test_places_are_counted_as_a_browser_counts() -> None:
    """A sign beyond the first plane of Unicode is two places in a browser's text."""
    text = 'circuit "\U0001f6e2 \U0001f6e2"\nparts\n  T1  tank, "\U0001f6e2", 60 L\n'
    [knob] = [k for k in jobs.look(asked(Path("/x.hyc"), text))["knobs"] if k["unit"] == "L"]
    line, start, _, end = knob["place"]
    units = text.split("\n")[line].encode("utf-16-le")
    assert units[2 * start : 2 * end].decode("utf-16-le") == "60"


def test_two_numbers_that_belong_together_are_left_alone() -> None:
    text, _ = read("parts\n  V1  valve 4/3, tandem centre, 60 L/min at 6 bar\n")
    assert [knob.value for knob in knobs(text, None)] == [60.0, 6.0]


def test_a_text_that_is_not_understood_has_its_figures_all_the_same() -> None:
    text = (EXAMPLES / "press.hyc").read_text().replace("driven by E1", "driven by E7")
    found = jobs.look(asked(EXAMPLES / "press.hyc", text))
    assert not found["understood"]
    assert len(found["knobs"]) > 40


TURNED = [
    ("press", "P1 displacement"),
    ("planer", "C1 rod"),
    ("blade_and_winch", "R1 rated"),
    ("press_accumulator", "C1 stroke"),
]


@pytest.mark.parametrize(("name", "figure"), TURNED)
def test_the_quick_answer_is_that_in_full(name: str, figure: str) -> None:
    """What is solved from the answer before has the figures of what is solved from nothing."""
    file = EXAMPLES / f"{name}.hyc"
    [knob] = [one for one in knobs_of(file) if one["name"] == figure]
    jobs.trial(asked(file, file.read_text(encoding="utf-8")))
    assert difference(file, turned(file, knob, 0.03)) < 2e-3  # three figures are shown


def test_a_turn_that_changes_what_is_built_is_solved_from_nothing() -> None:
    file = EXAMPLES / "press.hyc"
    text = file.read_text(encoding="utf-8")
    jobs.trial(asked(file, text))
    more = text.replace(
        "G1  gauge, 0 to 315 bar", "G1  gauge, 0 to 315 bar\n  G2  gauge, 0 to 100 bar"
    )
    more = more.replace("to G1  ", "to G1 and G2 ")
    assert difference(file, more) == 0.0
    assert difference(file, text) == 0.0


def test_a_turn_costs_less_than_an_answer_in_full() -> None:
    """Processor time; in all examples: ``python -m tests.live.turning``."""
    file = EXAMPLES / "logic_press.hyc"
    knob = next(k for k in knobs_of(file) if k["unit"] == "bar")
    quick = min(measured(file, knob, 3))
    start = time.process_time()
    jobs.look(asked(file, turned(file, knob, 0.02)))
    assert quick < 0.3 * (time.process_time() - start)  # measured: less than a tenth


def test_a_figure_is_put_in_its_place() -> None:
    assert (
        put("a\n  R1  relief, set 210 bar", [1, 18, 1, 21], "99.5")
        == "a\n  R1  relief, set 99.5 bar"
    )


def test_drawings_are_written_anew_on_the_layout_before() -> None:
    file = EXAMPLES / "press.hyc"
    text = file.read_text(encoding="utf-8")
    first = jobs.sheet(asked(file, text, "press"))
    other = jobs.sheet(asked(file, text.replace("set 210 bar", "set 190 bar"), "squeeze"))
    assert first["parts"] == other["parts"]
    assert "210 bar" in first["svg"]
    assert "190 bar" in other["svg"]
    assert "210 bar" not in other["svg"]
    # what stands on it is what a drawing of its own would say
    project = jobs.project_of(asked(file, text.replace("set 210 bar", "set 190 bar")))
    alone = draw_sheet(project.circuit, project.point("squeeze"), False, False, 0, OrderedDict())
    assert texts(alone["svg"]) == texts(other["svg"])


def texts(svg: str) -> list[str]:
    """Give all that is written on a drawing."""
    root = ElementTree.fromstring(svg)
    return sorted(t.text or "" for t in root.iter("{http://www.w3.org/2000/svg}text"))
