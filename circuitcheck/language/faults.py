"""Makes the findings about a text; keeps what they quote from it to a readable length."""

from __future__ import annotations

import re

from circuitcheck.basics.findings import Finding, Note, Severity
from circuitcheck.basics.places import Place

_LONGEST_WORD, _LONGEST_MESSAGE, _LONGEST_REMEDY = 60, 240, 1200


def fault(
    slug: str,
    place: Place,
    message: str,
    remedy: str = "",
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
        _shortened(remedy, _LONGEST_REMEDY),
        component=component,
        notes=notes,
    )


def _shortened(text: str, longest: int) -> str:
    if len(text) <= _LONGEST_WORD:
        return text
    text = text if len(text) <= longest else f"{text[:longest]} ..."
    return re.sub(rf"\S{{{_LONGEST_WORD},}}", lambda word: f"{word.group()[:40]}...", text)
