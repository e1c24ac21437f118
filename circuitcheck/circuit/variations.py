"""The chapter ``variations``: what is varied, what is shown, in which steps."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from circuitcheck.basics.places import NOWHERE, Place
from circuitcheck.circuit.desk import Desk, article, spread_words
from circuitcheck.circuit.figures import BARE, FigureReader, Wanted, item_text
from circuitcheck.circuit.model import Circuit
from circuitcheck.circuit.ranges import MOST_POINTS, Axis
from circuitcheck.circuit.subjects import Subjects
from circuitcheck.circuit.varied import Varied, find_varied, joined
from circuitcheck.language.text import Amount, Chapter, Clause, Item, Quote, Sentence, Text, Word

FORM = "write:  vary R1 set from 160 bar to 240 bar, 5 points   or   vary R1 set 160 or 200 bar"
DRAWS = {"at random": "random", "latin hypercube": "latin"}
"""How a heading says that variations are drawn: ``variations "title", 200 at random``."""


@dataclass
class Question:
    """One chapter: values by the name of a figure, results to show, steps (none: all).

    Without draws every value is taken with every other; ``random`` and ``latin`` are numbers
    of variations drawn evenly, or as a Latin hypercube.
    """

    title: str
    vary: dict[str, Axis] = field(default_factory=dict)
    show: list[str] = field(default_factory=list)
    steps: list[str] = field(default_factory=list)
    random: int = 0
    latin: int = 0
    place: Place = NOWHERE


class VariationReader:
    """Reads the chapters ``variations`` of a circuit; what is wrong goes to the desk."""

    def __init__(
        self, desk: Desk, figures: FigureReader, subjects: Subjects, circuit: Circuit,
        sides: Mapping[str, tuple[str, str]],
    ) -> None:  # fmt: skip
        self._desk = desk
        self._figures = figures
        self._subjects = subjects
        self._circuit = circuit
        self._names = {*circuit.parts, *sides}

    def read(self, text: Text) -> list[Question]:
        """Give a question for each chapter, in the order of the text."""
        return [self._chapter(chapter) for chapter in text.named("variations")]

    def _chapter(self, chapter: Chapter) -> Question:
        found = Question("", place=chapter.place)
        for clause in chapter.about:
            self._about(clause, found)
        for sentence in chapter.sentences:
            if isinstance(sentence, Sentence) and sentence.word == "vary":
                self._vary(sentence, found)
            elif isinstance(sentence, Sentence):
                self._show(sentence, found)
        if not found.vary and chapter.sentences and not self._desk.errors:
            self._desk.error("vary-nothing", chapter.place, "nothing is varied here", FORM)
        return found

    def _about(self, clause: Clause, found: Question) -> None:
        first, rest = clause.items[0], clause.items[1:]
        if isinstance(first, Quote) and not rest:
            found.title = first.text
            return
        how = DRAWS.get(" ".join(item_text(item) for item in rest))
        if not isinstance(first, Amount) or how is None:
            self._desk.error(
                "heading", clause.place,
                f"'{clause.text}' does not belong behind the heading variations",
                'write:  variations "which setting?", 200 latin hypercube   or   200 at random',
            )  # fmt: skip
            return
        count = self._count(first)
        if count and how == "latin":
            found.latin = count
        elif count:
            found.random = count

    def _count(self, amount: Amount) -> int:
        count = amount.value
        if amount.unit is not None or count != round(count) or not 1 <= count <= MOST_POINTS:
            message = f"'{item_text(amount)}' is not a number of variations"
            self._desk.error("vary-form", amount.place, message, "it is a whole number from 1 on")
            return 0
        return int(count)

    # ---- show ------------------------------------------------------------------------

    def _show(self, sentence: Sentence, found: Question) -> None:
        for clause in sentence.clauses:
            words = [item for item in clause.items if isinstance(item, Word)]
            if self._in_step(clause, found):
                continue
            if len(words) < len(clause.items):
                self._desk.error("result-name", clause.place, f"'{clause.text}' is not a result",
                                 "write, for example:  show C1 speed, heat")  # fmt: skip
                continue
            words = joined(words, self._names)
            if self._subjects.find(words[0], words[1:], words[-1]) is not None:
                found.show.append(" ".join(word.text for word in words))

    def _in_step(self, clause: Clause, found: Question) -> bool:
        """Take ``in STEP``: only such steps are looked at."""
        first = clause.items[0]
        if not isinstance(first, Word) or first.text != "in":
            return False
        known = [step.name for step in self._circuit.steps]
        name = clause.items[1] if len(clause.items) == 2 else None
        if not isinstance(name, (Word, Quote)):
            self._desk.error("unknown-step", clause.place, "in which step?", "write:  in press")
        elif name.text not in known:
            there = f"there are: {', '.join(known)}" if known else "there are no steps"
            self._desk.error("unknown-step", name.place, f"there is no step '{name.text}'",
                             self._desk.ask(name.text, known) or there)  # fmt: skip
        elif name.text not in found.steps:
            found.steps.append(name.text)
        return True

    # ---- vary ------------------------------------------------------------------------

    def _vary(self, sentence: Sentence, found: Question) -> None:
        first, rest = sentence.clauses[0], list(sentence.clauses[1:])
        at = next((i for i, item in enumerate(first.items) if not isinstance(item, Word)), None)
        words = [item for item in first.items[:at] if isinstance(item, Word)]
        if words and words[-1].text == "from":
            words = words[:-1]
        if at is None or not words:
            self._desk.error("vary-form", first.place, "which figure has which values?", FORM)
            return
        varied = self._varied(words)
        points = 0
        for clause in rest:
            if self._in_step(clause, found):
                continue
            amount = clause.items[0]
            if [item_text(i) for i in clause.items[1:]] in (["points"], ["point"]) and isinstance(
                amount, Amount
            ):
                points = self._count(amount)
                continue
            remedy = "values are joined by 'or'; a range may say its points:  5 points"
            message = f"'{clause.text}' is not part of a variation"
            self._desk.error("vary-form", clause.place, message, remedy)
        if varied is None:
            return
        axis = self._axis(varied, first.items[at:], points, first)
        if varied.text in found.vary:
            place = spread_words(words)
            self._desk.error(
                "said-twice", place, f"{varied.text} is varied twice", "once is enough"
            )
        elif axis is not None:
            found.vary[varied.text] = axis
            self._enough(found, axis, first)

    def _enough(self, found: Question, axis: Axis, clause: Clause) -> None:
        if not (axis.count or found.random or found.latin):
            self._desk.error("vary-form", clause.place, "how many points has this range?",
                             "add, for example:  , 5 points")  # fmt: skip

    def _varied(self, words: list[Word]) -> Varied | None:
        return find_varied(self._desk, self._circuit, self._circuit.steps, words)

    def _axis(
        self, varied: Varied, items: tuple[Item, ...], points: int, clause: Clause
    ) -> Axis | None:
        marks = [item.text for item in items if isinstance(item, Word)]
        given = [item for item in items if not isinstance(item, Word)]
        ranged = marks[:1] == ["to"]
        stepped = ranged and marks[1:] == ["in", "steps", "of"] and len(given) == 3
        listed = all(mark == "or" for mark in marks) and len(marks) == len(given) - 1
        if not (stepped or (ranged and len(marks) == 1 and len(given) == 2) or listed):
            self._desk.error("vary-form", clause.place, f"'{clause.text}' has no values", FORM)
            return None
        ends = given[:2] if ranged else given
        values = self._values(varied, ends)
        if values is None:
            return None
        if stepped:
            return self._stepped(varied, values, given[2])
        if ranged:
            return Axis(values[0], values[1], points)
        return Axis.of(np.array(values))

    def _values(self, varied: Varied, items: Sequence[Item]) -> list[float] | None:
        """SI values; figures without a unit have that of the last one."""
        owner = self._circuit.parts.get(varied.part)
        wanted = Wanted(varied.parameter, "the oil" if owner is None else article(owner.kind.word))
        last = items[-1]
        unit = last.unit if isinstance(last, Amount) else None
        found = []
        for item in items:
            if isinstance(item, Amount) and item.unit is None and varied.quantity not in BARE:
                figure = self._figures.figure(replace(item, unit=unit), (), wanted)
            else:
                figure = self._figures.figure(item, (), wanted)
            if figure is None:
                return None
            found.append(figure.value)
        return found

    def _stepped(self, varied: Varied, ends: list[float], item: Item) -> Axis | None:
        size = None
        if isinstance(item, Amount) and (item.unit is None) == (varied.quantity in BARE):
            size = item.value * (1.0 if item.unit is None else item.unit.factor)
            quantity = varied.quantity if item.unit is None else item.unit.quantity
            fits = {varied.quantity, "temperature_difference"}
            if quantity not in (fits if varied.quantity == "temperature" else {varied.quantity}):
                size = None
        if not size or size < 0.0 or abs(ends[1] - ends[0]) / size > MOST_POINTS:
            message = f"'{item_text(item)}' is not the size of a step"
            self._desk.error("vary-form", item.place, message, FORM)
            return None
        return Axis.stepped(ends[0], ends[1], size)
