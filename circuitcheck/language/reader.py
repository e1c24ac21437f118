"""Reads a circuit text chapter by chapter and goes on after what it cannot read."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Any

from circuitcheck.basics.findings import Finding
from circuitcheck.basics.places import Place
from circuitcheck.language.bounds import beyond
from circuitcheck.language.chapters import ALONE, FORMS, begins_anew, first_word, names_a_line
from circuitcheck.language.faults import Instead, fault
from circuitcheck.language.headings import meant_heading
from circuitcheck.language.marks import deceiving
from circuitcheck.language.parse import parse
from circuitcheck.language.repeats import Repeats
from circuitcheck.language.sentences import Lines, RawSentence, cut, plain_newlines
from circuitcheck.language.text import Block, Chapter, Clause, Line, Sentence, Text, Variant, Word

MOST_MISTAKES = 20


def read(text: str, file: str = "") -> tuple[Text, list[Finding]]:
    """Read a circuit text into chapters and sentences with places.

    Returns
    -------
    Text
        What could be read; ``complete`` is false if anything could not.
    list of Finding
        One for each sentence that could not be read. After `MOST_MISTAKES` reading stops
        and one more finding says so. A text that is too long, or holds marks that
        deceive, is not read at all.
    """
    source = plain_newlines(text)
    long = beyond(source, file)
    if long is not None:
        return Text(file, long[1], names_lost=True, complete=False), [long[0]]
    lines = Lines(file, source)
    wrong = deceiving(lines)
    if wrong:
        return Text(file, source, names_lost=True, complete=False), wrong
    reader = _Reader(lines)
    reader.read()
    return reader.result(), reader.findings


@dataclass
class _OpenChapter:
    """A chapter that is being read; without a heading above it ``word`` is empty."""

    word: str
    about: tuple[Clause, ...]
    raw: RawSentence
    sentences: list[Sentence | Line] = field(default_factory=list)
    indented: bool = False


@dataclass
class _OpenBlock:
    """A block, or a variant, that is being read; ``kind`` says which."""

    kind: str
    name: Word
    about: tuple[Clause, ...]
    raw: RawSentence
    ports: list[Word] = field(default_factory=list)
    chapters: list[Chapter] = field(default_factory=list)


class _Reader:
    def __init__(self, lines: Lines) -> None:
        self.lines = lines
        self.repeats = Repeats(lines)
        self.findings: list[Finding] = []
        self.chapters: list[Chapter] = []
        self.blocks: list[Block] = []
        self.variants: list[Variant] = []
        self.unread: set[str] = set()
        self.chapter: _OpenChapter | None = None
        self.block: _OpenBlock | None = None
        self.names_lost = False
        self.lost = False
        """Under a heading that is not known: what stands there cannot be judged."""

    def result(self) -> Text:
        return Text(
            self.lines.file,
            self.lines.source,
            tuple(self.chapters),
            tuple(self.blocks),
            tuple(self.variants),
            frozenset(self.unread),
            self.names_lost,
            not self.findings,
        )

    def read(self) -> None:
        carried: RawSentence | None = None
        for raw in cut(self.lines.source, self._begins_anew):
            if carried is not None:
                self._looks_like_next(raw)
            if len(self.findings) >= MOST_MISTAKES:
                self._find(
                    "many-mistakes",
                    self._first_line(raw),
                    f"after {MOST_MISTAKES} mistakes reading stops here",
                    "put the mistakes above right first",
                )
                return
            carried = raw if raw.extra_comma else None
            sentence = _without_last_comma(raw)
            if sentence.text:
                self._sentence(sentence)
        if carried is not None:
            end = len(carried.text)
            self._find(
                "comma-at-end",
                self._place(carried, end - 1, end),
                "nothing follows this comma",
                "take it away, or write the rest of the sentence on the next line",
            )
        self._close_chapter()
        if self.block is not None:
            self._find(
                "block-not-closed",
                self._first_line(self.block.raw),
                f"this {self.block.kind} is not closed",
                f"put 'end {self.block.kind}' on a line of its own after its last sentence",
            )
            self._close_block(len(self.lines.source))

    # ---- sentences -------------------------------------------------------------------

    def _begins_anew(self, line: str) -> bool:
        return begins_anew(line, self.chapter.word if self.chapter else "")

    def _looks_like_next(self, raw: RawSentence) -> None:
        words = raw.text.split()
        word = first_word(raw.text)
        if word in FORMS:
            said, noun = word, "chapter"
        else:
            said = " ".join(words[:2]).rstrip(",:")
            noun = FORMS[self.chapter.word].noun if self.chapter else "sentence"
        self._find(
            "comma-at-end",
            self._place(raw, 0, len(words[0].rstrip(":,"))),
            f"'{said}' looks like the next {noun}",
            "take away the comma at the end of the line above",
        )

    def _sentence(self, raw: RawSentence) -> None:
        word = first_word(raw.text)
        chapter = self.chapter
        is_line = chapter is not None and names_a_line(raw.text, chapter.word)
        if word in FORMS and not is_line and (word != "ports" or self.block is not None):
            self._heading(raw, word)
            return
        stands_out = raw.column == 1 and (chapter is None or chapter.indented)
        meant = meant_heading(raw, stands_out or self.lost)
        if meant is not None:
            right, message, remedy = meant
            place = self._place(raw, 0, len(word))
            slug = "capital-heading" if word.lower() == right else "unknown-heading"
            self._find(slug, place, message, remedy)
            self._close_chapter()
            self.lost = not right or not FORMS[right].rule
            if not self.lost:
                self.chapter = _OpenChapter(right, (), raw)
        elif self.lost:
            self._forget(raw)
        elif chapter is None or not FORMS[chapter.word].rule:
            self._find(
                "no-chapter",
                self._first_line(raw),
                "this stands under no heading",
                "put one above it: values, defaults, parts, lines, cycle, claims, readings",
            )
            self._forget(raw)
        else:
            read = self._read(raw, FORMS[chapter.word].rule, chapter.word)
            if read is not None:
                chapter.sentences.append(read)
            chapter.indented = raw.column > 1

    def _read(self, raw: RawSentence, rule: str, chapter: str) -> Sentence | Line | None:
        """Give a sentence; one like those above it is not read by the grammar again."""
        pieces = self.repeats.pieces(raw, rule)
        known = self.repeats.recall(raw, pieces)
        if known is not None:
            return known
        read: Sentence | Line | None = self._parse(raw, rule, chapter)
        if read is not None:
            self.repeats.learn(pieces, read)
        return read

    def _parse(self, raw: RawSentence, rule: str, chapter: str) -> Any:
        read, findings = parse(raw, rule, chapter, self.lines)
        if findings:
            self.findings += findings
            self._forget(raw)
        return read

    def _forget(self, raw: RawSentence) -> None:
        """Remember the first words of a sentence that is lost: they may be names."""
        words = [word.strip(',:;"') for word in raw.text.split()[:2]]
        self.unread.update(words)
        if not first_word(raw.text):
            self.names_lost = True

    # ---- headings --------------------------------------------------------------------

    def _heading(self, raw: RawSentence, word: str) -> None:
        about = self._parse(raw, "heading", word) or ()
        if about and word in ALONE:
            self._find(
                "heading-not-alone",
                about[0].place,
                f"the heading '{word}' stands alone on its line",
                "put what follows on the next line",
            )
        if word == "end":
            self._end_block(raw)
        elif word == "ports":
            self._block_ports(about)
        elif word in ("block", "variant"):
            self._begin_block(raw, about, word)
        else:
            self._close_chapter()
            self.lost = False
            self.chapter = _OpenChapter(word, about, raw)

    def _close_chapter(self) -> None:
        if self.chapter is None:
            return
        chapter = Chapter(
            self.chapter.word,
            self.chapter.about,
            tuple(self.chapter.sentences),
            " ".join(self.chapter.raw.text.split()),
            self._whole(self.chapter.raw),
        )
        (self.chapters if self.block is None else self.block.chapters).append(chapter)
        self.chapter = None

    # ---- blocks ----------------------------------------------------------------------

    def _begin_block(self, raw: RawSentence, about: tuple[Clause, ...], kind: str) -> None:
        self._close_chapter()
        self.lost = False
        if self.block is not None:
            self._find(
                "block-not-closed",
                self._place(raw, 0, len(kind)),
                f"the {self.block.kind} {self.block.name.text} is not closed yet",
                f"put 'end {self.block.kind}' above this line; a {self.block.kind} cannot hold "
                f"{'another one' if kind == self.block.kind else f'a {kind}'}",
            )
            self._close_block(raw.start)
        name = about[0].items[0] if about else None
        if not isinstance(name, Word):
            self._find(
                "block-without-name",
                self._place(raw, 0, len(kind)),
                f"a {kind} needs a name",
                f"for example:  {FORMS[kind].example}",
            )
            self.names_lost = True
            name = Word("", self._whole(raw))
        self.block = _OpenBlock(kind, name, about, raw)

    def _block_ports(self, about: tuple[Clause, ...]) -> None:
        self._close_chapter()
        if self.block is not None:
            items = [item for clause in about for item in clause.items]
            self.block.ports += [item for item in items if isinstance(item, Word)]

    def _end_block(self, raw: RawSentence) -> None:
        self._close_chapter()
        if self.block is None:
            self._find(
                "end-without-block",
                self._first_line(raw),
                f"there is no {'variant' if 'variant' in raw.text else 'block'} to end here",
                "take this line away",
            )
        else:
            self._close_block(raw.start + len(raw.text))

    def _close_block(self, end: int) -> None:
        if self.block is None:
            return
        block, self.block = self.block, None
        text = self.lines.source[block.raw.start : end]
        ports, chapters = tuple(block.ports), tuple(block.chapters)
        place = self._whole(block.raw)
        if block.kind == "variant":
            self.variants.append(Variant(block.name, block.about, chapters, text, place))
            return
        self.blocks.append(Block(block.name, block.about[1:], ports, chapters, text, place))

    # ---- findings --------------------------------------------------------------------

    def _place(self, raw: RawSentence, start: int, end: int) -> Place:
        return self.lines.place(raw.start + start, raw.start + end)

    def _whole(self, raw: RawSentence) -> Place:
        return self._place(raw, 0, len(raw.text))

    def _first_line(self, raw: RawSentence) -> Place:
        return self._place(raw, 0, len(raw.text.split("\n")[0].rstrip()))

    def _find(self, slug: str, place: Place, message: str, remedy: str | Instead) -> None:
        self.findings.append(fault(slug, place, message, remedy))


def _without_last_comma(raw: RawSentence) -> RawSentence:
    """Drop a comma that carries nothing on; it is reported, the rest can be read."""
    return replace(raw, text=raw.text.rstrip(", \t\n")) if raw.extra_comma else raw
