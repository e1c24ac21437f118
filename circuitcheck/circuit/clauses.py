"""Reads the clauses of a part, a line or an ``every`` with the dictionary of its kind."""

from __future__ import annotations

from itertools import takewhile

from circuitcheck.basics.places import Place
from circuitcheck.circuit.desk import Desk, article, beginnings, spread
from circuitcheck.circuit.figures import FigureReader, Wanted, item_text, written
from circuitcheck.circuit.said import Phrase, Said, choice_with, phrases, what_it_has
from circuitcheck.circuit.spools import read_spool
from circuitcheck.components._parts import Figure, Kind, Parameter
from circuitcheck.language.text import Amount, Clause, Formula, Item, Joint, Word

LINE = "line"
"""Word of the kind that a size in the line schedule makes."""

AFTER_FIGURE = ("at", "to", "over", "or")


class ClauseReader:
    """Reads clauses into a `Said`; what is wrong goes to the desk."""

    def __init__(self, desk: Desk, figures: FigureReader) -> None:
        self._desk = desk
        self._figures = figures

    def read(self, clauses: tuple[Clause, ...], kind: Kind, last_line: int) -> Said:
        """Read all clauses of a sentence; ``last_line`` is where the clause before them ends."""
        said = Said(kind)
        for clause in clauses:
            if clause.place.line > last_line and self._next_sentence(clause, kind):
                said.right = False
                break
            self.clause(clause, said)
            last_line = clause.place.end_line
        return said

    def clause(self, clause: Clause, said: Said) -> None:
        """Read one clause."""
        before = len(self._desk.findings)
        self._clause(clause, said)
        said.right = said.right and len(self._desk.findings) == before

    def _clause(self, clause: Clause, said: Said) -> None:
        items = clause.items
        lead = [_lead_text(item) for item in takewhile(_is_lead, items)]
        if len(lead) == len(items) and self._phrase(clause, said):
            return
        if lead[:2] == ["driven", "by"] and said.kind.driven:
            self._driven(clause, said)
        elif "with" in lead and self._partner(clause, lead, said):
            return
        elif lead[-1:] == ["plugged"] and len(lead) == len(items):
            self._plugged(clause, said)
        elif lead[:1] == ["at"] and said.kind.positions is not None:
            read_spool(self._desk, clause, said)
        elif lead:
            self._named(clause, lead, said)
        else:
            self._bare(clause, said)

    def _next_sentence(self, clause: Clause, kind: Kind) -> bool:
        """Report a clause on a line of its own that begins like the next part."""
        words = clause.words()
        if len(words) < 2 or self._knows(kind, clause, words):
            return False
        if not any(phrase in self._desk.kinds for _, phrase in beginnings(words[1:])):
            return False
        self._desk.silent.add(words[0])
        self._desk.error(
            "comma-at-end",
            clause.items[0].place,
            f"'{words[0]} {words[1]}' looks like the next part",
            "take away the comma at the end of the line above",
        )
        return True

    def _knows(self, kind: Kind, clause: Clause, words: list[str]) -> bool:
        named = any(kind.parameter(phrase) for _, phrase in beginnings(words))
        return named or choice_with(kind, clause.text) is not None

    # ---- words -----------------------------------------------------------------------

    def _phrase(self, clause: Clause, said: Said) -> bool:
        """Take a clause that is a phrase of a choice group."""
        group = choice_with(said.kind, clause.text)
        if group is None:
            return False
        for phrase in said.phrases:
            if phrase.text == clause.text:
                self._desk.error(
                    "said-twice", clause.place, f"'{clause.text}' is said twice", "take one away"
                )
            elif phrase.group is group and not group.many:
                self._desk.error(
                    "choice-twice",
                    clause.place,
                    f"'{phrase.text}' and '{clause.text}' exclude each other",
                    f"{article(said.kind.word)} has one of: {', '.join(group.options)}",
                )
        said.phrases.append(Phrase(group, clause.text, clause.place))
        return True

    def _driven(self, clause: Clause, said: Said) -> None:
        names = clause.items[2:]
        if len(names) != 1 or not isinstance(names[0], Word):
            self._desk.error(
                "driven-by", clause.place, "driven by what?", "write one part:  driven by E1"
            )
        elif said.driven_by is not None:
            self._desk.error("said-twice", clause.place, "'driven by' is said twice")
        else:
            said.driven_by = names[0]

    def _partner(self, clause: Clause, lead: list[str], said: Said) -> bool:
        """Take a phrase that names another part: ``power sum with P2``."""
        together, at = said.kind.partnership, lead.index("with")
        if together is None or " ".join(lead[:at]) != together.phrase:
            return False
        names = clause.items[at + 1 :]
        if len(names) != 1 or not isinstance(names[0], Word):
            remedy = f"write one part:  {together.phrase} with P2"
            self._desk.error("partner", clause.place, f"{together.phrase} with what?", remedy)
        else:
            said.partner = names[0]
            self._phrase(Clause(clause.items[:at], together.phrase, clause.place), said)
        return True

    def _plugged(self, clause: Clause, said: Said) -> None:
        for item in clause.items[:-1]:
            ports = item.ports if isinstance(item, Joint) else (_lead_text(item),)
            for letter in ports:
                if letter != "and":
                    said.plugged[letter] = item.place

    # ---- figures ---------------------------------------------------------------------

    def _named(self, clause: Clause, lead: list[str], said: Said) -> None:
        """``bore 80 mm``: the longest name that the kind knows, then its figure."""
        items = clause.items
        for end, phrase in beginnings(lead):
            parameter = said.kind.parameter(phrase)
            if parameter is not None:
                wanted = Wanted(parameter, article(said.kind.word))
                if end == len(items):
                    self._figures.missing(clause.place, wanted)
                elif parameter.quantity in ("code", "file"):
                    self._take(items[end], items[end + 1 :], wanted, said)
                elif end < len(lead) and not isinstance(items[end], Amount):
                    self._stray_word(items[end], said.kind, phrase)
                else:
                    self._take(items[end], items[end + 1 :], wanted, said)
                return
        self._unknown(clause, lead, said.kind)

    def _stray_word(self, item: Item, kind: Kind, name: str) -> None:
        if item_text(item) in ("to", "of", "is", "at", "from"):
            remedy = f"write the name and the figure: {name} 210 bar"
        else:
            remedy = f"'{name}' of {article(kind.word)} takes a figure"
        self._desk.error(
            "stray-word", item.place, f"'{item_text(item)}' does not belong here", remedy
        )

    def _unknown(self, clause: Clause, lead: list[str], kind: Kind) -> None:
        known = [p.name for p in kind.parameters]
        known += [p.at.name for p in kind.parameters if p.at is not None]
        known += phrases(kind)
        said = " ".join(lead)
        remedy = self._desk.ask(said, known)
        message = f"{article(kind.word)} has no '{said}'"
        if said in known:
            message = f"'{said}' stands alone, nothing follows it"
            remedy = f"put a comma behind it:  {said}, ..."
        if not remedy and kind.driven is False and lead[:1] == ["driven"]:
            remedy = "only pumps and what a motor turns are driven; leave this out"
        if not remedy and len(lead) == len(clause.items) and phrases(kind):
            remedy = f"it can be: {', '.join(phrases(kind))}"
        elif not remedy and what_it_has(kind):
            remedy = f"it has: {what_it_has(kind)}"
        self._desk.error(
            "unknown-property",
            spread(clause, 0, len(lead) - 1),
            message,
            remedy,
        )

    def _bare(self, clause: Clause, said: Said) -> None:
        """A figure without a name: its dimension says which one it is."""
        first, rest, kind = clause.items[0], clause.items[1:], said.kind
        if not isinstance(first, (Amount, Formula)):
            self._desk.error(
                "clause-unread",
                clause.place,
                f"this says nothing of {article(kind.word)}",
                f"it has: {what_it_has(kind)}",
            )
            return
        if self._scale(clause, said) or self._counted(first, rest, said):
            return
        if isinstance(first, Formula):
            self._bare_sum(first, rest, said)
            return
        parameter = self._bare_parameter(first, kind)
        if parameter is None:
            self._of_what(first, rest, kind)
            return
        self._take(first, rest, Wanted(parameter, article(kind.word)), said)

    def _bare_sum(self, first: Formula, rest: tuple[Item, ...], said: Said) -> None:
        """A sum without a name: what it can mean by its dimension."""
        bare = [parameter for parameter in said.kind.parameters if parameter.bare]
        fits: list[Parameter] | None = bare
        if len(bare) > 1:
            fits = self._figures.fitting(first, bare)
        if fits is None:
            said.right = False
        elif len(fits) == 1:
            self._take(first, rest, Wanted(fits[0], article(said.kind.word)), said)
        else:
            self._of_what(first, rest, said.kind)

    def _bare_parameter(self, item: Item, kind: Kind) -> Parameter | None:
        bare = [parameter for parameter in kind.parameters if parameter.bare]
        if not isinstance(item, Amount):
            return None
        quantity = item.unit.quantity if item.unit is not None else "ratio"
        fits = [parameter for parameter in bare if parameter.quantity == quantity]
        if kind.word == LINE and quantity == "length":
            # the bore stands behind hose, tube or pipe, so a bare length is the length
            return kind.parameter("length")
        return fits[0] if len(fits) == 1 else None

    def _scale(self, clause: Clause, said: Said) -> bool:
        """``0 to 315 bar``: the scale of an instrument; its end is the range."""
        items = clause.items
        parameter = said.kind.parameter("range")
        if parameter is None or len(items) < 3:
            return False
        low, to, high = items[0], items[1], items[2]
        if not (isinstance(low, Amount) and isinstance(to, Word) and to.text == "to"):
            return False
        before = len(self._desk.findings)
        self._take(high, items[3:], Wanted(parameter, article(said.kind.word)), said)
        if len(self._desk.findings) == before and isinstance(high, Amount):
            same = low.unit is None or low.unit == high.unit
            if not same or low.value >= high.value:
                self._desk.error(
                    "scale",
                    spread(clause, 0, 2),
                    "a scale runs from its low end to its high end, in one unit",
                    "for example:  0 to 315 bar",
                )
        return True

    def _counted(self, first: Item, rest: tuple[Item, ...], said: Said) -> bool:
        """``3 bends``: a count before its name."""
        if not (isinstance(first, Amount) and first.unit is None and rest):
            return False
        word = rest[0].text if isinstance(rest[0], Word) else ""
        for name in (word, f"{word}s"):
            parameter = said.kind.parameter(name) if word else None
            if parameter is not None and parameter.quantity == "count":
                self._take(first, rest[1:], Wanted(parameter, article(said.kind.word)), said)
                return True
        return False

    def _of_what(self, item: Amount | Formula, rest: tuple[Item, ...], kind: Kind) -> None:
        """Say that a figure without a name can mean several things, or none."""
        if isinstance(item, Formula):
            self._desk.error("figure-unnamed", item.place, f"({item.text}) of what?")
            return
        if item.unit is None:
            if rest and isinstance(rest[0], Word) and rest[0].text not in AFTER_FIGURE:
                self._figures.unknown_unit(rest[0])
            else:
                remedy = f"{article(kind.word)} has {what_it_has(kind)}"
                self._desk.error("figure-unnamed", item.place, f"{item.text} of what?", remedy)
            return
        quantity, said = item.unit.quantity, written(item)
        named = [p.name for p in kind.parameters if p.quantity == quantity and not p.bare]
        bare = [p.name for p in kind.parameters if p.bare]
        if (
            any(measure.quantity == quantity for measure in kind.measures)
            and bare
            and quantity in ("flow", "force", "torque", "power")
        ):
            given = " and ".join(bare)
            remedy = f"{article(kind.word)} is given by {given}; put its {quantity} under claims"
        elif rest and item_text(rest[0]) in named:
            remedy = f"the name stands first: {item_text(rest[0])} {said}"
        elif named:
            remedy = f"{article(kind.word)} has {', '.join(named)}: write {named[0]} {said}"
        else:
            remedy = f"nothing of {article(kind.word)} is given in {item.unit.canonical}"
        self._desk.error("figure-unnamed", item.place, f"{said} of what?", remedy)

    def _take(self, item: Item, rest: tuple[Item, ...], wanted: Wanted, said: Said) -> None:
        """Take a figure, and the second one after "at"."""
        figure = self._figures.figure(item, rest, wanted)
        if figure is None:
            said.right = False
            return
        self.keep(figure, wanted, said)
        if wanted.quantity == "temperature_difference" and len(rest) == 2:
            words = [item_text(word) for word in rest]
            if words == ["over", "ambient"]:
                return
        if not rest:
            return
        at = wanted.parameter.at
        if item_text(rest[0]) == "at" and at is not None and len(rest) > 1:
            self._take(rest[1], rest[2:], Wanted(at, article(said.kind.word)), said)
        else:
            self.comma_missing(rest[0])

    def keep(self, figure: Figure, wanted: Wanted, said: Said) -> None:
        """Put a figure where it belongs; the same one twice is a mistake."""
        if wanted.name in said.figures:
            before = said.figures[wanted.name]
            self._desk.error(
                "said-twice",
                figure.place,
                f"'{wanted.name}' is given twice",
                f"{before.text} stands before it; take one away",
            )
        said.figures[wanted.name] = figure

    def comma_missing(self, item: Item) -> None:
        """Say that a new clause begins without a comma."""
        place: Place = item.place
        self._desk.error("comma-missing", place, f"a comma is missing before '{item_text(item)}'")


def _is_lead(item: Item) -> bool:
    return isinstance(item, (Word, Joint))


def _lead_text(item: Item) -> str:
    return "-".join(item.ports) if isinstance(item, Joint) else item_text(item)
