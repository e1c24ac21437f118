"""The sentences of a block as they read where the block is used: names and places."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass, fields, is_dataclass, replace
from typing import Any, TypeVar, cast

from circuitcheck.basics.findings import Finding
from circuitcheck.basics.places import Place, Use
from circuitcheck.language import text
from circuitcheck.language.text import Clause, Line, LineEnd, Sentence, ValueName, Word

Row = TypeVar("Row", Sentence, Line)

_FIELDS = {
    kind: tuple(field.name for field in fields(kind))
    for kind in vars(text).values()
    if isinstance(kind, type) and is_dataclass(kind)
}
"""What the records of a text consist of."""


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
            clauses=tuple(self._other(clause) for clause in seen.clauses),
        )

    def value(self, sentence: Sentence) -> Sentence:
        """Give a sentence of ``values``."""
        seen = self._seen(sentence)
        return replace(seen, names=tuple(self._word(name) for name in seen.names))

    def every(self, sentence: Sentence) -> Sentence:
        """Give a sentence of ``defaults``."""
        return self._seen(sentence)

    def step(self, sentence: Sentence) -> Sentence:
        """Give a sentence of ``cycle``: the parts in it are those of the block."""
        seen = self._seen(sentence)
        return replace(seen, clauses=tuple(self._order(clause) for clause in seen.clauses))

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

    def _order(self, clause: Clause) -> Clause:
        first, *rest = clause.items
        if not isinstance(first, Word):
            return clause
        return replace(clause, items=(self._word(first), *rest))

    def _other(self, clause: Clause) -> Clause:
        """Give a clause that names another part: driven by it, or something done with it."""
        words = clause.words()
        if words[:2] != ["driven", "by"] and words[-2:-1] != ["with"]:
            return clause
        first = 2 if words[:2] == ["driven", "by"] else len(words) - 1
        items = tuple(self._word(i) if isinstance(i, Word) else i for i in clause.items[first:])
        return replace(clause, items=(*clause.items[:first], *items))

    def _word(self, word: Word) -> Word:
        return replace(word, text=f"{self.prefix}{word.text}")

    def _seen(self, row: Row) -> Row:
        return cast(Row, self._placed(row))

    def _placed(self, node: Any) -> Any:
        """Give a piece of a sentence with its places inside this use, its values renamed."""
        kind = type(node)
        if kind is Place:
            return Place(
                node.file, node.line, node.column, node.end_line, node.end_column, self.use
            )
        if kind is tuple:
            return tuple([self._placed(one) for one in node])
        if kind is ValueName:
            return ValueName(f"{self.prefix}{node.text}", self._placed(node.place))
        names = _FIELDS.get(kind)
        if names is None:
            return node
        return kind(*[self._placed(getattr(node, name)) for name in names])


def around(name: str) -> list[str]:
    """Names of the blocks in which a part stands, the outermost first: S1/X1/V1 in S1, S1/X1."""
    steps = name.split("/")
    return ["/".join(steps[:count]) for count in range(1, len(steps))]


def by_block(parts: Iterable[str]) -> dict[str, list[str]]:
    """Give the parts of each block, those of blocks inside it included."""
    found: dict[str, list[str]] = {}
    for name in parts:
        for block in around(name):
            found.setdefault(block, []).append(name)
    return found


def scopes(use: Use | None) -> list[str]:
    """Names of the uses in which something stands, the innermost first; then the circuit: ""."""
    found = []
    while use is not None:
        found.append(use.name)
        use = use.place.use
    return [*found, ""]


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
                instead=finding.instead and finding.instead.replace(prefix, ""),
            )
            key = (finding.slug, finding.place, finding.message)
            if key in seen:
                continue
            seen.add(key)
        yield finding
