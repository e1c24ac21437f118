"""What an input goes through, and what must hold of the answer.

``read``: bytes to findings. ``solve``: operating points and rules as well. ``whole``: every
form of the answer too: drawing, text, JSON, page, lists.
"""

from __future__ import annotations

import csv
import io
import json
import math
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

from circuitcheck import reports
from circuitcheck.basics.carets import render
from circuitcheck.basics.findings import Severity
from circuitcheck.basics.refusal import CircuitError
from circuitcheck.language.files import read_file
from circuitcheck.pipeline import Project, parse
from circuitcheck.reports.terminal import Sheet
from circuitcheck.schematic import NotDrawable
from circuitcheck.studies.cycle import NoDutyError

LEVELS = ("read", "solve", "whole")


def _no_clock() -> None:
    """Where nobody measures."""


def go(
    data: bytes, level: str, beside: Path | None = None, begins: Callable[[], None] = _no_clock
) -> str:
    """Take an input through to a level; give the last one it came to.

    ``beside`` is a file to write the bytes to and read them from; without it they are
    decoded here. ``begins`` is called before every stage: reading, operating points, rules,
    drawing, lists, duty cycle, page. Raises `AssertionError` where the answer is not as it must be.
    """
    begins()
    project = _opened(data, beside)
    _findings(project)
    if level == "read" or not project.understood:
        if level == "whole":
            _forms(project, begins)
        return "read"
    begins()
    solution = project.solve()
    begins()
    result = project.check()
    assert all(finding.message for finding in result.findings)
    for point in solution:
        if point.success:
            _sound(point)
    if level == "whole":
        begins()
        _drawn(project)
        _forms(project, begins)
    return level


def _opened(data: bytes, beside: Path | None) -> Project:
    if beside is not None:
        beside.write_bytes(data)
        return Project(*read_file(beside))
    return parse(data.decode("utf-8", "replace"), "input.hyc")


def _findings(project: Project) -> None:
    """Every mistake has words, a place inside its text, and can be shown."""
    for finding in project.mistakes:
        known = project.texts.get(finding.place.file, project.text)
        assert finding.message, finding
        assert len(finding.message) < 2000, finding
        if finding.place.line and known:
            assert finding.place.line <= known.count("\n") + 1, finding
        assert render(finding, known)
    wrong = any(finding.severity is Severity.ERROR for finding in project.mistakes)
    assert project.understood != wrong


def _sound(point: Any) -> None:
    """A solved step has no endless figures; what is not known is None or NaN, and told."""
    for part in point.parts.values():
        for port in part.ports.values():
            assert not math.isinf(port.pressure)
            assert not math.isinf(port.flow)


def _drawn(project: Project) -> None:
    steps = [point.step.name for point in project.solve()]
    for step in ("", *steps[:1]):
        with suppress(NotDrawable):  # said in words, no fault
            ElementTree.fromstring(project.draw(step))


def _forms(project: Project, begins: Callable[[], None]) -> None:
    begins()
    result = project.check()
    for write in (reports.write_check, reports.write_solve, reports.write_report):
        sheet = Sheet()
        write(sheet, result)
        assert sheet.text().strip()
    json.loads(reports.as_json(result), parse_constant=_no_constant)
    json.loads(reports.as_listed([result], "sarif"), parse_constant=_no_constant)
    ElementTree.fromstring(reports.as_listed([result], "junit"))
    list(csv.reader(io.StringIO(reports.as_listed([result], "csv"))))
    assert reports.as_listed([result], "markdown")
    begins()
    with suppress(NoDutyError, CircuitError):  # said in words, no fault
        project.duty()
    begins()
    page = project.report("html")
    assert "<script>alert" not in page


def _no_constant(name: str) -> float:
    raise AssertionError(f"{name} is no JSON")
