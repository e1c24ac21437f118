"""What a block is for those who use it: its figures with their defaults, its ports."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from circuitcheck.basics.findings import Note
from circuitcheck.circuit.desk import Desk
from circuitcheck.components._parts import Parameter
from circuitcheck.language.text import Amount, Blank, Block, Clause, Line, Text, Word

CHAPTERS = ("values", "defaults", "parts", "lines", "cycle", "drawing")
"""Chapters that a block may have; the others speak of a whole circuit."""


@dataclass(frozen=True)
class BlockFigure:
    """A figure of a block; ``default`` is None for a blank that the user must fill."""

    parameter: Parameter
    default: Amount | None


@dataclass(frozen=True)
class BlockForm:
    """A block as its heading describes it."""

    block: Block
    figures: Mapping[str, BlockFigure]
    ports: Mapping[str, Word]

    @property
    def name(self) -> str:
        return self.block.name.text


def block_forms(desk: Desk, text: Text) -> dict[str, BlockForm]:
    """Give the blocks of a text by name; what is wrong with their headings goes to the desk."""
    found: dict[str, BlockForm] = {}
    for block in text.blocks:
        name = block.name
        if not name.text:  # reported by the reader
            continue
        if name.text in found:
            other = found[name.text].block.name.place
            same = other.file == name.place.file
            where = f"line {other.line}" if same else f"{other.file}, line {other.line}"
            desk.error(
                "name-twice",
                name.place,
                f"there is already a block {name.text} ({where})",
                "give one of them another name",
                notes=(Note("given here", other),),
            )
        elif name.text in desk.kinds:
            desk.error(
                "name-twice",
                name.place,
                f"'{name.text}' is a kind of part already",
                f"give the block another name, such as {name.text}_block",
            )
        else:
            found[name.text] = BlockForm(block, _figures(desk, block), _ports(desk, block))
            if text.complete:  # else the end of the block may be what could not be read
                _check_inside(desk, block)
    return found


def _figures(desk: Desk, block: Block) -> dict[str, BlockFigure]:
    found: dict[str, BlockFigure] = {}
    for clause in block.figures:
        name, item = " ".join(clause.words()), clause.items[-1]
        if len(clause.items) != 2 or not name or not isinstance(item, (Blank, Amount)):
            desk.error(
                "block-figure",
                clause.place,
                f"'{clause.text}' is no figure of a block",
                "a figure has a name of one word, and a default or a blank: "
                "flow ? L/min, limit 250 bar",
            )
            continue
        if name in found:
            desk.error("said-twice", clause.place, f"'{name}' is given twice", "take one away")
        unit = item.unit
        parameter = Parameter(
            name,
            unit.quantity if unit is not None else "ratio",
            unit.canonical if unit is not None else "",
            f"figure of the block {block.name.text}",
            needed=isinstance(item, Blank),
        )
        found[name] = BlockFigure(parameter, item if isinstance(item, Amount) else None)
    return found


def _ports(desk: Desk, block: Block) -> dict[str, Word]:
    found: dict[str, Word] = {}
    for word in block.ports:
        if word.text in found:
            desk.error(
                "name-twice",
                word.place,
                f"the port {word.text} is given twice",
                "take one of the two away",
            )
        found[word.text] = word
    return found


def _check_inside(desk: Desk, block: Block) -> None:
    """Report what a block cannot hold, and names inside that could mean a port or a part."""
    ports = {word.text for word in block.ports}
    for chapter in block.chapters:
        if chapter.word not in CHAPTERS:
            desk.error(
                "block-chapter",
                chapter.place,
                f"a block has no {chapter.word}",
                f"it has ports, {', '.join(CHAPTERS)}; move this out of the block",
            )
            continue
        if chapter.about and chapter.word == "cycle":
            desk.error(
                "heading",
                chapter.about[0].place,
                f"'{chapter.about[0].text}' does not belong behind the heading cycle of a block",
                "the circuit's own cycle says whether it repeats",
            )
        for sentence in chapter.sentences:
            names: tuple[Word, ...] = ()
            if isinstance(sentence, Line):
                names = (sentence.name,) if sentence.name is not None else ()
            elif chapter.word == "parts":
                names = sentence.names
            for name in names:
                if name.text in ports:
                    desk.error(
                        "name-twice",
                        name.place,
                        f"{name.text} is a port of the block already",
                        "give this one another name",
                    )


def plugged_ports(clause: Clause) -> list[Word] | None:
    """Give the ports of ``A and B plugged``, None if a clause says anything else."""
    words = [item for item in clause.items if isinstance(item, Word)]
    if len(words) < max(2, len(clause.items)) or words[-1].text != "plugged":
        return None
    return [word for word in words[:-1] if word.text != "and"]
