"""What a word means and what was computed for it; figures behind the sentences."""

from __future__ import annotations

from pathlib import Path

import pytest

from circuitcheck.editing.figures import inlays, told, verdicts
from circuitcheck.editing.hover import NO_FIGURES, WAITING, hover
from circuitcheck.editing.known import Known
from circuitcheck.pipeline import parse
from circuitcheck.reports.result import Result
from tests.press_text import PRESS, TWO_PUMPS

EXAMPLES = Path(__file__).resolve().parent.parent.parent / "examples"
SIZED = PRESS.replace("from V1 A to C1 cap", "push from V1 A to C1 cap, hose 12.7 mm, 2 m")
RESULT = parse(SIZED).check()


def shown(spot: str, text: str = SIZED, result: Result | None = RESULT, file: str = "") -> str:
    """Give what is shown at | of a spot in a text."""
    before, _, after = spot.partition("|")
    offset = text.index(before + after) + len(before)
    line, column = text.count("\n", 0, offset) + 1, offset - text.rfind("\n", 0, offset)
    folder = Path(file).parent if file else None
    found = hover(Known.of(text, file, folder), result, line, column)
    return "" if found is None else found.text


def test_a_part_has_its_data_and_a_row_for_each_step() -> None:
    text = shown("  C|1  cylinder")
    assert "**C1** · cylinder" in text
    assert "bore 80 mm" in text
    assert "(efficiency" in text  # not said in the text: in brackets
    rows = [row for row in text.split("\n") if row.startswith("| ")]
    assert [row.split(" | ")[0] for row in rows] == ["| step", "| ---", "| idle", "| out"]
    point = parse(SIZED).point("out")
    speed = point["C1"].values["speed"] * 1000
    assert f"| {speed:.1f}".rstrip("0").rstrip(".") in rows[-1]
    assert len({row.count("|") for row in rows}) == 1


@pytest.mark.parametrize(
    ("spot", "wanted"),
    [
        ("from V1 |A", ["**V1 A** · work port A", "pressure [bar]", "| out |"]),
        ("pu|sh from", ["**push** · line", "flow [L/min]", "start [bar]"]),
        ("suc|tion from", ["**suction** · line", "start [bar]", "| 0 | 0 |"]),
        ("step ou|t", ["**out** · step", "input", "useful"]),
        ("C1  cylin|der", ["**cylinder** · Cylinder", "ports: cap (cap end), rod", "explain"]),
        ("bo|re 80", ["**bore** · figure of cylinder", "[mm]", "from 1 mm"]),
        ("C1 lo|ad 20", ["**load** · figure of cylinder"]),
        ("closed| centre", ["**closed centre**", "tandem centre"]),
        ("set 1|80", ["**180 bar** · pressure", "psi"]),
        ("ho|se 12.7", ["**hose** · make of line"]),
        ("valve 4|/3", []),
        ("lin|es\n", []),
    ],
)  # fmt: skip
def test_words_say_what_they_mean(spot: str, wanted: list[str]) -> None:
    text = shown(spot)
    assert all(piece in text for piece in wanted)
    assert bool(text) == bool(wanted)


def test_a_pressure_that_only_leakage_decides_is_marked() -> None:
    text = shown("  C|1  cylinder")
    idle = next(row for row in text.split("\n") if row.startswith("| idle"))
    assert "~" in idle
    assert "held by leakage" in text


def test_a_step_that_is_not_solved_is_said_so_everywhere() -> None:
    result = parse(TWO_PUMPS).check()
    assert not result.solved
    assert "| stop | not solved |" in shown("  C|1  cyl", TWO_PUMPS, result)
    assert "not solved: " in shown("step sto|p", TWO_PUMPS, result)
    assert {one.text for one in inlays(result, [(4, 20, ("C1",))], "stop")} == {"not solved"}
    assert inlays(result, [(4, 20, ("C1",))], "go")[0].text.startswith("0 ") is False


def test_figures_of_another_text_are_never_shown() -> None:
    assert WAITING in shown("  C|1  cylinder", result=None)
    wrong = SIZED.replace("180 bar", "180 barr")
    assert NO_FIGURES in shown("  C|1  cylinder", wrong, parse(wrong).check())


def test_a_part_inside_a_block() -> None:
    file = EXAMPLES / "clamp_stations.hyc"
    text = file.read_text(encoding="utf-8")
    result = parse(text, str(file), file.parent).check()
    assert "**S1/C1** · cylinder" in shown("S1/C|1 load", text, result, str(file))
    assert "bore 40 mm" in shown("S3/C|1 load", text, result, str(file))
    assert "block clamp_station, force_pressure ? bar" in shown(
        "S1 and S2  clamp_st|ation", text, result, str(file)
    )
    assert "**S1** · block clamp_station" in shown("  S|1 and", text, result, str(file))


def test_a_claim_has_the_computed_figure_behind_it() -> None:
    text = (
        SIZED
        + "claims\n  C1 speed 75 mm/s, in out, within 5 %\n  C1 force 1 kN, in out, within 1 %\n"
    )
    result = parse(text, "x.hyc").check()
    speed = parse(text).point("out")["C1"].values["speed"] * 1000
    holds, off = verdicts(result, "x.hyc")
    assert (holds.line, off.line) == (22, 23)
    assert holds.column == len("  C1 speed 75 mm/s, in out, within 5 %") + 1
    assert holds.text == f"{speed:.1f} mm/s, holds"
    assert off.text == "20 kN, OFF"
    assert verdicts(result, "y.hyc") == []


def test_the_figures_behind_a_sentence_are_those_of_the_step() -> None:
    ends = [(9, 60, ("C1",)), (6, 50, ("P1",)), (4, 5, ("T1",))]
    idle, out = (inlays(RESULT, ends, step) for step in ("idle", "out"))
    assert [(one.line, one.column) for one in out] == [(9, 60), (6, 50)]
    assert "mm/s" in out[0].text
    assert "20 kN" in out[0].text
    assert idle[0].text != out[0].text
    assert inlays(RESULT, ends) == idle  # the first one that is solved
    assert inlays(RESULT, ends, "nowhere") == []
    both = inlays(RESULT, [(1, 1, ("P1", "C1"))], "out")[0].text
    assert both.startswith("P1 ")
    assert "; C1 " in both
    assert told(RESULT, RESULT.points[1], "suction") == "0 bar"
