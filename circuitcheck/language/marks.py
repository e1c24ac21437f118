"""Marks that deceive the eye: those that cannot be seen, and letters that look like others.

A reviewer signs what he sees. A mark that turns the direction of writing round shows a text
in another order than it is read in; a Cyrillic letter makes another name of P1.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator

from circuitcheck.basics.findings import Finding
from circuitcheck.language.faults import fault
from circuitcheck.language.sentences import Lines

MOST_TOLD = 20

_HIDDEN = re.compile(
    "[\0-\x08\x0b-\x1f\x7f-\x9f\xad\u061c\u180e\u200b\u200e\u200f\u2028-\u202e\u2060-\u206f"
    "\ud800-\udfff\ufeff\ufff9-\ufffb\ufffe\uffff\U000e0000-\U000e007f]"
)
"""Control characters, marks of direction (Unicode Standard Annex 9), marks without width,
halves of characters. Joiners between letters (U+200C, U+200D) belong to several alphabets."""

_LIKE = dict(
    zip(
        "АВЕКМНОРСТУХІЈЅаеорсухіјѕһԁԛԝΑΒΕΖΗΙΚΜΝΟΡΤΥΧον",
        "ABEKMHOPCTYXIJSaeopcyxijshdqwABEZHIKMNOPTYXov",
        strict=True,
    )
)
"""Cyrillic and Greek letters that look like Latin ones: a choice from the table of
confusables of Unicode Technical Standard 39, from memory."""

_PORTS = frozenset("PTABLXYSM")
"""Letters of ports (ISO 9461, from memory): where one stands alone, the Latin one is meant."""

_ASIDE = re.compile(r'"[^"\n]*"|#[^\n]*')
_WORD = re.compile(r"\w+")


def deceiving(lines: Lines) -> list[Finding]:
    """Say which marks of a text cannot be seen; where all can, which look like others."""
    if lines.source.isascii() and not _HIDDEN.search(lines.source):
        return []
    found = _hidden(lines)
    return found or _look_alikes(lines)


def _hidden(lines: Lines) -> list[Finding]:
    found: list[Finding] = []
    for match in _HIDDEN.finditer(lines.source):
        if len(found) == MOST_TOLD:
            break
        mark = match.group()
        name = unicodedata.name(mark, "control character").lower()
        found.append(
            fault(
                "hidden-mark",
                lines.place(*match.span()),
                f"a mark that cannot be seen: {name} (U+{ord(mark):04X})",
                "delete it; a circuit file holds plain text only",
            )
        )
    return found


def _look_alikes(lines: Lines) -> list[Finding]:
    """Words that are, or begin to be, another word than they seem; texts in quotes are free."""
    source = _ASIDE.sub(lambda aside: " " * len(aside.group()), lines.source)
    words = list(_WORD.finditer(source))
    plain = {word.group() for word in words if word.group().isascii()} | _PORTS
    found: list[Finding] = []
    for word in words:
        meant = _meant(word.group(), plain)
        if meant is None or len(found) == MOST_TOLD:
            continue
        other = next(a for a, b in zip(word.group(), meant, strict=True) if a != b)
        name = unicodedata.name(other).lower()
        found.append(
            fault(
                "look-alike",
                lines.place(*word.span()),
                f"'{word.group()}' looks like '{meant}' but holds another mark: {name}",
                f"write it with the plain letters and figures of the keyboard: {meant}",
            )
        )
    return found


def _meant(word: str, plain: set[str]) -> str | None:
    """Give the word that this one seems to be; None where it is an honest one."""
    if word.isascii():
        return None
    seen = "".join(_as_seen(word))
    if seen == word:
        return None
    runs = re.findall(r"[^\W_]+", word)
    mixed = any(
        any(c in _LIKE for c in run) and any(c.isascii() and c.isalpha() for c in run)
        for run in runs
    )
    wide = any(c not in _LIKE and c != s for c, s in zip(word, seen, strict=True))
    return seen if mixed or wide or (seen.isascii() and seen in plain) else None


def _as_seen(word: str) -> Iterator[str]:
    for letter in word:
        plain = unicodedata.normalize("NFKC", letter)
        wide = unicodedata.category(letter) in ("Lu", "Ll", "Nd")  # raised figures are units
        simple = plain if wide and len(plain) == 1 and plain.isascii() else letter
        yield _LIKE.get(letter, simple)
