"""The report as text: what a reader must find in it."""

from __future__ import annotations

import re
from collections.abc import Callable

from circuitcheck import reports
from circuitcheck.basics.findings import Finding, NotChecked, Note, Severity
from circuitcheck.basics.places import Place
from circuitcheck.pipeline import Project
from circuitcheck.reports.findings_text import count_line, write_finding
from circuitcheck.reports.result import Result
from circuitcheck.reports.terminal import Sheet


def text(write: Callable[..., None], *about: object) -> str:
    sheet = Sheet()
    write(sheet, *about)
    return sheet.text()


def test_solve_shows_every_step_with_what_its_parts_do(press: Project) -> None:
    shown = text(reports.write_solve, press.solved())
    for step in ("idle", "approach", "press", "squeeze", "back"):
        assert f"Step {step}" in shown
    squeeze = shown[shown.index("Step squeeze") : shown.index("Step back")]
    force = press.point("squeeze")["C1"].values["force"] / 1000
    assert f"{force:.0f} kN" in squeeze
    assert re.search(r"R1 +relief +open", squeeze)
    assert "at end stop" in squeeze


def test_pressures_held_by_leakage_are_said_by_name(press: Project) -> None:
    shown = text(reports.write_solve, press.solved())
    assert re.search(r"C1 cap .*0\.\d+~", shown)
    assert re.search(r"C1 rod: held by leakage in\s+idle", shown)


def test_figures_are_in_the_units_asked_for(press: Project) -> None:
    result = press.solved()
    metric, inch = text(reports.write_solve, result), text(reports.write_solve, result, "inch")
    assert "L/min" in metric
    assert "psi" not in metric
    assert "gpm" in inch
    assert "L/min" not in inch.split("What the figures rest on")[0]


def test_the_balance_and_the_assumptions_are_part_of_the_answer(press: Project) -> None:
    shown = text(reports.write_solve, press.solved())
    assert "imbalance" in shown
    assert re.search(r"density at 15 degC +870 kg/m3", shown)


def test_one_step_shows_that_step_alone(press: Project) -> None:
    shown = text(reports.write_solve, press.solved().only("press"))
    assert "Step press" in shown
    assert "squeeze" not in shown


def test_whole_cycle_is_the_mean_over_time(press: Project) -> None:
    points = press.solve().points
    times = [point.duration or 0.0 for point in points]
    energy = sum(p.totals.input * time for p, time in zip(points, times, strict=True))
    shown = text(reports.write_solve, press.solved())
    row = next(line for line in shown.splitlines() if "whole cycle" in line).split()
    assert float(row[2]) == float(f"{sum(times):.3g}")
    assert float(row[3]) == float(f"{energy / sum(times) / 1000:.3g}")


def finding() -> Finding:
    return Finding(
        slug="relief-set-high",
        severity=Severity.WARNING,
        message="R1 opens above what P1 stands " * 3,
        place=Place("x.hyc", 2, 3, 2, 5),
        why="The pump breaks.",
        remedy="Set it lower.",
        source="common practice, no source",
        step="press",
        notes=(Note("P1 is rated here", Place("x.hyc", 1, 1, 1, 3)),),
        consequences=(
            Finding("oil-too-hot", Severity.WARNING, "the oil reaches 92 °C", step="press"),
        ),
    )


def test_a_finding_says_where_what_why_and_what_to_do() -> None:
    shown = text(write_finding, finding(), "P1 pump\n  R1 relief, set 300 bar\n")
    lines = shown.splitlines()
    assert lines[0].startswith("x.hyc:2:3: warning: R1 opens above")
    assert max(map(len, lines)) <= 80
    at = lines.index("     2 |   R1 relief, set 300 bar")
    assert lines[at + 1] == "       |   ^^"
    for said in ("note: line 1: P1 is rated here", "step: press", "why: The pump breaks.",
                 "do: Set it lower.", "source: common practice, no source"):  # fmt: skip
        assert said in shown
    assert "[relief-set-high]" in shown
    assert "- the oil reaches 92 °C [oil-too-hot]" in shown


def test_findings_alike_are_told_once_with_their_steps() -> None:
    from dataclasses import replace

    one = finding()
    other = replace(one, step="back", message="R1 opens in step back", consequences=())
    result = Result("x.hyc", "P1 pump\n  R1 relief\n", None, (one, other))
    shown = text(reports.write_check, result)
    assert shown.count("why: The pump breaks.") == 1
    assert "also: R1 opens in step back" in shown
    assert shown.count("oil-too-hot") == 1


def test_what_was_not_checked_is_listed_with_what_is_missing(small: Project) -> None:
    result = Result(
        "x.hyc", "", small.circuit, (), small.solve(),
        (NotChecked("rod-buckling", "C1", "length"), NotChecked("rod-buckling", "C2", "length")),
    )  # fmt: skip
    shown = text(reports.write_check, result)
    assert re.search(r"rod-buckling +C1, C2 +length", shown)
    assert "2 checks not run" in shown


def test_a_text_that_is_not_understood_shows_its_mistakes_and_computes_nothing(
    broken: Project,
) -> None:
    shown = text(reports.write_solve, broken.solved())
    assert "did you mean 'bar'?" in shown
    assert "nothing was computed" in shown
    assert "Pressures" not in shown


def test_cautions_stand_under_every_list_of_findings(small: Project) -> None:
    assert "Never feel for a leak" in text(reports.write_check, small.check())
    assert "ISO 12100" in text(reports.write_report, small.check())


def test_counts_agree_with_the_findings(wrong: Project) -> None:
    result = wrong.check()
    errors = sum(f.severity is Severity.ERROR for f in result.findings)
    assert errors > 3
    assert f"{errors} errors" in count_line(result)


def test_an_unsolved_step_shows_its_message_and_no_figure(small: Project) -> None:
    from dataclasses import replace

    result = small.solved()
    assert result.solution is not None
    lost = replace(result.points[0], success=False, message="the flows at P1 P do not balance")
    shown = text(reports.write_solve, replace(result, solution=replace(result.solution,
                                                                       points=[lost])))
    assert "Not solved: the flows at P1 P do not balance." in shown
    assert "Drives, pumps" not in shown


def test_no_line_of_any_report_is_wider_than_a_narrow_terminal(
    press: Project, wrong: Project, splitter: Project
) -> None:
    for made in (press, wrong, splitter):
        for line in made.report("text").splitlines():
            # the lines of the circuit text are shown as they are
            assert len(line) <= 80 or " | " in line
