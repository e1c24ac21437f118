"""What a text knows at any moment: parts, lines, steps, blocks, be it finished or not."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from circuitcheck.circuit.partial import parts_that_stand
from circuitcheck.components import kinds
from circuitcheck.components._parts import Kind, Part
from circuitcheck.editing.mentions import Mention, mentions
from circuitcheck.language import Text, read
from circuitcheck.language.text import Block, Sentence


@dataclass(frozen=True)
class Known:
    """A text as read, and what can be found in it; nothing here needs it to be right."""

    text: Text

    @classmethod
    def of(cls, source: str, file: str, folder: Path | None) -> Known:
        """Read a text with the files that it uses."""
        return cls(read(source, file, folder)[0])

    @cached_property
    def mentions(self) -> list[Mention]:
        return mentions(self.text)

    @cached_property
    def parts(self) -> Mapping[str, Part]:
        """Parts whose sentences are right, by name; those inside blocks as S1/V1."""
        return parts_that_stand(self.text)

    @cached_property
    def blocks(self) -> Mapping[str, Block]:
        return {block.name.text: block for block in self.text.blocks if block.name.text}

    @cached_property
    def lines(self) -> list[str]:
        """Names of the lines of the circuit."""
        return [line.name.text for line in self.text.lines() if line.name is not None]

    @cached_property
    def steps(self) -> list[str]:
        return [row.names[0].text for row in self.text.sentences("cycle") if row.names]

    @cached_property
    def values(self) -> list[str]:
        return [row.names[0].text for row in self.text.sentences("values") if row.names]

    @cached_property
    def kind_words(self) -> Mapping[str, str]:
        """The first words of each part's kind as written, by the part's name, blocks included."""
        return {
            name.text: " ".join(row.clauses[0].words())
            for row in self.text.sentences("parts")
            for name in row.names
        }

    def block_of(self, part: str) -> Block | None:
        """Give the block of which a part of the circuit is made, if it is made of one."""
        return self.blocks.get(self.kind_words.get(part, "").split(" ")[0])

    def kind_of(self, part: str) -> Kind | None:
        """Give the kind of a part, even of one whose sentence is wrong."""
        made = self.parts.get(part)
        if made is not None:
            return made.kind
        words = self.kind_words.get(part, "").split()
        known = (kinds().get(" ".join(words[:count])) for count in range(len(words), 0, -1))
        return next((kind for kind in known if kind is not None), None)

    def inside(self, holder: str) -> tuple[list[str], list[str]]:
        """Give the parts and the ports of a block by its name; of the circuit without one."""
        if not holder:
            return list(self.kind_words), []
        block = self.blocks.get(holder)
        if block is None:
            return [], []
        rows = (row for chapter in block.chapters for row in chapter.sentences)
        parts = [
            name.text
            for row in rows
            if isinstance(row, Sentence) and row.word == "part"
            for name in row.names
        ]
        return parts, [port.text for port in block.ports]
