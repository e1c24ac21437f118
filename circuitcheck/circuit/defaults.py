"""The chapter ``defaults``: what every part of a kind has where it says nothing itself."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from circuitcheck.circuit.clauses import ClauseReader
from circuitcheck.circuit.desk import Desk, spread
from circuitcheck.circuit.inside import scopes
from circuitcheck.circuit.said import Said, choice_with
from circuitcheck.components._parts import Kind, Part
from circuitcheck.language.text import Sentence, Text


@dataclass(frozen=True)
class Every:
    """What an ``every`` says: of a kind, or of those of a kind that a phrase describes."""

    word: str
    kind: Kind
    phrase: str
    said: Said
    file: str

    def concerns(self, part: Part) -> bool:
        return part.kind is self.kind and (not self.phrase or part.says(self.phrase))


class Defaults:
    """All ``every`` sentences of a text, by where they hold and by kind.

    Those of a block hold inside it, also in the blocks that it uses; the nearest wins.
    """

    def __init__(self, desk: Desk, text: Text, clauses: ClauseReader) -> None:
        self._desk = desk
        self._clauses = clauses
        self._blocks = {block.name.text for block in text.blocks}
        self._lost = text.names_lost
        self._every: dict[tuple[str, str], list[Every]] = {}
        for sentence in text.sentences("defaults"):
            self._take(sentence)

    def apply(self, part: Part) -> list[tuple[str, str, str]]:
        """Put into a part what it does not say itself; give (name, text, origin) of each."""
        taken: list[tuple[str, str, str]] = []
        for every in self._nearest_first(part):
            if not every.concerns(part):
                continue
            origin = f"every {every.word}"
            for name, figure in every.said.figures.items():
                if name not in part.figures:
                    part.figures[name] = replace(figure, origin="every")
                    taken.append((name, figure.text, origin))
            for group, phrase in every.said.choices().items():
                if group not in part.choices:
                    part.choices[group] = phrase
                    taken.append((group, phrase, origin))
            for group, phrases in every.said.many().items():
                if group not in part.many:
                    part.many[group] = phrases
                    taken.append((group, ", ".join(phrases), origin))
        return taken

    def _nearest_first(self, part: Part) -> Iterator[Every]:
        for scope in scopes(part.place.use):
            yield from self._every.get((scope, part.kind.word), ())

    def _take(self, sentence: Sentence) -> None:
        first = sentence.clauses[0]
        words = first.words()
        word = " ".join(words)
        found = self._kind_of(word)
        if found is None:
            if words[:1] and words[0] in self._blocks:
                if len(first.items) > 1:
                    self._clauses.comma_missing(first.items[1])
                return  # read where the block is opened
            if self._lost and len(words) == 1:
                return
            kinds = [*self._desk.kinds, *self._blocks, *self._phrases()]
            place = spread(first, 0, len(words) - 1) if words else first.place
            self._desk.error(
                "unknown-kind",
                place,
                f"'{word or first.text}' is not a kind of part",
                self._desk.ask(word, kinds) or "write, for example:  every pump, volumetric 92 %",
            )
            return
        if len(words) < len(first.items):
            self._clauses.comma_missing(first.items[len(words)])
            return
        kind, phrase = found
        said = self._clauses.read(sentence.clauses[1:], kind, first.place.end_line)
        known = self._every.setdefault((scopes(first.place.use)[0], kind.word), [])
        for every in known:
            for name in every.said.figures.keys() & said.figures.keys():
                if every.phrase == phrase and every.file == first.place.file:
                    self._desk.error(
                        "said-twice",
                        said.figures[name].place,
                        f"'{name}' of every {word} is given twice",
                        f"{every.said.figures[name].text} stands above; take one away",
                    )
        known.append(Every(word, kind, phrase, said, first.place.file))

    def _phrases(self) -> list[str]:
        """Phrases by which an ``every`` may name some of a kind: hose, strainer."""
        kinds = {kind.word: kind for kind in self._desk.kinds.values()}.values()
        return [o for kind in kinds for choice in kind.choices for o in choice.options]

    def _kind_of(self, word: str) -> tuple[Kind, str] | None:
        """Find a kind by its word, or by a phrase that only one kind has (``every hose``)."""
        kind = self._desk.kinds.get(word)
        if kind is not None:
            return kind, ""
        having = {k.word: k for k in self._desk.kinds.values() if choice_with(k, word)}
        return (next(iter(having.values())), word) if len(having) == 1 else None
