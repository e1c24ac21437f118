"""Opens blocks: what stands inside is put into the circuit's own parts list and lines."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from circuitcheck.basics.places import Use
from circuitcheck.circuit.blocks import BlockForm, block_forms, plugged_ports
from circuitcheck.circuit.desk import Desk, article
from circuitcheck.circuit.dimensions import dimensioned
from circuitcheck.circuit.figures import FigureReader, Wanted, item_text, written
from circuitcheck.circuit.inside import Inside, scopes
from circuitcheck.circuit.model import Assumption
from circuitcheck.circuit.values import Values
from circuitcheck.components._parts import Figure
from circuitcheck.language.text import (
    Amount,
    Chapter,
    Clause,
    Formula,
    Item,
    Line,
    Sentence,
    Text,
    Word,
)

MOST_PARTS = 100_000
"""Parts at most; blocks inside blocks can multiply them. Own choice."""


@dataclass
class Opened:
    """A block in use; ``outside`` and ``inside`` are its ports that lines join on either side."""

    name: Word
    form: BlockForm
    plugged: dict[str, Word] = field(default_factory=dict)
    outside: set[str] = field(default_factory=set)
    inside: set[str] = field(default_factory=set)

    @property
    def kind(self) -> str:
        return self.form.name


@dataclass
class _Gathered:
    """Sentences that come from blocks."""

    every: list[Sentence | Line] = field(default_factory=list)
    lines: list[Sentence | Line] = field(default_factory=list)
    steps: list[Sentence | Line] = field(default_factory=list)
    hints: list[Sentence | Line] = field(default_factory=list)

    def chapters(self) -> list[Chapter]:
        """Give them as chapters of the circuit."""
        rows = {
            "defaults": self.every, "lines": self.lines, "cycle": self.steps,
            "drawing": self.hints,
        }  # fmt: skip
        return [Chapter(word, (), tuple(r), word, r[0].place) for word, r in rows.items() if r]


class BlockOpener:
    """Puts the insides of used blocks into a text; ``opened`` are the uses by name."""

    def __init__(self, desk: Desk, text: Text, figures: FigureReader, values: Values) -> None:
        self._desk = desk
        self._figures = figures
        self._values = values
        self.forms = block_forms(desk, text)
        self.opened: dict[str, Opened] = {}
        self.assumptions: list[Assumption] = []
        self._names: set[str] = set()
        self._parts = 0
        self.full = False
        """Whether there are more parts than are read."""
        self._every: dict[tuple[str, str], list[Clause]] = {}
        """What ``every`` says of a block, by where it stands and the block's name."""
        for sentence in text.sentences("defaults"):
            self._take_every("", sentence)

    def open(self, text: Text) -> Text:
        """Give a text without blocks that says the same."""
        gathered = _Gathered()
        chapters = []
        for chapter in text.chapters:
            if chapter.word == "parts":
                sentences: list[Sentence | Line] = []
                for sentence in chapter.sentences:
                    assert isinstance(sentence, Sentence)
                    sentences += self._part(sentence, (), gathered)
                chapter = replace(chapter, sentences=tuple(sentences))
            chapters.append(chapter)
        return replace(text, chapters=(*chapters, *gathered.chapters()))

    def _part(
        self, sentence: Sentence, chain: tuple[str, ...], gathered: _Gathered
    ) -> list[Sentence]:
        """Give the sentence of a part; of a block, that and all sentences inside it."""
        found = [sentence]
        if self.full:
            return found
        self._parts += len(sentence.names)
        if self._parts > MOST_PARTS:
            self.full = True
            self._desk.error(
                "too-many-parts",
                sentence.place,
                f"this text comes to more than {MOST_PARTS} parts",
                "cut the machine into several circuits; use fewer blocks inside blocks",
            )
            return found
        form = self.form_of(sentence)
        if form is None:
            return found
        if form.name in chain:
            way = " -> ".join([*chain[chain.index(form.name) :], form.name])
            self._desk.error(
                "block-circle",
                sentence.clauses[0].items[0].place,
                f"the block {form.name} is made of itself: {way}",
                "a block cannot stand inside itself; take this part away",
            )
            self._desk.silent.update(name.text for name in sentence.names)
            return found
        for name in sentence.names:
            key = name.text.lower()
            if key not in self._names:  # a name given twice is reported with the other names
                self._names.add(key)
                found += self._use(name, sentence, form, (*chain, form.name), gathered)
        return found

    def form_of(self, sentence: Sentence) -> BlockForm | None:
        """Give the block of which a sentence of ``parts`` makes a part, if it is one."""
        words = sentence.clauses[0].words()
        return self.forms.get(words[0]) if words else None

    def _use(
        self, name: Word, sentence: Sentence, form: BlockForm, chain: tuple[str, ...],
        gathered: _Gathered,
    ) -> list[Sentence]:  # fmt: skip
        use = self.opened[name.text] = Opened(name, form)
        self._fill(use, sentence)
        inside = Inside(name.text, form.ports, Use(name.text, name.place))
        found: list[Sentence] = []
        for chapter in sorted(form.block.chapters, key=lambda one: one.word != "defaults"):
            for row in chapter.sentences:
                if isinstance(row, Line):
                    gathered.lines.append(inside.line(row))
                elif chapter.word == "values":
                    self._values.add([inside.value(row)], inside.prefix)
                elif chapter.word == "defaults":
                    gathered.every.append(every := inside.every(row))
                    self._take_every(name.text, every)
                elif chapter.word == "cycle":
                    gathered.steps.append(inside.step(row))
                elif chapter.word == "drawing":
                    gathered.hints.append(inside.hint(row))
                elif chapter.word == "parts":
                    found += self._part(inside.part(row), chain, gathered)
        return found

    # ---- figures ---------------------------------------------------------------------

    def _fill(self, use: Opened, sentence: Sentence) -> None:
        """Give the figures of a block their values: the part's, every's, the block's own."""
        first, *clauses = sentence.clauses
        before = len(self._desk.findings)
        if len(first.items) > 1:
            item = first.items[1]
            self._desk.error(
                "comma-missing", item.place, f"a comma is missing before '{item_text(item)}'"
            )
        figures: dict[str, Figure | None] = {}
        for clause in clauses:
            self._clause(clause, use, figures)
        for scope in scopes(use.name.place.use):
            own = set(figures)
            for clause in self._every.get((scope, use.kind), ()):
                if clause.words()[:1] and clause.words()[0] not in own:
                    self._clause(clause, use, figures)
                    figure = figures.get(clause.words()[0])
                    if figure is not None:
                        self._assume(use, clause.words()[0], figure.text, f"every {use.kind}")
        for name, form in use.form.figures.items():
            if name not in figures:
                if form.default is None:
                    if len(self._desk.findings) == before:  # else it may be what is wrong
                        self._blank(use, name, form.parameter.unit)
                    figures[name] = None
                else:
                    figures[name] = self._figure(form.default, (), use, name)
                    self._assume(use, name, written(form.default), f"block {use.kind}")
            figure = figures[name]
            worth = None if figure is None else dimensioned(figure.value, figure.quantity)
            self._values.put(f"{use.name.text}/{name}", worth)

    def _take_every(self, scope: str, sentence: Sentence) -> None:
        """Keep what a sentence of ``defaults`` says if it speaks of a block."""
        first, *clauses = sentence.clauses
        if first.text in self.forms:
            self._every.setdefault((scope, first.text), []).extend(clauses)

    def _assume(self, use: Opened, name: str, text: str, origin: str) -> None:
        self.assumptions.append(Assumption(use.name.text, name, text, origin, origin))

    def _figure(
        self, item: Amount | Formula, rest: tuple[Item, ...], use: Opened, name: str
    ) -> Figure | None:
        wanted = Wanted(use.form.figures[name].parameter, article(use.kind))
        figure = self._figures.figure(item, (), wanted)
        if rest and figure is not None:
            message = f"a comma is missing before '{item_text(rest[0])}'"
            self._desk.error("comma-missing", rest[0].place, message)
        return figure

    def _blank(self, use: Opened, name: str, unit: str) -> None:
        figure = f"40 {unit}".rstrip()
        self._desk.error(
            "blank-not-filled",
            use.name.place,
            f"the block {use.kind} needs '{name}'",
            f"write:  {use.name.text}  {use.kind}, {name} {figure}",
        )

    def _clause(self, clause: Clause, use: Opened, figures: dict[str, Figure | None]) -> None:
        ports = plugged_ports(clause)
        if ports is not None:
            self._plug(ports, use)
            return
        words, items = clause.words(), clause.items
        known = use.form.figures
        has = f"it has: {', '.join(known)}" if known else "it has no figures"
        owner = article(use.kind)
        if not words:
            self._of_what(items[0], use)
        elif words[0] not in known:
            remedy = self._desk.ask(words[0], known) or has
            message = f"{owner} has no '{words[0]}'"
            self._desk.error("unknown-property", items[0].place, message, remedy)
        elif words[0] in figures:
            message = f"'{words[0]}' is given twice"
            self._desk.error("said-twice", clause.place, message, "take one of the two away")
        elif len(items) < 2 or not isinstance(items[1], (Amount, Formula)):
            self._figures.missing(clause.place, Wanted(known[words[0]].parameter, owner))
            figures[words[0]] = None
        else:
            figures[words[0]] = self._figure(items[1], items[2:], use, words[0])

    def _of_what(self, item: Item, use: Opened) -> None:
        """Say that a figure of a block has no name, and which one it can mean."""
        unit = item.unit if isinstance(item, Amount) else None
        quantity = unit.quantity if unit is not None else "ratio"
        known = use.form.figures
        meant = [name for name, form in known.items() if form.parameter.quantity == quantity]
        remedy = f"{article(use.kind)} has {', '.join(known) or 'no figures'}"
        remedy += f": write {meant[0]} {item_text(item)}" if meant else ""
        self._desk.error("figure-unnamed", item.place, f"{item_text(item)} of what?", remedy)

    def _plug(self, ports: list[Word], use: Opened) -> None:
        for port in ports:
            if port.text in use.form.ports:
                use.plugged[port.text] = port
            else:
                has = ", ".join(use.form.ports)
                message = f"{article(use.kind)} has no port '{port.text}'"
                self._desk.error("unknown-port", port.place, message, f"it has {has}")

    # ---- ports -----------------------------------------------------------------------

    def check_ports(self) -> None:
        """Report ports of blocks that no line joins, inside or outside."""
        told: set[tuple[str, str]] = set()
        for name, use in self.opened.items():
            for letter, word in use.form.ports.items():
                if letter not in use.inside:
                    if (use.kind, letter) in told:
                        continue
                    told.add((use.kind, letter))
                    self._desk.error(
                        "block-port-open",
                        word.place,
                        f"port {letter} of the block {use.kind} is joined to nothing inside it",
                        f"add a line to it, such as:  from V1 {letter} to {letter}",
                    )
                elif letter not in use.outside and letter not in use.plugged:
                    self._desk.error(
                        "port-open",
                        use.name.place,
                        f"port {letter} of {name} is not joined to anything",
                        f"add a line from {name} {letter}, or close it: {name}, {letter} plugged",
                        component=name,
                    )
