"""The sheet of symbols shows every word of the language once, with the origin of its form."""

from __future__ import annotations

import xml.etree.ElementTree as ET

from circuitcheck.schematic import symbol_sheet
from circuitcheck.schematic.symbol_sheet import MARKS, shown_symbols
from circuitcheck.symbols import all_symbols

SVG = "{http://www.w3.org/2000/svg}"


def test_every_word_is_shown() -> None:
    assert {word for shown in shown_symbols() for word in shown.words} == set(all_symbols())


def test_every_symbol_has_its_mark_and_the_legend_explains_it() -> None:
    texts = [t.text or "" for t in ET.fromstring(symbol_sheet()).iter(f"{SVG}text")]
    legend = next(t for t in texts if t.startswith("Origin"))
    for shown in shown_symbols():
        assert shown.mark in MARKS
        assert shown.lines[-1] in texts
        assert f"[{shown.mark}]" in legend


def test_a_form_is_no_better_founded_than_its_weakest_element() -> None:
    marks = {shown.lines[0]: shown.mark for shown in shown_symbols()}
    assert marks["check"] == "m"
    assert marks["pump, fixed"] == "m?"  # the triangle is doubtful


def test_symbols_of_the_sheet_do_not_overlap() -> None:
    root = ET.fromstring(symbol_sheet())
    groups = [g for g in root.iter(f"{SVG}g") if (g.get("id") or "").startswith("symbol-")]
    assert len(groups) == len(shown_symbols())
    boxes = []
    for group in groups:
        points = [
            tuple(map(float, p.split(",")))
            for e in group.iter()
            for p in (e.get("points") or "").split()
        ]
        if points:
            xs, ys = [p[0] for p in points], [p[1] for p in points]
            boxes.append((min(xs), min(ys), max(xs), max(ys)))
    for k, a in enumerate(boxes):
        for b in boxes[k + 1 :]:
            assert min(a[2], b[2]) < max(a[0], b[0]) or min(a[3], b[3]) < max(a[1], b[1])
