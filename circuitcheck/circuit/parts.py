"""The parts list: names, kinds, and what the text and its defaults say of each part."""

from __future__ import annotations

from dataclasses import dataclass

from circuitcheck.basics.findings import Note
from circuitcheck.basics.quantities import show
from circuitcheck.circuit.clauses import LINE, ClauseReader
from circuitcheck.circuit.defaults import Defaults
from circuitcheck.circuit.desk import Desk, article, beginnings, spread
from circuitcheck.circuit.model import Assumption, Unused
from circuitcheck.circuit.names import Names
from circuitcheck.circuit.said import Said
from circuitcheck.circuit.spools import check_spool
from circuitcheck.components._parts import Figure, Kind, Parameter, Part
from circuitcheck.language.text import Amount, Blank, Block, Clause, Sentence, Text, Word

KIND_LIKENESS = 0.75
"""How like a kind a word must be to be taken for a misspelling of it (difflib, 0 to 1)."""


@dataclass
class PartsList:
    """Parts by name, in the order of the text; what was assumed; what is not used yet."""

    parts: dict[str, Part]
    assumptions: list[Assumption]
    unused: list[Unused]


class PartReader:
    """Makes parts from the sentences of ``parts``."""

    def __init__(
        self, desk: Desk, text: Text, names: Names, clauses: ClauseReader, defaults: Defaults
    ) -> None:
        self._desk = desk
        self._names = names
        self._clauses = clauses
        self._defaults = defaults
        self._blocks = {block.name.text: block for block in text.blocks}
        self._lost = text.names_lost
        self._uses_files = any(True for _ in text.named("use"))
        self.found = PartsList({}, [], [])
        self._drives: list[tuple[Part, Word]] = []

    def read(self, text: Text) -> PartsList:
        """Read every sentence of ``parts``, then see who drives whom."""
        for sentence in text.sentences("parts"):
            self._sentence(sentence)
        for part, drive in self._drives:
            self._join_drive(part, drive)
        return self.found

    # ---- one sentence ----------------------------------------------------------------

    def _sentence(self, sentence: Sentence) -> None:
        names = [name for name in sentence.names if self._names.give(name, "part")]
        if not names:
            return
        kind = self._kind(sentence)
        if kind is None:
            self._desk.silent.update(name.text for name in names)
            return
        before = len(self._desk.findings)
        first = sentence.clauses[0]
        ways = self._ways(first, kind)
        said = self._clauses.read(sentence.clauses[1:], kind, first.place.end_line)
        if len(self._desk.findings) > before or not said.right:
            self._desk.silent.update(name.text for name in names)
            return
        for name in names:
            self._make(name, kind, said, ways)

    def _kind(self, sentence: Sentence) -> Kind | None:
        first = sentence.clauses[0]
        words = first.words()
        for _, phrase in beginnings(words):
            kind = self._desk.kinds.get(phrase)
            if kind is not None and phrase not in self._blocks:
                return kind
        if words and words[0] in self._blocks:
            self._of_block(sentence, self._blocks[words[0]])
        elif not words:
            self._desk.error(
                "kind-missing",
                first.place,
                f"what is {sentence.names[0].text}?",
                "say it before the figures, for example:  P1  pump, 16 cc/rev",
            )
        else:
            self._unknown_kind(sentence, words)
        return None

    def _unknown_kind(self, sentence: Sentence, words: list[str]) -> None:
        said = " ".join(words)
        known = [*self._desk.kinds, *self._blocks]
        near = self._desk.nearest(said, known, KIND_LIKENESS) or self._desk.nearest(
            words[0], known, KIND_LIKENESS
        )
        if not near and (self._lost or words[0] in self._desk.silent):
            return
        if self._uses_files and abs(len(near) - len(said)) > 2:
            self._unused(sentence)
            return
        words_of_kinds = dict.fromkeys(kind.word for kind in self._desk.kinds.values())
        there = f"there are: {', '.join(words_of_kinds)}"
        remedy = f"did you mean '{near}'?" if near else there
        place = spread(sentence.clauses[0], 0, len(words) - 1)
        self._desk.error("unknown-kind", place, f"'{said}' is not a kind of part", remedy)

    def _of_block(self, sentence: Sentence, block: Block) -> None:
        """Keep a part that is a block; its blanks must be filled all the same."""
        given = {" ".join(clause.words()) for clause in sentence.clauses[1:]}
        for figure in block.figures:
            name = " ".join(figure.words())
            blanks = [item for item in figure.items if isinstance(item, Blank)]
            if blanks and name not in given:
                unit = f" {blanks[0].unit.spelling}" if blanks[0].unit else ""
                start = sentence.names[0]
                self._desk.error(
                    "blank-not-filled",
                    start.place,
                    f"the block {block.name.text} needs '{name}'",
                    f"write:  {start.text}  {block.name.text}, {name} 40{unit}",
                )
        self._unused(sentence)

    def _unused(self, sentence: Sentence) -> None:
        self.found.unused.append(Unused("parts", sentence.text, sentence.place))
        kind = sentence.clauses[0].text
        for name in sentence.names:
            self._names.unused.add(name.text)
            self._desk.warn(
                "part-not-used",
                name.place,
                f"{name.text} ({kind}) is left out: blocks are not opened yet",
                "the circuit is not computed without it; write its parts out",
                name.text,
            )

    def _ways(self, first: Clause, kind: Kind) -> tuple[int, int] | None:
        """Give ways and positions ("4/3"); nothing else may follow the kind in its clause."""
        count = next(
            count for count, phrase in beginnings(first.words()) if phrase in self._desk.kinds
        )
        rest = first.items[count:]
        if rest and kind.has_ways:
            item = rest[0]
            if isinstance(item, Amount) and item.pair and item.mark == "/" and not item.unit:
                rest = rest[1:]
                if rest:
                    self._clauses.comma_missing(rest[0])
                return int(item.pair[0]), int(item.pair[1])
            if isinstance(item, Word) and item.text[:1].isdigit() and "-" in item.text:
                self._desk.error(
                    "ways-hyphen",
                    item.place,
                    "ways and positions are written with a slash",
                    f"write  {kind.word} {item.text.replace('-', '/')}",
                )
                return None
        if rest:
            self._clauses.comma_missing(rest[0])
        elif kind.has_ways:
            self._desk.error(
                "ways-missing",
                first.place,
                "how many ways and positions?",
                f"write, for example, {kind.word} 4/3",
            )
        return None

    # ---- one part --------------------------------------------------------------------

    def _make(self, name: Word, kind: Kind, said: Said, ways: tuple[int, int] | None) -> None:
        part = Part(name.text, kind, ways=ways, place=name.place)
        if not self.fill(part, said):
            self._desk.silent.add(name.text)
            return
        self.found.parts[name.text] = part
        if said.driven_by is not None:
            self._drives.append((part, said.driven_by))

    def fill(self, part: Part, said: Said) -> bool:
        """Put into a part what is said of it and what holds by default; False if wrong."""
        kind, place = part.kind, part.place
        before = len(self._desk.findings)
        part.figures.update(said.figures)
        part.choices.update(said.choices())
        part.many.update(said.many())
        part.spool.update(said.spool)
        part.plugged = frozenset(said.plugged)
        for name, text, origin in self._defaults.apply(part):
            self.found.assumptions.append(Assumption(part.name, name, text, origin, origin))
        self._fill_choices(part)
        self._fill_figures(part)
        if kind.mistakes is not None:
            for figure, message, remedy in kind.mistakes(part):
                at = part.figures[figure].place if figure in part.figures else place
                self._desk.error("impossible", at, message, remedy, component=part.name)
        if len(self._desk.findings) > before:
            return False
        letters = tuple(port.letter for port in part.ports)
        for at, message, remedy in check_spool(said, letters):
            self._desk.error("unknown-port", at, message, remedy, component=part.name)
        for letter, at in said.plugged.items():
            if letter not in letters:
                remedy = f"it has {', '.join(letters)}"
                message = f"{article(kind.word)} has no port '{letter}'"
                self._desk.error("unknown-port", at, message, remedy, component=part.name)
        return len(self._desk.findings) == before

    def _fill_choices(self, part: Part) -> None:
        for choice in part.kind.choices:
            said = part.many if choice.many else part.choices
            if choice.group not in said and choice.default is not None:
                if choice.many:
                    part.many[choice.group] = (choice.default,)
                else:
                    part.choices[choice.group] = choice.default
                self._assume(part, choice.group, choice.default, "common practice, no source")

    def _fill_figures(self, part: Part) -> None:
        for parameter in part.kind.parameters:
            self._fill_figure(part, parameter)
            if parameter.at is not None and parameter.name in part.figures:
                self._fill_figure(part, parameter.at)
        if part.kind.assumes is None:
            return
        for name, (value, source) in part.kind.assumes(part).items():
            wanted = part.kind.parameter(name)
            if name not in part.figures and wanted is not None:
                self._assume_figure(part, wanted, value, source)

    def _fill_figure(self, part: Part, parameter: Parameter) -> None:
        if parameter.name in part.figures:
            return
        if parameter.default is not None:
            self._assume_figure(part, parameter, parameter.default, parameter.source)
        elif parameter.needed:
            what = "" if parameter.text == parameter.name else f" ({parameter.text})"
            self._desk.error(
                "figure-needed",
                part.place,
                f"{part.name} needs '{parameter.name}'{what}",
                f"write, for example:  {_example(part.kind, parameter)}",
                component=part.name,
            )

    def _assume_figure(self, part: Part, parameter: Parameter, value: float, source: str) -> None:
        text = show(value, parameter.quantity)
        part.figures[parameter.name] = Figure(value, text, parameter.quantity, origin="assumed")
        self._assume(part, parameter.name, text, source)

    def _assume(self, part: Part, name: str, text: str, source: str) -> None:
        self.found.assumptions.append(Assumption(part.name, name, text, "built in", source))

    # ---- drives ----------------------------------------------------------------------

    def _join_drive(self, part: Part, drive: Word) -> None:
        other = self.found.parts.get(drive.text)
        if other is not None and other.kind.drives:
            part.driven_by = drive.text
        elif other is not None:
            self._desk.error(
                "no-drive",
                drive.place,
                f"{drive.text} ({other.kind.word}) drives nothing",
                "a pump is driven by an engine or an electric motor, a winch by a motor",
                component=part.name,
                notes=(Note("given here", other.place),),
            )
        elif not self._names.forgiven(drive.text):
            drives = [name for name, known in self.found.parts.items() if known.kind.drives]
            self._desk.error(
                "unknown-part",
                drive.place,
                f"there is no part {drive.text}",
                self._desk.ask(drive.text, drives or self.found.parts, ""),
                component=part.name,
            )


def _example(kind: Kind, parameter: Parameter) -> str:
    """Give words that show how a parameter is written."""
    if kind.word == LINE and parameter.name == "bore":
        return "hose 12.7 mm"
    number = {"mm": "100", "m": "1", "bar": "210", "L/min": "60", "rpm": "1450"}
    figure = f"{number.get(parameter.unit, '16')} {parameter.unit}".rstrip()
    return figure if parameter.bare else f"{parameter.name} {figure}"
