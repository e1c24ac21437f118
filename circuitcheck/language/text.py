"""What a circuit text consists of once read: chapters, sentences, clauses, items."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from circuitcheck.basics.places import NOWHERE, Place
from circuitcheck.basics.quantities import Unit


@dataclass(frozen=True, slots=True)
class Word:
    """A word, a name, an item code or a code of a flange."""

    text: str
    place: Place


@dataclass(frozen=True, slots=True)
class Quote:
    """A text in double quotes, without them."""

    text: str
    place: Place


@dataclass(frozen=True, slots=True)
class Joint:
    """Ports that a spool joins: ``P-A-B``."""

    ports: tuple[str, ...]
    place: Place


@dataclass(frozen=True, slots=True)
class Blank:
    """A figure left open by a block: ``?``, with the unit it wants."""

    unit: Unit | None
    place: Place


@dataclass(frozen=True, slots=True)
class Amount:
    """A figure as written, its unit if it has one.

    ``value`` is the bare number, not yet in SI. ``pair`` holds both numbers of ``4/3``,
    ``4:1`` or ``16 x 2``; ``mark`` is what stands between them.
    """

    text: str
    value: float
    unit: Unit | None
    place: Place
    number_place: Place
    unit_place: Place = NOWHERE
    pair: tuple[float, float] | None = None
    mark: str = ""


@dataclass(frozen=True, slots=True)
class Tolerance:
    """A tolerance behind a plus-minus sign."""

    amount: Amount
    place: Place


@dataclass(frozen=True, slots=True)
class ValueName:
    """A name of the chapter ``values`` inside brackets."""

    text: str
    place: Place


@dataclass(frozen=True, slots=True)
class Negative:
    """A term with its sign turned."""

    term: Term
    place: Place


@dataclass(frozen=True, slots=True)
class Sum:
    """Terms to be added (``+``) or taken away (``-``)."""

    terms: tuple[tuple[str, Term], ...]
    place: Place


@dataclass(frozen=True, slots=True)
class Product:
    """Terms to be multiplied (``*``) or divided by (``/``)."""

    terms: tuple[tuple[str, Term], ...]
    place: Place


Term = ValueName | Amount | Negative | Sum | Product


@dataclass(frozen=True, slots=True)
class Formula:
    """A sum in brackets; ``text`` is what stands between them."""

    root: Term
    text: str
    place: Place


Item = Word | Quote | Joint | Blank | Amount | Tolerance | Formula


@dataclass(frozen=True, slots=True)
class Clause:
    """What stands between two commas."""

    items: tuple[Item, ...]
    text: str
    place: Place

    def words(self) -> list[str]:
        """Give the words with which the clause begins, up to the first figure."""
        found: list[str] = []
        for item in self.items:
            if not isinstance(item, Word):
                break
            found.append(item.text)
        return found


@dataclass(frozen=True, slots=True)
class Sentence:
    """A sentence that begins with names or with a word of its chapter (``vary``)."""

    word: str
    names: tuple[Word, ...]
    clauses: tuple[Clause, ...]
    text: str
    place: Place


@dataclass(frozen=True, slots=True)
class LineEnd:
    """An end of a line as written: a part or line, and a port where one is said."""

    name: Word
    port: Word | None
    place: Place


@dataclass(frozen=True, slots=True)
class Line:
    """A sentence of the line schedule."""

    name: Word | None
    starts: tuple[LineEnd, ...]
    through: tuple[LineEnd, ...]
    stops: tuple[LineEnd, ...]
    clauses: tuple[Clause, ...]
    text: str
    place: Place


@dataclass(frozen=True, slots=True)
class Chapter:
    """A heading, what it says itself (``claims "sheet 2", within 3 %``), its sentences."""

    word: str
    about: tuple[Clause, ...]
    sentences: tuple[Sentence | Line, ...]
    text: str
    place: Place


@dataclass(frozen=True, slots=True)
class Block:
    """A sub-circuit: its name, its figures, its ports, its chapters."""

    name: Word
    figures: tuple[Clause, ...]
    ports: tuple[Word, ...]
    chapters: tuple[Chapter, ...]
    text: str
    place: Place


@dataclass(frozen=True, slots=True)
class Variant:
    """Another form of the circuit: its name, what its heading says, sentences that differ."""

    name: Word
    about: tuple[Clause, ...]
    chapters: tuple[Chapter, ...]
    text: str
    place: Place


@dataclass(frozen=True, slots=True)
class Entry:
    """A part of one's own catalogue: what kind it is (None if not said) and its clauses.

    ``file`` is shown to people; ``whole`` is false where something in it could not be read.
    """

    name: Word
    kind: Clause | None
    clauses: tuple[Clause, ...]
    file: str
    whole: bool = True


@dataclass(frozen=True, slots=True)
class Text:
    """A whole text. ``unread`` holds words of sentences that could not be read.

    They may be names, so that nothing else is reported for missing them; ``names_lost``:
    a name may have been lost that does not even stand among them. ``used`` holds the texts
    of the files that it uses, by their names in places; ``catalogue`` the parts of one's own
    that lie beside it. ``variants`` are other forms of the circuit. ``folder`` is that of the
    project, None for a text without one.
    """

    file: str
    source: str
    chapters: tuple[Chapter, ...] = ()
    blocks: tuple[Block, ...] = ()
    variants: tuple[Variant, ...] = ()
    unread: frozenset[str] = frozenset()
    names_lost: bool = False
    complete: bool = True
    used: Mapping[str, str] = field(default_factory=dict)
    catalogue: tuple[Entry, ...] = ()
    folder: Path | None = None

    def named(self, word: str) -> Iterator[Chapter]:
        """Give the chapters of one heading, in the order of the text."""
        return (chapter for chapter in self.chapters if chapter.word == word)

    def sentences(self, word: str) -> Iterator[Sentence]:
        """Give the sentences of all chapters of one heading but ``lines``."""
        for chapter in self.named(word):
            for sentence in chapter.sentences:
                if isinstance(sentence, Sentence):
                    yield sentence

    def lines(self) -> Iterator[Line]:
        """Give the line schedule."""
        for chapter in self.named("lines"):
            for sentence in chapter.sentences:
                if isinstance(sentence, Line):
                    yield sentence
