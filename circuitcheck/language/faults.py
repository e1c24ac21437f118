"""Makes the findings about a text; keeps what they quote from it to a readable length."""

from __future__ import annotations

import re
from dataclasses import dataclass

from circuitcheck.basics.findings import Finding, Note, Severity
from circuitcheck.basics.places import Place

_LONGEST_WORD, _LONGEST_MESSAGE, _LONGEST_REMEDY = 60, 240, 1200


@dataclass(frozen=True)
class Instead:
    """A remedy that can be carried out: its words, and what to write at the finding's place."""

    words: str
    write: str

    def __str__(self) -> str:
        return self.words


def meant(word: str, mark: str = "'") -> Instead:
    """Ask whether a word was meant, which then takes the place of what stands there."""
    return Instead(f"did you mean {mark}{word}{mark}?", word)


def fault(
    slug: str,
    place: Place,
    message: str,
    remedy: str | Instead = "",
    component: str = "",
    notes: tuple[Note, ...] = (),
    severity: Severity = Severity.ERROR,
) -> Finding:
    """Make a finding, by default an error."""
    return Finding(
        slug,
        severity,
        _shortened(message, _LONGEST_MESSAGE),
        place,
        _shortened(str(remedy), _LONGEST_REMEDY),
        component=component,
        notes=notes,
        instead=remedy.write if isinstance(remedy, Instead) else None,
    )


def _shortened(text: str, longest: int) -> str:
    if len(text) <= _LONGEST_WORD:
        return text
    text = text if len(text) <= longest else f"{text[:longest]} ..."
    return re.sub(rf"\S{{{_LONGEST_WORD},}}", lambda word: f"{word.group()[:40]}...", text)
