"""The chapter ``values`` and sums in brackets, with their dimensions."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from dataclasses import dataclass

from circuitcheck.basics.findings import Note
from circuitcheck.basics.places import Place
from circuitcheck.basics.quantities import to_si
from circuitcheck.circuit.desk import Desk
from circuitcheck.circuit.dimensions import (
    PLAIN,
    Dimensioned,
    dimensioned,
    divided,
    multiplied,
    name_of,
)
from circuitcheck.language.text import (
    Amount,
    Formula,
    Negative,
    Product,
    Sentence,
    Sum,
    Term,
    Text,
    ValueName,
    Word,
)

LONGEST_CIRCLE = 50


@dataclass(frozen=True)
class _Given:
    """A value as its sentence gives it, and how many sentences stand above that one."""

    order: int
    name: Word
    root: Term


class Values:
    """Named figures of a text; works out sums that use them."""

    def __init__(self, desk: Desk, text: Text) -> None:
        self._desk = desk
        self._given: dict[str, _Given] = {}
        self._found: dict[str, Dimensioned | None] = {}
        self._order: list[str] = []
        self._put: dict[str, Dimensioned | None] = {}
        self.add(text.sentences("values"), "")

    def put(self, name: str, worth: Dimensioned | None) -> None:
        """Set a value that no sentence of ``values`` gives; None where it is wrong."""
        self._put[name] = worth

    def add(self, sentences: Iterable[Sentence], prefix: str) -> None:
        """Take the values of a block, whose names begin with ``prefix`` (``S1/``)."""
        before = len(self._given)
        for sentence in sentences:
            self._take(sentence, prefix)
        for given in list(self._given.values())[before:]:
            self._found[given.name.text] = self._worth(given.root, given.order)

    def worth(self, formula: Formula) -> Dimensioned | None:
        """Give what a sum in brackets comes to; None if it is wrong, which is reported."""
        return self._worth(formula.root, len(self._given))

    def _take(self, sentence: Sentence, prefix: str) -> None:
        name = sentence.names[0]
        if not re.fullmatch(r"\w+", name.text.removeprefix(prefix)):
            self._desk.error(
                "value-name",
                name.place,
                f"'{name.text}' cannot be the name of a value",
                "in brackets - and / are signs: write letters, digits and _ only",
            )
            self._desk.silent.update(re.findall(r"\w+", name.text))
            return
        before = self._given.get(name.text)
        if before is not None:
            self._desk.error(
                "name-twice",
                name.place,
                f"there is already a value {name.text} (line {before.name.place.line})",
                "give this one another name",
                notes=(Note("given here", before.name.place),),
            )
            return
        if name.text in self._put:
            self._desk.error(
                "name-twice",
                name.place,
                f"{name.text} is a figure of the block",
                "give this one another name",
            )
            return
        items = sentence.clauses[0].items
        if len(sentence.clauses) > 1 or len(items) != 1:
            wrong = items[1].place if len(items) > 1 else sentence.clauses[1].place
            self._value_form(name, wrong)
            return
        item = items[0]
        if isinstance(item, Amount):
            root: Term = item
        elif isinstance(item, Formula):
            root = item.root
        else:
            self._value_form(name, item.place)
            return
        self._given[name.text] = _Given(len(self._given), name, root)
        self._order.append(name.text)

    def _value_form(self, name: Word, place: Place) -> None:
        self._desk.silent.add(name.text)
        self._desk.error(
            "value-form",
            place,
            f"the value {name.text} is one figure or one sum in brackets",
            f"write:  {name.text} 30 kN",
        )

    # ---- working out -----------------------------------------------------------------

    def _worth(self, term: Term, order: int) -> Dimensioned | None:
        """Give the worth of a term of a sentence with ``order`` values above it."""
        if isinstance(term, Amount):
            return self._amount(term)
        if isinstance(term, ValueName):
            return self._value(term, order)
        if isinstance(term, Negative):
            found = self._worth(term.term, order)
            return None if found is None else Dimensioned(-found.value, found.exponents)
        if isinstance(term, Sum):
            return self._sum(term, order)
        return self._product(term, order)

    def _amount(self, amount: Amount) -> Dimensioned | None:
        if amount.mark == "x":
            self._desk.error(
                "sum", amount.place, "two figures with x cannot stand in a sum", "write them apart"
            )
            return None
        if amount.unit is None:
            return Dimensioned(amount.value, PLAIN)
        try:
            found = dimensioned(to_si(amount.value, amount.unit), amount.unit.quantity)
        except ValueError as error:
            self._desk.error("figure", amount.place, str(error))
            return None
        if found is None:
            self._desk.error(
                "sum",
                amount.place,
                "temperatures are points of a scale and cannot be added or multiplied",
                "a difference of temperatures is written K",
            )
        return found

    def _value(self, name: ValueName, order: int) -> Dimensioned | None:
        if name.text in self._put:
            return self._put[name.text]
        given = self._given.get(name.text)
        if given is None:
            scope = name.text.rpartition("/")[0]
            known = [n for n in (*self._put, *self._given) if n.rpartition("/")[0] == scope]
            if name.text not in self._desk.silent:
                self._desk.error(
                    "unknown-value",
                    name.place,
                    f"there is no value {name.text}",
                    self._desk.ask(name.text, known, "")
                    or f"give it under values:  {name.text} 30 kN",
                )
            return None
        if given.order >= order:
            self._report_forward(name, given, order)
            return None
        return self._found[name.text]

    def _report_forward(self, name: ValueName, given: _Given, order: int) -> None:
        circle = self._circle(name.text, order)
        if circle:
            self._desk.error(
                "value-circle",
                name.place,
                f"{circle[0]} is made of itself: {' -> '.join(circle)}",
                "give one of them as a figure",
            )
        else:
            self._desk.error(
                "value-before-given",
                name.place,
                f"{name.text} is used before it is given (line {given.name.place.line})",
                f"move the sentence of {name.text} up",
            )

    def _circle(self, start: str, order: int) -> list[str]:
        """Give the way from the value in place ``order`` over ``start`` back to it, if any.

        Circles of more than `LONGEST_CIRCLE` values are not sought.
        """
        goal = self._order[order]
        came: dict[str, str] = {start: goal}
        todo = [start]
        while todo and len(came) <= LONGEST_CIRCLE:
            name = todo.pop()
            if name == goal:
                way = [goal]
                while (before := came[way[-1]]) != goal:
                    way.append(before)
                return [goal, *reversed(way)]
            for used in _names_in(self._given[name].root):
                if used in self._given and used not in came:
                    came[used] = name
                    todo.append(used)
        return []

    def _sum(self, term: Sum, order: int) -> Dimensioned | None:
        worths = [self._worth(part, order) for _, part in term.terms]
        total: Dimensioned | None = None
        for (sign, part), worth in zip(term.terms, worths, strict=True):
            if worth is None:
                return None
            if total is None:
                total = worth
            elif total.exponents != worth.exponents:
                deed = "added to" if sign == "+" else "taken from"
                self._desk.error(
                    "sum-dimension",
                    part.place,
                    f"{name_of(worth.exponents)} cannot be {deed} {name_of(total.exponents)}",
                    "both must be of one kind",
                )
                return None
            else:
                value = total.value + (worth.value if sign == "+" else -worth.value)
                total = Dimensioned(value, total.exponents)
        return self._finite(total, term)

    def _product(self, term: Product, order: int) -> Dimensioned | None:
        worths = [self._worth(part, order) for _, part in term.terms]
        total: Dimensioned | None = None
        for (sign, part), worth in zip(term.terms, worths, strict=True):
            if worth is None:
                return None
            if total is None:
                total = worth
            elif sign == "*":
                total = multiplied(total, worth)
            elif worth.value == 0.0:
                self._desk.error("sum", part.place, "this is 0, and nothing can be divided by it")
                return None
            else:
                total = divided(total, worth)
        return self._finite(total, term)

    def _finite(self, total: Dimensioned | None, term: Term) -> Dimensioned | None:
        if total is not None and not math.isfinite(total.value):
            self._desk.error("sum", term.place, "this sum comes to too large a figure")
            return None
        return total


def _names_in(term: Term) -> list[str]:
    """Names of values that a term uses."""
    if isinstance(term, ValueName):
        return [term.text]
    if isinstance(term, Negative):
        return _names_in(term.term)
    if isinstance(term, (Sum, Product)):
        return [name for _, part in term.terms for name in _names_in(part)]
    return []
