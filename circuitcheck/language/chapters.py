"""The chapters of a circuit text: their headings, and which rule reads their sentences."""

from __future__ import annotations

import re
from dataclasses import dataclass


@dataclass(frozen=True)
class ChapterForm:
    """What a chapter looks like.

    ``rule`` is the grammar's rule for its sentences, empty for a chapter of one line;
    ``about``: something may follow the heading; ``noun`` and ``example`` are for messages.
    """

    rule: str
    about: bool
    noun: str
    example: str


FORMS: dict[str, ChapterForm] = {
    "circuit": ChapterForm("", True, "title", 'circuit "Pallet lifter", issue B'),
    "oil": ChapterForm("", True, "oil", "oil ISO VG 46, at 50 degC"),
    "units": ChapterForm("", True, "list of units", "units bar, L/min, kN"),
    "use": ChapterForm("", True, "use", 'use "file.hyc"'),
    "block": ChapterForm("", True, "block", "block section, flow ? L/min"),
    "variant": ChapterForm("", True, "variant", 'variant meter_out "metered behind", without V3'),
    "ports": ChapterForm("", True, "list of ports", "ports P, T, A, B"),
    "end": ChapterForm("", True, "end of a block or variant", "end block"),
    "values": ChapterForm("value", False, "value", "rope_pull 30 kN"),
    "defaults": ChapterForm("every", False, "default", "every pump, volumetric 92 %"),
    "parts": ChapterForm("part", False, "part", "P1  pump, fixed, 16 cc/rev, driven by E1"),
    "lines": ChapterForm("line", False, "line", "push  from V1 A to C1 cap, hose 1/2 in, 2 m"),
    "cycle": ChapterForm("step", True, "step", "step press, V1 at a, C1 load 150 kN"),
    "claims": ChapterForm("claim", True, "claim", "C1 speed 45 mm/s, in press"),
    "readings": ChapterForm("claim", True, "reading", "G1 205 bar, in press"),
    "variations": ChapterForm("trial", True, "variation", "vary R1 set 160 bar or 200 bar"),
    "tolerances": ChapterForm("claim", False, "tolerance", "R1 set, within 3 %"),
    "accepted": ChapterForm("accept", False, "sentence", 'RULE on PART, because "..."'),
    "limits": ChapterForm("claim", False, "limit", "relief-gap-small gap 20 bar"),
    "drawing": ChapterForm("hint", True, "hint", "C1 above V1"),
}

ALONE = frozenset(word for word, form in FORMS.items() if not form.about)
"""Headings behind which nothing may stand."""

ENDS = (("end", "block"), ("end", "variant"))
"""Headings that end what holds chapters of its own."""

_FIRST_WORD = re.compile(r"[^\W\d_][\w-]*")
_LINE_START = re.compile(r"(?:\S+[ \t]+)?from[ \t]")
_ANEW = {
    "lines": _LINE_START,
    "cycle": re.compile(r"step[ \t]"),
    "variations": re.compile(r"(?:vary|show)[ \t]"),
    "defaults": re.compile(r"every[ \t]"),
}


def names_a_line(text: str, chapter: str) -> bool:
    """Whether a sentence of ``lines`` begins with a name, be it a heading's word: oil from ..."""
    return chapter == "lines" and _LINE_START.match(text) is not None


def first_word(text: str) -> str:
    """Give the word with which a sentence begins, empty if it begins with another mark."""
    match = _FIRST_WORD.match(text)
    return match.group() if match else ""


def begins_anew(line: str, chapter: str) -> bool:
    """Whether a line onto which a comma carries a sentence plainly begins another one."""
    text = line.strip()
    word = first_word(text)
    if word in FORMS:
        rest = text[len(word) :].strip(" \t:")
        if word in ALONE:
            return not rest
        if line.startswith(word) or (word, rest) in ENDS:
            return True
    return bool((pattern := _ANEW.get(chapter)) and pattern.match(text))
