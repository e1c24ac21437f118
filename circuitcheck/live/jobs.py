"""What the page asks for, done in a process of its own; what was made of a text is kept."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable
from pathlib import Path
from typing import Any

from circuitcheck.basics.memory import uncollected
from circuitcheck.basics.refusal import CircuitError
from circuitcheck.language import Text, read
from circuitcheck.live import shown, trials
from circuitcheck.live.amounts import knobs
from circuitcheck.live.sheets import Drawn, draw_sheet
from circuitcheck.pipeline import Project
from circuitcheck.reports import why_text
from circuitcheck.reports.curves_csv import as_csv
from circuitcheck.reports.plots import NoPlotsError, picture
from circuitcheck.reports.terminal import Sheet
from circuitcheck.solver.operating import OperatingPoint
from circuitcheck.studies.chart import NoCurveError
from circuitcheck.studies.cycle import NoDutyError

Json = dict[str, Any]
MOST_KEPT = 6
"""Texts of which a process keeps what it made, sheets of drawings likewise; own choice."""

_projects: OrderedDict[tuple[str, str], tuple[Project, Text]] = OrderedDict()
_drawn: OrderedDict[str, Drawn] = OrderedDict()
_tried: OrderedDict[str, trials.Before] = OrderedDict()


def make_ready() -> None:
    """Load what is slow to load, before anybody waits for it."""
    Project(*read("parts\n  T1  tank, 60 L\n")).check()


def project_of(asked: Json) -> Project:
    """Give the project of the text that is asked about."""
    return _read(asked)[0]


def _read(asked: Json) -> tuple[Project, Text]:
    key = asked["file"], asked["text"]
    if key not in _projects:
        with uncollected():
            text, mistakes = read(asked["text"], asked["file"], Path(asked["file"]).parent)
            _projects[key] = Project(text, mistakes), text
        if len(_projects) > MOST_KEPT:
            _projects.popitem(last=False)
    _projects.move_to_end(key)
    return _projects[key]


def look(asked: Json) -> Json:
    """Check a text: findings, steps, figures that can be turned, and the step that is shown."""
    project, text = _read(asked)
    result = project.check()
    lines = shown.Lines(project.text, project.file)
    circuit = result.circuit
    answer: Json = {
        "understood": circuit is not None,
        "title": circuit.title if circuit else "",
        "summary": shown.summary(result),
        "findings": [shown.finding_data(finding, lines) for finding in result.findings],
        "knobs": [shown.knob_data(knob, lines) for knob in knobs(text, circuit)],
        "steps": [], "parts": {}, "curves": [], "point": None,
    }  # fmt: skip
    if circuit is None:
        return answer
    answer["claims"] = [
        {"subject": f"{v.subject} {v.what}".strip(), "step": v.step, "verdict": v.word,
         "place": lines.place(v.place)}
        for v in result.claims
    ]  # fmt: skip
    answer["parts"] = {
        name: {"kind": part.kind.word, "purpose": part.purpose, "place": lines.place(part.place)}
        for name, part in circuit.parts.items()
    }
    answer["steps"] = [
        {"name": p.step.name, "solved": p.success, "place": lines.place(p.step.place)}
        for p in result.points
    ]
    answer["curves"] = project.curve_names()
    answer["point"] = point(asked)
    return answer


def point(asked: Json) -> Json | None:
    """Give the figures of a step; of the first one where the text has no such step."""
    project = project_of(asked)
    if not project.understood:
        return None
    return shown.point_data(project.circuit, _point(project, asked["step"]), project.usual_results)


def _point(project: Project, step: str) -> OperatingPoint:
    points = list(project.solve())
    return next((one for one in points if one.step.name == step), points[0])


def trial(asked: Json) -> Json | None:
    """Give the figures of a step of a text in which a figure has just been turned, quickly."""
    project = project_of(asked)
    if not project.understood:
        return None
    before = _tried.get(asked["tab"])
    points, after = trials.solve(project.circuit, before)
    _tried[asked["tab"]] = after
    _tried.move_to_end(asked["tab"])
    if len(_tried) > MOST_KEPT * 4:
        _tried.popitem(last=False)
    chosen = next((one for one in points if one.step.name == asked["step"]), points[0])
    return shown.point_data(project.circuit, chosen, project.usual_results)


def sheet(asked: Json) -> Json:
    """Draw a step of a text, or one sheet of it where it is large."""
    project = project_of(asked)
    if not project.understood:
        return {"svg": ""}
    found = _point(project, asked["step"])
    return draw_sheet(
        project.circuit, found, bool(asked["positions"]), bool(asked["colours"]),
        int(asked["sheet"]), _drawn,
    )  # fmt: skip


def why(asked: Json) -> Json:
    """Say why a result is what it is."""
    project = project_of(asked)
    try:
        found = project.why(asked["result"], _point(project, asked["step"]).step.name)
    except CircuitError as problem:
        return {"refused": problem.findings[0].message}
    sheet_of_words = Sheet()
    why_text.write_why(sheet_of_words, found, project.circuit.units)
    return {"text": sheet_of_words.text(), "verdict": why_text.sentence(found.verdict)}


def curve(asked: Json) -> Json:
    """Draw a curve, and give its figures."""
    project = project_of(asked)
    what, _, name = asked["curve"].partition(" ")
    try:
        found = project.curves(what, name)
        units = project.circuit.units
        table = as_csv(found, units)
        drawn = picture(found, units, "svg").decode()
    except (NoCurveError, NoDutyError, NoPlotsError, CircuitError) as problem:
        return {"refused": str(problem)}
    return {"svg": drawn, "table": table}


JOBS: dict[str, Callable[[Json], Any]] = {
    "look": look, "point": point, "trial": trial, "sheet": sheet, "why": why, "curve": curve,
}  # fmt: skip
