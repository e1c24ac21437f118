"""The parts list: names, kinds, and what the text and its defaults say of each part."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from circuitcheck.basics.findings import Note
from circuitcheck.basics.quantities import show
from circuitcheck.circuit.clauses import LINE, ClauseReader
from circuitcheck.circuit.defaults import Defaults
from circuitcheck.circuit.desk import Desk, article
from circuitcheck.circuit.kind_reader import KindReader
from circuitcheck.circuit.listed import Listed
from circuitcheck.circuit.model import Assumption
from circuitcheck.circuit.names import Names
from circuitcheck.circuit.opening import Opened
from circuitcheck.circuit.partners import pair
from circuitcheck.circuit.said import Said
from circuitcheck.circuit.spools import check_spool
from circuitcheck.components._parts import Figure, Kind, Parameter, Part
from circuitcheck.language.text import Clause, Quote, Sentence, Text, Word


@dataclass
class PartsList:
    """Parts by name, in the order of the text; what was assumed."""

    parts: dict[str, Part]
    assumptions: list[Assumption]


class PartReader:
    """Makes parts from the sentences of ``parts``."""

    def __init__(
        self, desk: Desk, text: Text, names: Names, clauses: ClauseReader, defaults: Defaults,
        blocks: Mapping[str, Opened],
    ) -> None:  # fmt: skip
        self._desk = desk
        self._names = names
        self._clauses = clauses
        self._kinds = KindReader(desk, text, clauses)
        self._defaults = defaults
        self._blocks = blocks
        self.found = PartsList({}, [])
        self._drives: list[tuple[Part, Word]] = []
        self._partners: list[tuple[Part, Word]] = []

    def read(self, text: Text) -> PartsList:
        """Read every sentence of ``parts``, then see who drives whom."""
        for sentence in text.sentences("parts"):
            self._sentence(sentence)
        for part, drive in self._drives:
            self._join_drive(part, drive)
        for part, partner in self._partners:
            self._join_partner(part, partner)
        return self.found

    # ---- one sentence ----------------------------------------------------------------

    def _sentence(self, sentence: Sentence) -> None:
        names = [name for name in sentence.names if self._names.give(name, "part")]
        for name in names:
            self._check_name(name)
        if not names or names[0].text in self._blocks:
            return
        first = sentence.clauses[0]
        before = len(self._desk.findings)
        listed = self._kinds.read(sentence.names[0], first)
        if listed is None:
            self._desk.silent.update(name.text for name in names)
            return
        clauses, purpose = self._purpose(sentence.clauses[1:])
        said = self._clauses.read(clauses, listed.kind, first.place.end_line)
        if len(self._desk.findings) > before or not said.right:
            self._desk.silent.update(name.text for name in names)
            return
        for name in names:
            self._make(name, said, listed, purpose)

    def _purpose(self, clauses: tuple[Clause, ...]) -> tuple[tuple[Clause, ...], str]:
        """Take out what a part is for, in quotes: ``C1 cylinder, "press ram", bore ...``."""
        quoted = [c for c in clauses if len(c.items) == 1 and isinstance(c.items[0], Quote)]
        for again in quoted[1:]:
            message = "what this part is for is said twice"
            self._desk.error("said-twice", again.place, message, "take one away")
        said = [item.text for c in quoted for item in c.items if isinstance(item, Quote)]
        purpose = " ".join(said[0].split()) if said else ""
        return tuple(c for c in clauses if c not in quoted), purpose

    def _check_name(self, name: Word) -> None:
        """Report a slash in a name that is not given by the block in which the part stands."""
        use = name.place.use
        own = name.text if use is None else name.text.removeprefix(f"{use.name}/")
        if "/" in own:
            self._desk.error(
                "slash-in-name",
                name.place,
                f"'{own}' cannot be the name of a part",
                "a slash leads to a part inside a block; write the part into the block",
            )

    # ---- one part --------------------------------------------------------------------

    def _make(self, name: Word, said: Said, listed: Listed, purpose: str) -> None:
        part = Part(name.text, listed.kind, ways=listed.ways, place=name.place)
        part.purpose = purpose
        part.partner = said.partner.text if said.partner is not None else None
        if not self.fill(part, said, listed):
            self._desk.silent.add(name.text)
            return
        self.found.parts[name.text] = part
        if said.driven_by is not None:
            self._drives.append((part, said.driven_by))
        if said.partner is not None:
            self._partners.append((part, said.partner))

    def fill(self, part: Part, said: Said, listed: Listed | None = None) -> bool:
        """Put into a part what is said of it and what holds by default; False if wrong.

        Its own words come before those of the catalogue, these before ``defaults``.
        """
        kind, place = part.kind, part.place
        before = len(self._desk.findings)
        part.figures.update(said.figures)
        part.choices.update(said.choices())
        part.many.update(said.many())
        part.spool.update(said.spool)
        part.plugged = frozenset(said.plugged)
        if listed is not None:
            for name, text in listed.apply(part):
                row = Assumption(part.name, name, text, listed.origin, listed.origin)
                self.found.assumptions.append(row)
        for name, text, origin in self._defaults.apply(part):
            self.found.assumptions.append(Assumption(part.name, name, text, origin, origin))
        self._fill_choices(part)
        self._fill_figures(part)
        if kind.mistakes is not None:
            for figure, message, remedy in kind.mistakes(part):
                # a default stands nowhere in the text: then the part is to blame
                at = part.figures[figure].place if part.given(figure) else place
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

    # ---- partners --------------------------------------------------------------------

    def _join_partner(self, part: Part, word: Word) -> None:
        """See what two parts do together, said of one of them or of both."""
        other = self.found.parts.get(word.text)
        if other is None:
            if not self._names.forgiven(word.text):
                alike = [n for n, p in self.found.parts.items() if p.kind is part.kind]
                remedy = self._desk.ask(word.text, alike or self.found.parts, "")
                message = f"there is no part {word.text}"
                self._desk.error("unknown-part", word.place, message, remedy, component=part.name)
            return
        wrong = pair(part, other, self._assume)
        if wrong:
            message, remedy = wrong[0]
            notes = (Note("given here", other.place),)
            self._desk.error(
                "partner", word.place, message, remedy, component=part.name, notes=notes
            )


def _example(kind: Kind, parameter: Parameter) -> str:
    """Give words that show how a parameter is written."""
    if kind.word == LINE and parameter.name == "bore":
        return "hose 12.7 mm"
    number = {"mm": "100", "m": "1", "bar": "210", "L/min": "60", "rpm": "1450"}
    figure = f"{number.get(parameter.unit, '16')} {parameter.unit}".rstrip()
    return figure if parameter.bare else f"{parameter.name} {figure}"
