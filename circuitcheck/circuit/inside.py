"""The sentences of a block as they read where the block is used: names and places."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass, fields, is_dataclass, replace
from typing import TypeVar, cast

from circuitcheck.basics.findings import Finding
from circuitcheck.basics.places import Place, Use
from circuitcheck.language.text import Clause, Line, LineEnd, Sentence, ValueName, Word

Row = TypeVar("Row", Sentence, Line)


@dataclass(frozen=True)
class Inside:
    """A block seen from where it is used as ``name``: everything inside is ``name/...``."""

    name: str
    ports: Collection[str]
    use: Use

    @property
    def prefix(self) -> str:
        return f"{self.name}/"

    def part(self, sentence: Sentence) -> Sentence:
        """Give a sentence of ``parts``."""
        seen = self._seen(sentence)
        return replace(
            seen,
            names=tuple(self._word(name) for name in seen.names),
            clauses=tuple(self._driven(clause) for clause in seen.clauses),
        )

    def value(self, sentence: Sentence) -> Sentence:
        """Give a sentence of ``values``."""
        seen = self._seen(sentence)
        return replace(seen, names=tuple(self._word(name) for name in seen.names))

    def hint(self, sentence: Sentence) -> Sentence:
        """Give a sentence of ``drawing``: part names in it are those of the block's parts."""
        seen = self._seen(sentence)
        relation, *rest = seen.clauses
        named = [item.text for item in relation.items if isinstance(item, Word)]
        first = 2 if named[1:2] == ["of"] else 1
        items = tuple(
            self._word(item) if at >= first and isinstance(item, Word) and item.text != "and"
            else item
            for at, item in enumerate(relation.items)
        )  # fmt: skip
        return replace(
            seen,
            names=tuple(self._word(name) for name in seen.names),
            clauses=(replace(relation, items=items), *rest),
        )

    def line(self, line: Line) -> Line:
        """Give a sentence of ``lines``; an end that is a port of the block becomes that port."""
        seen = self._seen(line)
        return replace(
            seen,
            name=None if seen.name is None else self._word(seen.name),
            starts=tuple(self._end(end) for end in seen.starts),
            through=tuple(replace(end, name=self._word(end.name)) for end in seen.through),
            stops=tuple(self._end(end) for end in seen.stops),
        )

    def _end(self, end: LineEnd) -> LineEnd:
        if end.name.text in self.ports and end.port is None:
            return LineEnd(Word(self.name, end.name.place), end.name, end.place)
        return replace(end, name=self._word(end.name))

    def _driven(self, clause: Clause) -> Clause:
        if clause.words()[:2] != ["driven", "by"]:
            return clause
        items = tuple(self._word(i) if isinstance(i, Word) else i for i in clause.items[2:])
        return replace(clause, items=(*clause.items[:2], *items))

    def _word(self, word: Word) -> Word:
        return replace(word, text=f"{self.prefix}{word.text}")

    def _seen(self, row: Row) -> Row:
        return cast(Row, self._placed(row))

    def _placed(self, node: object) -> object:
        """Give a piece of a sentence with its places inside this use, its values renamed."""
        if isinstance(node, Place):
            return replace(node, use=self.use)
        if isinstance(node, tuple):
            return tuple(self._placed(one) for one in node)
        if (
            is_dataclass(node)
            and not isinstance(node, type)
            and type(node).__module__ == Word.__module__
        ):
            changed = {f.name: self._placed(getattr(node, f.name)) for f in fields(node)}
            if isinstance(node, ValueName):
                changed["text"] = f"{self.prefix}{node.text}"
            return type(node)(**changed)
        return node


def as_written(findings: list[Finding]) -> Iterator[Finding]:
    """Give findings as the text of a block has its names; one that all its uses share, once."""
    seen: set[tuple[object, ...]] = set()
    for finding in findings:
        use = finding.place.use
        if use is not None:
            prefix = f"{use.name}/"
            finding = replace(
                finding,
                message=finding.message.replace(prefix, ""),
                remedy=finding.remedy.replace(prefix, ""),
            )
            key = (finding.slug, finding.place, finding.message)
            if key in seen:
                continue
            seen.add(key)
        yield finding
