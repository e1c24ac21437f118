"""Where a text gives names and where it speaks of them: what renaming and looking up rest on."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace

from circuitcheck.basics.places import Place
from circuitcheck.circuit.drawing import RELATIONS
from circuitcheck.language.text import (
    Block,
    Chapter,
    Clause,
    Formula,
    Item,
    Line,
    LineEnd,
    Negative,
    Product,
    Quote,
    Sentence,
    Sum,
    Term,
    Text,
    ValueName,
    Word,
)


@dataclass(frozen=True, slots=True)
class Thing:
    """What bears a name: its sort, the name, and where it belongs.

    ``sort``: "part", "line", "step", "value", "block", "port" and "figure" (of a block),
    "variant", "entry" (of one's own catalogue), "file". ``file`` is the file that gives the
    name, ``scope`` the block in it, empty for the circuit.
    """

    sort: str
    name: str
    file: str
    scope: str = ""


@dataclass(frozen=True, slots=True)
class Mention:
    """A name as it stands in a text; ``place`` covers the name alone, without quotes."""

    thing: Thing
    place: Place
    gives: bool = False


_GIVEN = {"part": "things", "value": "values", "step": "steps"}
"""Which names of a scope a sentence gives, by its word."""


@dataclass
class _Scope:
    """The names of a circuit or of a block; ``kinds`` are the blocks that parts are made of."""

    file: str
    name: str
    things: dict[str, Thing] = field(default_factory=dict)
    values: dict[str, Thing] = field(default_factory=dict)
    figures: dict[str, Thing] = field(default_factory=dict)
    ports: dict[str, Thing] = field(default_factory=dict)
    steps: dict[str, Thing] = field(default_factory=dict)
    kinds: dict[str, str] = field(default_factory=dict)

    def thing(self, sort: str, name: str) -> Thing:
        return Thing(sort, name, self.file, self.name)


def mentions(text: Text) -> list[Mention]:
    """Give every mention of a name in a text and in the blocks of the files that it uses.

    Sentences that could not be read have none. Places inside used files name those files.
    """
    return list(_Finder(text).find())


class _Finder:
    def __init__(self, text: Text) -> None:
        self._text = text
        self._own = [chapter for chapter in text.chapters if chapter.place.file == text.file]
        self._blocks = {block.name.text: block for block in text.blocks if block.name.text}
        self._entries = {entry.name.text: entry for entry in text.catalogue}
        self._circuit = self._scope(self._own, text.file, "")
        self._scopes = {name: self._block_scope(block) for name, block in self._blocks.items()}

    def find(self) -> Iterator[Mention]:
        """Give the mentions, those of the circuit first."""
        text = self._text
        yield from self._chapters(text.chapters, self._circuit)
        for block in self._blocks.values():
            yield from self._block(block)
        for variant in text.variants:
            thing = Thing("variant", variant.name.text, text.file)
            yield from _at(thing, variant.name, True)
            for clause in variant.about[1:]:
                for word in clause.items[1:]:
                    yield from self._named(word, self._circuit)
            own = self._scope(variant.chapters, text.file, "")
            merged = replace(
                self._circuit,
                things=own.things | self._circuit.things,
                values=own.values | self._circuit.values,
                steps=own.steps | self._circuit.steps,
                kinds=self._circuit.kinds | own.kinds,
            )
            yield from self._chapters(variant.chapters, merged, self._circuit)

    # ---- who has which name ------------------------------------------------------------

    def _scope(self, chapters: Iterable[Chapter], file: str, name: str) -> _Scope:
        scope = _Scope(file, name)
        for chapter in chapters:
            for row in chapter.sentences:
                if isinstance(row, Line):
                    if row.name is not None:
                        thing = scope.thing("line", row.name.text)
                        scope.things.setdefault(thing.name, thing)
                    continue
                for word in row.names:
                    if row.word == "part":
                        scope.things.setdefault(word.text, scope.thing("part", word.text))
                        kind = row.clauses[0].words()[:1]
                        scope.kinds.setdefault(word.text, kind[0] if kind else "")
                    elif row.word == "value":
                        scope.values.setdefault(word.text, scope.thing("value", word.text))
                    elif row.word == "step":
                        thing = Thing("step", word.text, self._text.file)
                        scope.steps.setdefault(word.text, thing)
        return scope

    def _block_scope(self, block: Block) -> _Scope:
        scope = self._scope(block.chapters, block.place.file, block.name.text)
        for clause in block.figures:
            for word in clause.words()[:1]:
                scope.figures[word] = scope.thing("figure", word)
        scope.ports.update({word.text: scope.thing("port", word.text) for word in block.ports})
        scope.values = scope.figures | scope.values
        scope.steps = {
            name: Thing("step", name, self._text.file)
            for name in scope.steps
            if name in self._circuit.steps
        }
        return scope

    # ---- chapters ----------------------------------------------------------------------

    def _block(self, block: Block) -> Iterator[Mention]:
        scope = self._scopes[block.name.text]
        yield from _at(Thing("block", scope.name, scope.file), block.name, True)
        for clause in block.figures:
            for item in clause.items[:1]:
                if isinstance(item, Word):
                    yield from _at(scope.figures[item.text], item, True)
        for port in block.ports:
            yield from _at(scope.ports[port.text], port, True)
        yield from self._chapters(block.chapters, scope)

    def _chapters(
        self, chapters: Iterable[Chapter], scope: _Scope, known: _Scope | None = None
    ) -> Iterator[Mention]:
        """Give the mentions in chapters; what ``known`` has is not given its name in them."""
        sentence: dict[str, Callable[[Sentence, _Scope], Iterator[Mention]]] = {
            "parts": self._part, "defaults": self._every, "cycle": self._step,
            "claims": self._claim, "readings": self._claim, "variations": self._trial,
            "tolerances": self._subject, "accepted": self._accepted, "drawing": self._hint,
        }  # fmt: skip
        for chapter in chapters:
            if chapter.word == "use":
                yield from self._use(chapter)
            for row in chapter.sentences:
                yield from self._names(row, scope, known)
                for clause in row.clauses:
                    for item in clause.items:
                        if isinstance(item, Formula):
                            yield from _values(item.root, scope)
                if isinstance(row, Line):
                    for end in (*row.starts, *row.through, *row.stops):
                        yield from self._end(end, scope)
                elif chapter.word in sentence:
                    yield from sentence[chapter.word](row, scope)

    def _names(
        self, row: Sentence | Line, scope: _Scope, known: _Scope | None
    ) -> Iterator[Mention]:
        names: tuple[Word, ...]
        if isinstance(row, Line):
            names = () if row.name is None else (row.name,)
            sort = "things"
        else:
            names, sort = row.names, _GIVEN.get(row.word, "")
        if not sort:
            return
        table: Mapping[str, Thing] = getattr(scope, sort)
        old: Mapping[str, Thing] = getattr(known, sort) if known is not None else {}
        of_circuit = sort == "steps" and scope.name  # a block speaks of the circuit's steps
        for word in names:
            if word.text in table:
                yield from _at(table[word.text], word, not of_circuit and word.text not in old)

    # ---- sentences ---------------------------------------------------------------------

    def _use(self, chapter: Chapter) -> Iterator[Mention]:
        for clause in chapter.about:
            for item in clause.items:
                if isinstance(item, Quote):
                    yield from _at(Thing("file", item.text, item.place.file), item)

    def _part(self, row: Sentence, scope: _Scope) -> Iterator[Mention]:
        yield from self._kind(row)
        block = self._scopes.get(next(iter(row.clauses[0].words()), ""))
        for clause in row.clauses[1:]:
            words = clause.words()
            if words[:2] == ["driven", "by"] or words[-2:-1] == ["with"]:
                yield from self._named(clause.items[-1], scope)
            if block is not None:
                yield from _of_block(clause, block)

    def _every(self, row: Sentence, scope: _Scope) -> Iterator[Mention]:  # noqa: ARG002
        yield from self._kind(row)
        block = self._scopes.get(next(iter(row.clauses[0].words()), ""))
        if block is not None:
            for clause in row.clauses[1:]:
                yield from _of_block(clause, block)

    def _kind(self, row: Sentence) -> Iterator[Mention]:
        word = row.clauses[0].items[0]
        if not isinstance(word, Word):
            return
        block, entry = self._blocks.get(word.text), self._entries.get(word.text)
        if block is not None:
            yield from _at(Thing("block", word.text, block.place.file), word)
        elif entry is not None:
            yield from _at(Thing("entry", word.text, entry.name.place.file), word)

    def _end(self, end: LineEnd, scope: _Scope) -> Iterator[Mention]:
        if end.port is None and end.name.text in scope.ports:
            yield from _at(scope.ports[end.name.text], end.name)
            return
        yield from self._named(end.name, scope)
        if end.port is not None:
            yield from self._port(end.name.text, end.port, scope)

    def _step(self, row: Sentence, scope: _Scope) -> Iterator[Mention]:
        for clause in row.clauses:
            yield from self._named(clause.items[0], scope)

    def _claim(self, row: Sentence, scope: _Scope) -> Iterator[Mention]:
        yield from self._subject(row, scope)
        first = row.clauses[0].items[0]
        if isinstance(first, Word):
            yield from self._port(row.names[0].text, first, scope)

    def _subject(self, row: Sentence, scope: _Scope) -> Iterator[Mention]:
        yield from self._named(row.names[0], scope)
        yield from _in_steps(row.clauses, scope)

    def _trial(self, row: Sentence, scope: _Scope) -> Iterator[Mention]:
        for clause in row.clauses if row.word == "show" else row.clauses[:1]:
            yield from self._named(clause.items[0], scope)
        yield from _in_steps(row.clauses, scope)

    def _accepted(self, row: Sentence, scope: _Scope) -> Iterator[Mention]:
        for clause in row.clauses:
            if clause.words()[:1] == ["on"]:
                for item in clause.items[1:]:
                    yield from self._named(item, scope)
        yield from _in_steps(row.clauses, scope)

    def _hint(self, row: Sentence, scope: _Scope) -> Iterator[Mention]:
        yield from self._named(row.names[0], scope)
        words = row.clauses[0].words()
        relation = next((r for r in RELATIONS if words[: len(r.split())] == r.split()), "")
        for item in row.clauses[0].items[len(relation.split()) :] if relation else ():
            yield from self._named(item, scope)

    # ---- names -------------------------------------------------------------------------

    def _named(self, item: Item, scope: _Scope) -> Iterator[Mention]:
        """Give the mentions in a name, which may lead into blocks: S1/V1."""
        if not isinstance(item, (Word, Quote)):
            return
        at, here = 0, scope
        for step in item.text.split("/"):
            thing = here.things.get(step)
            if thing is None:
                return
            yield from _at(thing, item, piece=(at, step))
            inside = self._scopes.get(here.kinds.get(step, ""))
            if inside is None:
                return
            at, here = at + len(step) + 1, inside

    def _port(self, name: str, port: Word, scope: _Scope) -> Iterator[Mention]:
        """Give the mention of a port of a part that is a block."""
        block: _Scope | None = scope
        for step in name.split("/"):
            block = self._scopes.get(block.kinds.get(step, "")) if block is not None else None
        if block is not None and port.text in block.ports:
            yield from _at(block.ports[port.text], port)


def _in_steps(clauses: Iterable[Clause], scope: _Scope) -> Iterator[Mention]:
    for clause in clauses:
        if clause.words()[:1] == ["in"] and len(clause.items) == 2:
            step = clause.items[1]
            if isinstance(step, (Word, Quote)) and step.text in scope.steps:
                yield from _at(scope.steps[step.text], step)


def _of_block(clause: Clause, block: _Scope) -> Iterator[Mention]:
    """Give the mentions of figures and ports of a block, where a part is made from it."""
    words = [item for item in clause.items if isinstance(item, Word)]
    if words and words[-1].text == "plugged":
        for word in words[:-1]:
            if word.text in block.ports:
                yield from _at(block.ports[word.text], word)
    elif words and words[0].text in block.figures:
        yield from _at(block.figures[words[0].text], words[0])


def _values(term: Term, scope: _Scope) -> Iterator[Mention]:
    if isinstance(term, ValueName):
        if term.text in scope.values:
            yield from _at(scope.values[term.text], term)
    elif isinstance(term, Negative):
        yield from _values(term.term, scope)
    elif isinstance(term, (Sum, Product)):
        for _, one in term.terms:
            yield from _values(one, scope)


def _at(
    thing: Thing, item: Word | Quote | ValueName, gives: bool = False,
    piece: tuple[int, str] | None = None,
) -> Iterator[Mention]:  # fmt: skip
    """Give a mention at an item, or at a piece of its text; quotes are left out."""
    place, (at, text) = item.place, piece or (0, item.text)
    quotes = (place.end_column - place.column - len(item.text)) // 2
    if place.line != place.end_line or quotes not in (0, 1):
        return
    column = place.column + quotes + at
    where = replace(place, column=column, end_column=column + len(text), use=None)
    yield Mention(thing, where, gives)


def mention_at(found: Iterable[Mention], file: str, line: int, column: int) -> Mention | None:
    """Give the mention at a place of a file, line and column from 1; its end counts as well."""
    for one in found:
        place = one.place
        if place.file == file and place.line == line and place.column <= column <= place.end_column:
            return one
    return None


def given_at(text: Text, found: Iterable[Mention], thing: Thing) -> Place | None:
    """Give the place that gives a thing its name; that of a file is its beginning."""
    if thing.sort == "entry":
        return next((e.name.place for e in text.catalogue if e.name.text == thing.name), None)
    return next((one.place for one in found if one.thing == thing and one.gives), None)


def by_name(found: Iterable[Mention]) -> Mapping[Thing, list[Mention]]:
    """Give the mentions of each thing."""
    things: dict[Thing, list[Mention]] = {}
    for one in found:
        things.setdefault(one.thing, []).append(one)
    return things
