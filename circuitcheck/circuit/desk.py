"""What all who build a circuit share: the dictionary, the findings, the names kept silent."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from circuitcheck.basics.findings import Finding, Note, Severity
from circuitcheck.basics.places import Place
from circuitcheck.components._parts import Kind
from circuitcheck.language.faults import Instead, fault, meant
from circuitcheck.language.text import Clause, Word

LONGEST_PHRASE = 6
"""No name of the dictionary has more words."""

LONGEST_WORD, MANY_FINDINGS = 40, 60
"""Where looking for what was meant is given up."""


@dataclass
class Desk:
    """Findings so far, and names of which nothing more is said.

    ``silent`` holds names that a wrong sentence may have given: what misses them is no
    mistake of its own.
    """

    kinds: Mapping[str, Kind]
    silent: set[str]
    findings: list[Finding] = field(default_factory=list)

    def error(
        self,
        slug: str,
        place: Place,
        message: str,
        remedy: str | Instead = "",
        component: str = "",
        notes: tuple[Note, ...] = (),
    ) -> None:
        """Add a finding of severity error."""
        self.findings.append(fault(slug, place, message, remedy, component, notes))

    @property
    def errors(self) -> bool:
        """Whether anything found forbids to go on."""
        return any(finding.severity is Severity.ERROR for finding in self.findings)

    def nearest(self, word: str, known: Iterable[str], likeness: float = 0.6) -> str:
        """Give the known word meant by a misspelt one; see `nearest`.

        Not sought for very long words, nor after very many findings: it takes its time.
        """
        if len(word) > LONGEST_WORD or len(self.findings) > MANY_FINDINGS:
            return ""
        return nearest(word, known, likeness)

    def ask(self, word: str, known: Iterable[str], mark: str = "'") -> str | Instead:
        """Give "did you mean ...?" for a misspelt word, empty if nothing is near."""
        near = self.nearest(word, known)
        return meant(near, mark) if near else ""

    def warn(
        self, slug: str, place: Place, message: str, remedy: str | Instead, component: str
    ) -> None:
        """Add a finding of severity warning."""
        self.findings.append(
            fault(slug, place, message, remedy, component, severity=Severity.WARNING)
        )


def nearest(word: str, known: Iterable[str], likeness: float = 0.6) -> str:
    """Give the known word meant by a misspelt one, empty if none is near.

    Near is a spelling of at least ``likeness`` (0 to 1, as difflib counts it), else the
    same letters with another number (C2 for C1).
    """
    words = list(known)
    lower = {name.lower(): name for name in reversed(words)}
    near = difflib.get_close_matches(word.lower(), list(lower), 1, likeness)
    if near:
        return lower[near[0]]
    letters = re.sub(r"[0-9]+$", "", word)
    same = [name for name in words if re.sub(r"[0-9]+$", "", name) == letters]
    return same[0] if same else ""


def beginnings(words: list[str]) -> Iterator[tuple[int, str]]:
    """Give the first few words as a phrase, the longest phrase first, with its count."""
    for count in range(min(len(words), LONGEST_PHRASE), 0, -1):
        yield count, " ".join(words[:count])


def article(noun: str) -> str:
    """Give a noun with its article: a pump, an orifice."""
    return f"{'an' if noun[:1].lower() in 'aeiou' else 'a'} {noun}"


def any_of(words: Iterable[str]) -> str:
    """Give words as a list that offers a choice: mm/s, m/min or in/s."""
    *first, last = words
    return f"{', '.join(first)} or {last}" if first else last


def spread(clause: Clause, first: int, last: int) -> Place:
    """Give the place from item ``first`` to item ``last`` of a clause."""
    return clause.items[first].place.upto(clause.items[last].place)


def spread_words(words: list[Word]) -> Place:
    """Give the place from the first to the last of some words."""
    return words[0].place.upto(words[-1].place)
