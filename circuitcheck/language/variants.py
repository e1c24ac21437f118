"""Variants: the text of a circuit with the sentences that a variant has instead.

    variant meter_out "metered behind the cylinder", without R2
    lines
      push from V1 A to C1 cap
      pull from C1 rod through FC1 to V1 B
    end variant

A sentence takes the place of the one that bears its name: of a part, a line, a step, a value,
of every pump. Others are added. What ``without`` names goes, with its ends of lines and what
steps say of it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from circuitcheck.basics.findings import Finding
from circuitcheck.language.faults import fault
from circuitcheck.language.text import Chapter, Clause, Line, LineEnd, Quote, Sentence, Text, Word
from circuitcheck.language.text import Variant as _Variant

CHAPTERS = ("oil", "values", "defaults", "parts", "lines", "cycle")
"""Chapters that a variant may have; the others speak of the circuit as it was issued."""

KEPT = ("circuit", "oil", "units", "use", "values", "defaults", "parts", "lines", "cycle", "limits")
"""Chapters of the circuit that hold in a variant: no claims, readings, variations or drawing."""

FORM = 'write:  variant NAME "what it is", without R2 and V3'

Row = Sentence | Line


def variant_names(text: Text) -> dict[str, str]:
    """Give the names of the variants of a text with their titles, which may be empty."""
    return {variant.name.text: _title(variant) for variant in text.variants}


def with_variant(text: Text, name: str) -> tuple[Text, list[Finding]]:
    """Give the text of a variant, and what is wrong with the variant itself.

    Raises ``KeyError`` where there is no variant of that name.
    """
    found = [variant for variant in text.variants if variant.name.text == name]
    if not found:
        raise KeyError(name)
    variant = found[0]
    findings = list(_wrong(variant, text))
    if len(found) > 1:
        message = f"there is already a variant {name} (line {variant.place.line})"
        findings.append(fault("name-twice", found[1].name.place, message, "give it another name"))
    chapters = [chapter for chapter in text.chapters if chapter.word in KEPT]
    for own in variant.chapters:
        chapters = _changed(chapters, own)
    gone = {word.text for word in _without(variant)}
    while True:
        chapters, lost = _thinned(chapters, gone)
        if lost <= gone:
            break
        gone |= lost
    title = _titled(chapters, variant)
    complete = text.complete and not findings
    return replace(text, chapters=tuple(title), variants=(), complete=complete), findings


# ---- the heading ----------------------------------------------------------------------------


def _title(variant: _Variant) -> str:
    items = variant.about[0].items[1:] if variant.about else ()
    return next((item.text for item in items if isinstance(item, Quote)), "")


def _without(variant: _Variant) -> Iterator[Word]:
    for clause in variant.about[1:]:
        words = [item for item in clause.items if isinstance(item, Word)]
        if words and words[0].text == "without":
            yield from (word for word in words[1:] if word.text != "and")


def _wrong(variant: _Variant, text: Text) -> Iterator[Finding]:
    """Say what is wrong with a variant, apart from what its sentences mean."""
    first = variant.about[0].items if variant.about else ()
    if len(first) > 2 or (len(first) == 2 and not isinstance(first[1], Quote)):
        message = f"'{variant.about[0].text}' is not a name and a title"
        yield fault("heading", variant.about[0].place, message, FORM)
    for clause in variant.about[1:]:
        if clause.words()[:1] != ["without"] or len(clause.words()) < len(clause.items):
            message = f"'{clause.text}' does not belong behind the heading variant"
            yield fault("heading", clause.place, message, FORM)
    known = {name for chapter in text.chapters for row in chapter.sentences for name in _names(row)}
    for word in _without(variant):
        if word.text not in known:
            message = f"there is no part or line {word.text} to be taken away"
            yield fault("unknown-part", word.place, message, "name a part or a line of the circuit")
    for chapter in variant.chapters:
        if chapter.word not in CHAPTERS:
            message = f"a variant has no chapter '{chapter.word}'"
            yield fault("variant-chapter", chapter.place, message, f"it has: {', '.join(CHAPTERS)}")


def _titled(chapters: list[Chapter], variant: _Variant) -> list[Chapter]:
    """Give the chapters with the title of the variant behind that of the circuit."""
    words = _title(variant) or variant.name.text
    found = []
    for chapter in chapters:
        about = chapter.about
        if chapter.word == "circuit" and about and isinstance(about[0].items[0], Quote):
            title = about[0].items[0]
            named = replace(title, text=f"{title.text}: {words}")
            first = replace(about[0], items=(named, *about[0].items[1:]))
            chapter = replace(chapter, about=(first, *about[1:]))
        found.append(chapter)
    return found


# ---- sentences that take the place of others ------------------------------------------------


def _changed(chapters: list[Chapter], own: Chapter) -> list[Chapter]:
    """Put the sentences of a variant's chapter into the circuit's chapters of that heading."""
    if own.word == "oil":
        return [*(chapter for chapter in chapters if chapter.word != "oil"), own]
    new = {name for row in own.sentences for name in _names(row)}
    placed: set[int] = set()
    found = []
    for chapter in chapters:
        if chapter.word != own.word:
            found.append(chapter)
            continue
        rows: list[Row] = []
        for row in chapter.sentences:
            taken = new & set(_names(row))
            for number, other in enumerate(own.sentences):
                if number not in placed and taken & set(_names(other)):
                    rows.append(other)
                    placed.add(number)
            left = _left(row, taken)
            rows += [] if left is None else [left]
        found.append(replace(chapter, sentences=tuple(rows)))
    rest = tuple(row for number, row in enumerate(own.sentences) if number not in placed)
    return [*found, replace(own, sentences=rest)] if rest else found


def _names(row: Row) -> list[str]:
    """Give the names that a sentence gives: of parts, a line, a step, a value, a kind."""
    if isinstance(row, Line):
        return [] if row.name is None else [row.name.text]
    if row.word == "every":
        return [f"every {row.clauses[0].text}"]
    return [name.text for name in row.names]


def _left(row: Row, gone: set[str]) -> Row | None:
    """Give what is left of a sentence without some of its names; None if nothing is."""
    if not gone:
        return row
    if isinstance(row, Sentence) and row.word == "part":
        names = tuple(name for name in row.names if name.text not in gone)
        return replace(row, names=names) if names else None
    return None


# ---- what is taken away -----------------------------------------------------------------------


def _thinned(chapters: list[Chapter], gone: set[str]) -> tuple[list[Chapter], set[str]]:
    """Take names out of parts, lines and steps; give also names of lines that go with them."""
    found, lost = [], set()
    for chapter in chapters:
        rows: list[Row] = []
        for row in chapter.sentences:
            left = _without_names(chapter.word, row, gone)
            if left is not None:
                rows.append(left)
            elif isinstance(row, Line):
                lost |= set(_names(row))
        found.append(replace(chapter, sentences=tuple(rows)))
    return found, lost


def _without_names(chapter: str, row: Row, gone: set[str]) -> Row | None:
    if isinstance(row, Line):
        return _line_without(row, gone)
    if chapter == "parts":
        return _left(row, gone & set(_names(row)))
    if chapter == "cycle":
        clauses = tuple(clause for clause in row.clauses if not _speaks_of(clause, gone))
        return replace(row, clauses=clauses)
    return row


def _line_without(row: Line, gone: set[str]) -> Line | None:
    if row.name is not None and row.name.text in gone:
        return None
    starts, through, stops = (
        tuple(_ends(ends, gone)) for ends in (row.starts, row.through, row.stops)
    )
    if not starts or not stops:
        return None
    return replace(row, starts=starts, through=through, stops=stops)


def _ends(ends: Iterable[LineEnd], gone: set[str]) -> Iterator[LineEnd]:
    return (end for end in ends if end.name.text not in gone)


def _speaks_of(clause: Clause, gone: set[str]) -> bool:
    first = clause.items[0]
    return isinstance(first, Word) and first.text in gone
