"""Each mistake of the tables in `mistakes/`, made once, gives exactly this message.

A table holds entries: a title, the lines of the text that are changed (``-`` as it was,
``+`` as it is), and the message word for word. ``== title (bank)`` begins from bank.hyc.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import NamedTuple

import pytest

from circuitcheck.basics.carets import render
from circuitcheck.circuit import build
from circuitcheck.language import read

HERE = Path(__file__).parent / "mistakes"


class Mistake(NamedTuple):
    title: str
    text: str
    file: str
    message: str


def mistakes() -> list[Mistake]:
    found = []
    for table in sorted(HERE.glob("*.txt")):
        for entry in re.split(r"^== ", table.read_text(encoding="utf-8"), flags=re.M)[1:]:
            found.append(_mistake(entry.rstrip("\n").split("\n")))
    return found


def _mistake(rows: list[str]) -> Mistake:
    title, base = rows[0], "press"
    if match := re.fullmatch(r"(.*) \((\w+)\)", title):
        title, base = match.groups()
    text = (HERE / f"{base}.hyc").read_text(encoding="utf-8")
    changed = [row for row in rows[1:] if row[:1] in "-+" and row]
    for old, new in _edits(changed):
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    message = "\n".join(row for row in rows[1:] if row[:1] not in ("-", "+"))
    return Mistake(title, text, f"{base}.hyc", message.strip("\n"))


def _edits(rows: list[str]) -> list[tuple[str, str]]:
    """Lines to be taken away and what comes in their place."""
    found: list[tuple[str, str]] = []
    for row in rows:
        line = row[1:] + "\n"
        old, new = found[-1] if found else ("", "")
        if row[0] == "-" and (new or not found):
            found.append((line, ""))
        elif row[0] == "-":
            found[-1] = (old + line, new)
        else:
            found[-1] = (old, new + line)
    return found


def messages(source: str, file: str) -> list[str]:
    text, findings = read(source, file)
    circuit, more = build(text)
    errors = [finding for finding in findings + more if finding.severity.value == "error"]
    assert (circuit is None) == bool(errors)
    return [render(finding, text.source) for finding in errors]


@pytest.mark.parametrize("base", ["press", "bank"])
def test_texts_without_a_mistake_are_silent(base: str) -> None:
    assert messages((HERE / f"{base}.hyc").read_text(encoding="utf-8"), base) == []


@pytest.mark.parametrize("mistake", mistakes(), ids=lambda mistake: mistake.title)
def test_message(mistake: Mistake) -> None:
    assert "\n".join(messages(mistake.text, mistake.file)) == mistake.message
