"""A sentence that the grammar cannot read, and where reading stopped."""

from __future__ import annotations

import re
from dataclasses import dataclass

from circuitcheck.basics.findings import Finding
from circuitcheck.language.faults import Instead, fault
from circuitcheck.language.sentences import Lines, RawSentence


@dataclass(frozen=True)
class Broken:
    """A sentence, the place in it where reading stopped, what could have stood there."""

    raw: RawSentence
    chapter: str
    at: int
    expected: frozenset[str]
    lines: Lines

    @property
    def text(self) -> str:
        return self.raw.text

    @property
    def words(self) -> list[str]:
        return self.text.split()

    def find(
        self, slug: str, start: int, end: int, message: str, remedy: str | Instead = ""
    ) -> Finding:
        """Make a finding about the characters from ``start`` to ``end`` of the sentence."""
        offset = self.raw.start
        place = self.lines.place(offset + start, offset + end)
        return fault(slug, place, message, remedy)


def outside_quotes(text: str) -> str:
    """Blank what stands in quotes, so that places stay."""
    return re.sub(r'"[^"\n]*"', lambda match: " " * len(match.group()), text)
