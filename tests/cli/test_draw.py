"""``circuitcheck draw``: symbols, colours, tables, paper, other formats."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from circuitcheck.basics.folders import folder

Run = Callable[..., Any]


def test_the_sheet_of_symbols_needs_no_circuit(circuitcheck: Run, tmp_path: Path) -> None:
    target = tmp_path / "symbols.svg"
    assert circuitcheck("draw", "--symbols", "-o", target).status == 0
    assert ">counterbalance<" in target.read_text("utf-8")


def test_without_a_circuit_it_says_what_to_name(circuitcheck: Run) -> None:
    answer = circuitcheck("draw")
    assert answer.status == 2
    assert "name the circuit to draw" in answer.err


def test_a_step_in_colour_with_tables_on_paper(circuitcheck: Run, small: Path) -> None:
    answer = circuitcheck(
        "draw", small, "--step", "first", "--colour", "--operated", "--tables", "--paper", "A4"
    )
    assert answer.status == 0
    assert 'id="legend"' in answer.out
    assert 'id="table-parts"' in answer.out
    assert 'id="frame"' in answer.out
    assert 'height="297.0mm"' in answer.out


def test_colour_without_a_step_is_refused(circuitcheck: Run, small: Path) -> None:
    answer = circuitcheck("draw", small, "--colour")
    assert answer.status == 2
    assert "--step NAME" in answer.err


@pytest.mark.parametrize(
    ("options", "message"),
    [
        (("--paper", "A9"), "no sheet A9"),
        (("--symbols", "--paper", "A3"), "the other options do not fit"),
        (("-o", "drawing.jpeg"), "not written as '.jpeg'; it can be .svg, .pdf, .png, .dxf"),
    ],
)
def test_what_cannot_be_done_is_said(
    circuitcheck: Run, small: Path, options: tuple[str, str], message: str
) -> None:
    answer = circuitcheck("draw", small, *options)
    assert answer.status == 2
    assert message in answer.err


def test_several_sheets_are_several_files(circuitcheck: Run, tmp_path: Path) -> None:
    target = tmp_path / "crane.svg"
    source = Path(folder("examples")) / "flow_sharing.hyc"
    assert circuitcheck("draw", source, "--per-sheet", "8", "-o", target).status == 0
    written = sorted(path.name for path in tmp_path.glob("*.svg"))
    assert written == ["crane-1.svg", "crane-2.svg", "crane-3.svg"]
    assert ">sheet 2, 3<" in (tmp_path / "crane-1.svg").read_text("utf-8")


def test_a_click_leads_from_the_drawing_to_the_line_of_the_text(
    circuitcheck: Run, small: Path
) -> None:
    drawings = small.parent / "drawings"
    drawings.mkdir()
    assert circuitcheck("draw", small, "-o", drawings / "small.svg").status == 0
    svg = (drawings / "small.svg").read_text("utf-8")
    lines = small.read_text("utf-8").splitlines()
    number = next(k for k, line in enumerate(lines, 1) if line.strip().startswith("P1 "))
    assert f'xlink:href="../{small.name}#L{number}"' in svg


def test_pump_controls_in_short_form_make_a_lower_sheet(circuitcheck: Run, tmp_path: Path) -> None:
    source = Path(folder("examples")) / "blade_and_winch.hyc"
    heights = []
    for name, options in (("full", ()), ("short", ("--short",))):
        target = tmp_path / f"{name}.svg"
        assert circuitcheck("draw", source, *options, "-o", target).status == 0
        heights.append(float(re.search(r' height="([\d.]+)mm"', target.read_text("utf-8"))[1]))
    assert heights[1] < 0.9 * heights[0]


def test_a_hint_puts_a_branch_on_a_sheet_of_its_own(circuitcheck: Run, tmp_path: Path) -> None:
    text = (Path(folder("examples")) / "clamps.hyc").read_text("utf-8")
    source = tmp_path / "bench.hyc"
    source.write_text(f"{text.rstrip()}\n  V2 sheet 2\n", "utf-8")
    refused = circuitcheck("draw", source)
    assert refused.status == 2
    assert "several sheets" in refused.err
    target = tmp_path / "bench.svg"
    assert circuitcheck("draw", source, "--paper", "A3, landscape", "-o", target).status == 0
    first, second = (tmp_path / f"bench-{k}.svg" for k in (1, 2))
    assert ">V1<" in first.read_text("utf-8")
    assert ">V2<" in second.read_text("utf-8")
    assert re.search(r">sheet 1 [A-F][1-8]<", second.read_text("utf-8"))
