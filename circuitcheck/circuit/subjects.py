"""Of what a claim speaks: a part, a port of it, a line, or the whole circuit."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Self

from circuitcheck.circuit.desk import Desk, article, spread_words
from circuitcheck.circuit.model import Circuit, End
from circuitcheck.circuit.names import Names
from circuitcheck.components._parts import Part
from circuitcheck.language.text import Amount, Item, Word

WHOLE = {"heat": "power", "power": "power", "time": "time"}
"""What can be asked of the whole circuit."""

AT_PORTS = {"pressure": "pressure", "flow": "flow"}
"""What can be asked of every port."""

OF_PARTS = {"heat": "power"}
"""What can be asked of every part: the power that it turns into heat."""


@dataclass(frozen=True)
class Subject:
    """What a claim speaks of; ``name`` is a part, a junction, or empty for the whole."""

    name: str
    port: str
    what: str
    quantity: str


class Subjects:
    """Finds what a claim speaks of.

    ``junctions`` gives the junctions at the near and far end of a line, by its name,
    ``blocks`` what stands inside at the ports of a block, by its name and the letter.
    """

    def __init__(
        self, desk: Desk, names: Names, parts: Mapping[str, Part],
        junctions: Mapping[str, tuple[str, str]], blocks: Mapping[str, Mapping[str, End]],
    ) -> None:  # fmt: skip
        self._desk = desk
        self._names = names
        self._parts = parts
        self._junctions = junctions
        self._blocks = blocks

    @classmethod
    def of(cls, desk: Desk, names: Names, circuit: Circuit) -> Self:
        """Give the finder for a circuit that stands."""
        sides = {run.name: (run.near, run.far) for run in circuit.runs if run.name}
        blocks = {
            use.name: {
                letter: _inside(circuit, junction, use.name)
                for letter, junction in use.ports.items()
                if junction
            }
            for use in circuit.blocks
        }
        return cls(desk, names, circuit.parts, sides, blocks)

    def find(self, name: Word, words: list[Word], figure: Item) -> Subject | None:
        """Give the subject that ``name`` and the words behind it mean; None if wrong."""
        part = self._parts.get(name.text)
        if part is not None:
            return self._part(part, words, figure)
        if name.text in self._junctions:
            return self._junction(name, words)
        if name.text in self._blocks:
            return self._block(name, words)
        if name.text in WHOLE and not words:
            return Subject("", "", name.text, WHOLE[name.text])
        whole = " ".join([name.text, *(word.text for word in words)])
        if not (self._names.known(name.text) or self._names.forgiven(name.text)):
            known = [*self._parts, *self._junctions, *self._blocks, *WHOLE]
            self._desk.error(
                "unknown-part",
                name.place,
                f"there is no part or line {name.text}",
                self._desk.ask(name.text, known, "")
                or f"'{whole}' may be asked of a part: P1 {whole}",
            )
        return None

    def _part(self, part: Part, words: list[Word], figure: Item) -> Subject | None:
        letters = [port.letter for port in part.ports if port.letter]  # those of a tank have none
        measures = {measure.name: measure.quantity for measure in part.kind.measures}
        text = " ".join(word.text for word in words)
        if text in measures:
            port = "end" if part.name in self._junctions and text == "pressure" else ""
            return Subject(part.name, port, text, measures[text])
        if not words:
            return self._reading(part, measures, figure)
        port = ""
        if words[0].text in letters and len(words) > 1:
            port, words = words[0].text, words[1:]
            text = " ".join(word.text for word in words)
        if text in AT_PORTS and (port or len(letters) == 1):
            return Subject(part.name, port or letters[0], text, AT_PORTS[text])
        if text in OF_PARTS and not port:
            return Subject(part.name, "", text, OF_PARTS[text])
        if text in AT_PORTS and letters:
            self._desk.error(
                "port-missing",
                spread_words(words),
                f"{text} at which port of {part.name}?",
                f"{article(part.kind.word)} has {', '.join(letters)}: "
                f"write {part.name} {letters[0]} {text}",
                component=part.name,
            )
            return None
        known = [*measures, *(AT_PORTS if letters else ()), *OF_PARTS]
        self._desk.error(
            "unknown-measure",
            spread_words(words),
            f"'{text}' is not something that can be checked",
            self._desk.ask(text, known)
            or f"of {part.name} it can be: {', '.join(dict.fromkeys(known))}",
            component=part.name,
        )
        return None

    def _block(self, name: Word, words: list[Word]) -> Subject | None:
        """``S1 P pressure``: at a port of a block only the pressure can be asked."""
        ports = self._blocks[name.text]
        text = " ".join(word.text for word in words)
        if len(words) == 2 and words[0].text in ports and words[1].text == "pressure":
            end = ports[words[0].text]
            return Subject(end.part, end.port, "pressure", "pressure")
        if name.text in self._desk.silent:
            return None
        inside = next((part for part in self._parts if part.startswith(f"{name.text}/")), "")
        example = f", or of a part inside: {inside} ..." if inside else ""
        letter = next(iter(ports), "P")
        self._desk.error(
            "unknown-measure",
            spread_words(words) if words else name.place,
            f"'{text}' of the block {name.text} is not something that can be checked",
            f"ask for the pressure at a port: {name.text} {letter} pressure{example}",
            component=name.text,
        )
        return None

    def _reading(self, part: Part, measures: dict[str, str], figure: Item) -> Subject | None:
        """``G1 205 bar``: of a part that shows one such figure, its name is left out."""
        quantity = figure.unit.quantity if isinstance(figure, Amount) and figure.unit else ""
        fits = [name for name, of in measures.items() if of == quantity]
        if len(fits) == 1:
            return Subject(part.name, "", fits[0], quantity)
        names = ", ".join(fits or measures or AT_PORTS)
        self._desk.error(
            "measure-missing",
            figure.place,
            f"what of {part.name}?",
            f"say what the figure is, one of: {names}",
            component=part.name,
        )
        return None

    def _junction(self, name: Word, words: list[Word]) -> Subject | None:
        near, far = self._junctions[name.text]
        junction = far
        if len(words) > 1 and words[0].text in ("start", "end"):
            junction = near if words[0].text == "start" else far
            words = words[1:]
        text = " ".join(word.text for word in words)
        if text in ("pressure", ""):
            return Subject(junction, "", "pressure", "pressure")
        self._desk.error(
            "unknown-measure",
            spread_words(words),
            f"'{text}' of {name.text} is not known: the line has no size",
            "its pressure can be checked; for its flow ask a part at its end",
        )
        return None


def _inside(circuit: Circuit, junction: str, block: str) -> End:
    """Give what stands inside a block at a junction."""
    ends = circuit.junctions[junction].ends
    return next((end for end in ends if end.part.startswith(f"{block}/")), ends[0])
