"""Ends of lines as written to ports of parts, or to the ends of other lines."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from circuitcheck.basics.findings import Note
from circuitcheck.basics.places import Place
from circuitcheck.circuit.desk import Desk, article
from circuitcheck.circuit.model import End
from circuitcheck.circuit.names import Names
from circuitcheck.circuit.opening import Opened
from circuitcheck.components._parts import Part
from circuitcheck.language.faults import Instead
from circuitcheck.language.text import Line, LineEnd, Word

NEAR, FAR = "start", "end"


@dataclass(frozen=True, slots=True)
class LinePoint:
    """The near or the far end of a line that another line names."""

    line: int  # which sentence of the line schedule
    side: str


@dataclass(frozen=True, slots=True)
class BlockPort:
    """A port of a block in use, seen from inside or outside."""

    block: str
    port: str


Point = End | LinePoint | BlockPort


@dataclass(frozen=True, slots=True)
class Passed:
    """What stands in a run: its name, where oil enters it and where it leaves."""

    name: str
    inlet: End | BlockPort
    outlet: End | BlockPort


class EndReader:
    """Finds what an end of a line means; what is wrong goes to the desk."""

    def __init__(
        self, desk: Desk, names: Names, parts: Mapping[str, Part], lines: list[Line],
        blocks: Mapping[str, Opened],
    ) -> None:  # fmt: skip
        self._desk = desk
        self._names = names
        self._parts = parts
        self._blocks = blocks
        self._letters: dict[str, tuple[str, ...]] = {}
        self._lines = {
            line.name.text: number for number, line in enumerate(lines) if line.name is not None
        }
        self._through: dict[str, Place] = {}

    def letters(self, part: Part) -> tuple[str, ...]:
        """Give the letters of the ports of a part."""
        found = self._letters.get(part.name)
        if found is None:
            found = self._letters[part.name] = tuple(port.letter for port in part.ports)
        return found

    def point(self, end: LineEnd, number: int) -> Point | None:
        """Give what an end of line ``number`` means; None if it is wrong."""
        name = end.name.text
        part = self._parts.get(name)
        if part is not None:
            return self._port(end, part)
        block = self._blocks.get(name)
        if block is not None:
            return self._block_port(end, block)
        other = self._lines.get(name)
        if other is not None:
            return self._line_point(end, other, number)
        if not self._names.forgiven(name):
            known = [*self._parts, *self._lines, *self._blocks]
            self._desk.error(
                "unknown-part",
                end.name.place,
                f"there is no part or line {name}",
                self._desk.ask(name, known, "")
                or "give it under parts, or name the line that it means",
            )
        return None

    def _port(self, end: LineEnd, part: Part) -> End | None:
        letters = self.letters(part)
        kind = article(part.kind.word)
        if not letters:
            self._desk.error(
                "no-oil",
                end.name.place,
                f"{part.name} ({part.kind.word}) carries no oil",
                "it is joined by 'driven by', not by a line",
                component=part.name,
            )
            return None
        has = ", ".join(letters)
        if end.port is None:
            if len(letters) == 1:
                return self._joined(part, letters[0], end)
            self._desk.error(
                "port-missing",
                end.name.place,
                f"which port of {part.name}?",
                f"{kind} has {has}: write {part.name} {letters[0]}",
                component=part.name,
            )
            return None
        if end.port.text in letters:
            return self._joined(part, end.port.text, end)
        if letters == ("",):
            remedy = f"{kind} needs no port: write {part.name}"
            self._unknown_port(end.port, kind, remedy, part.name)
        else:
            self._unknown_port(end.port, kind, _has(letters, end.port.text), part.name)
        return None

    def _unknown_port(self, port: Word, owner: str, remedy: str | Instead, name: str) -> None:
        message = f"{owner} has no port '{port.text}'"
        self._desk.error("unknown-port", port.place, message, remedy, component=name)

    def _block_port(self, end: LineEnd, block: Opened) -> BlockPort | None:
        name, letters = end.name.text, tuple(block.form.ports)
        use = end.place.use
        if use is not None and use.name == name:  # seen from inside
            assert end.port is not None
            block.inside.add(end.port.text)
            return BlockPort(name, end.port.text)
        owner = article(block.kind)
        if end.port is None:
            has = f"{owner} has {', '.join(letters)}" if letters else f"{owner} has no ports"
            remedy = f"{has}: write {name} {letters[0]}" if letters else has
            message = f"which port of {name}?"
            self._desk.error("port-missing", end.name.place, message, remedy, component=name)
            return None
        letter = end.port.text
        if letter not in letters:
            self._unknown_port(end.port, owner, _has(letters, letter), name)
            return None
        block.outside.add(letter)
        if letter in block.plugged:
            self._plugged(name, letter, end.place)
            return None
        return BlockPort(name, letter)

    def _plugged(self, name: str, letter: str, place: Place) -> None:
        self._desk.error(
            "plugged-port-joined",
            place,
            f"port {letter} of {name} is plugged, and joined here",
            "take away this end, or 'plugged' in the parts list",
            component=name,
        )

    def _joined(self, part: Part, letter: str, end: LineEnd) -> End | None:
        place: Place = end.place
        if letter in part.plugged:
            self._plugged(part.name, letter, place)
            return None
        part.port_places.setdefault(letter, place)
        return End(part.name, letter)

    def _line_point(self, end: LineEnd, other: int, number: int) -> LinePoint | None:
        side = FAR if end.port is None else end.port.text
        if side not in (NEAR, FAR):
            self._desk.error(
                "unknown-port",
                end.place if end.port is None else end.port.place,
                f"a line has no port '{side}'",
                f"write {end.name.text} for its far end, {end.name.text} start for its near end",
            )
            return None
        if other == number:
            self._desk.error(
                "line-to-itself",
                end.place,
                f"the line {end.name.text} is joined to itself",
                "name a port or another line",
            )
            return None
        return LinePoint(other, side)

    def through(self, end: LineEnd) -> Passed | None:
        """Give what an end after "through" means: a part, or a block of two ports."""
        name = end.name.text
        part, block = self._parts.get(name), self._blocks.get(name)
        if part is None and block is None:
            if not self._names.forgiven(name):
                self._desk.error(
                    "unknown-part",
                    end.name.place,
                    f"there is no part {name}",
                    self._desk.ask(name, self._parts, ""),
                )
            return None
        if part is not None:
            what, kind, ways = "part", part.kind.word, part.kind.through
            remedy = "only parts with one inlet and one outlet can; name its ports in two lines"
        else:
            assert block is not None
            what, kind, ways = "block", block.kind, _way_through(block)
            remedy = "a block in a run has two ports, the inlet first; name them in two lines"
        if ways is None:
            self._desk.error(
                "not-through",
                end.name.place,
                f"{name} ({kind}) cannot stand in a run",
                remedy,
                component=name,
            )
            return None
        inlet, outlet = ways
        if end.port is not None:
            self._desk.error(
                "not-through",
                end.port.place,
                f"after 'through' a {what} stands without a port: through {name}",
                f"oil is taken to pass from {inlet} to {outlet}",
                component=name,
            )
            return None
        before = self._through.setdefault(name, end.place)
        if before is not end.place:
            self._desk.error(
                "through-twice",
                end.place,
                f"{name} stands in another run already (line {before.line})",
                "runs that meet before a part are one line:  from V1 T and V2 T through F1 to T1",
                component=name,
                notes=(Note("it stands here", before),),
            )
            return None
        if block is None:
            return Passed(name, End(name, inlet), End(name, outlet))
        for letter in ways:
            block.outside.add(letter)
            if letter in block.plugged:
                self._plugged(name, letter, end.place)
                return None
        return Passed(name, BlockPort(name, inlet), BlockPort(name, outlet))


def _way_through(block: Opened) -> tuple[str, str] | None:
    """Give inlet and outlet of a block: of two ports the first and the second."""
    letters = tuple(block.form.ports)
    return (letters[0], letters[1]) if len(letters) == 2 else None


def _has(letters: tuple[str, ...], said: str) -> str | Instead:
    """Say which ports there are, and which one was meant if only the capitals are wrong."""
    meant = [known for known in letters if known.lower() == said.lower()]
    has = f"it has {', '.join(letters)}" if letters else "it has no ports"
    return Instead(f"{has}; did you mean {meant[0]}?", meant[0]) if meant else has
