"""``circuitcheck draw``: symbols, colours, tables, paper, other formats."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

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
    from circuitcheck.basics.folders import folder

    target = tmp_path / "crane.svg"
    source = Path(folder("examples")) / "flow_sharing.hyc"
    assert circuitcheck("draw", source, "--per-sheet", "8", "-o", target).status == 0
    written = sorted(path.name for path in tmp_path.glob("*.svg"))
    assert written == ["crane-1.svg", "crane-2.svg", "crane-3.svg"]
    assert ">sheet 2, 3<" in (tmp_path / "crane-1.svg").read_text("utf-8")
