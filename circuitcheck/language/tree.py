"""Parse tree of one sentence to the records of `text`, with what is wrong in its figures."""

from __future__ import annotations

import math
import re
from itertools import pairwise
from typing import Any, cast

from lark import Token, Transformer, v_args
from lark.tree import Meta

from circuitcheck.basics.findings import Finding
from circuitcheck.basics.places import Place
from circuitcheck.basics.quantities import read_unit
from circuitcheck.language.faults import Instead, fault
from circuitcheck.language.sentences import Lines
from circuitcheck.language.text import (
    Amount,
    Blank,
    Clause,
    Formula,
    Item,
    Joint,
    Line,
    LineEnd,
    Negative,
    Product,
    Quote,
    Sentence,
    Sum,
    Term,
    Tolerance,
    ValueName,
    Word,
)


@v_args(meta=True)
class TreeReader(Transformer[Token, Any]):
    """Turns the tree of a sentence that begins at ``start`` of the text into records.

    ``faults`` collects figures that can be read two ways or not at all.
    """

    def __init__(self, lines: Lines, start: int) -> None:
        super().__init__()
        self._lines = lines
        self._start = start
        self.faults: list[Finding] = []

    # ---- places ----------------------------------------------------------------------

    def _place(self, thing: Meta | Token) -> Place:
        first, last = cast(int, thing.start_pos), cast(int, thing.end_pos)
        return self._lines.place(self._start + first, self._start + last)

    def _text(self, meta: Meta) -> str:
        return self._lines.source[self._start + meta.start_pos : self._start + meta.end_pos]

    def _fault(self, slug: str, place: Place, message: str, remedy: str | Instead = "") -> None:
        self.faults.append(fault(slug, place, message, remedy))

    # ---- sentences -------------------------------------------------------------------

    def heading(self, _meta: Meta, children: list[Any]) -> tuple[Clause, ...]:
        return tuple(child for child in children if isinstance(child, Clause))

    def entry(self, meta: Meta, children: list[Any]) -> tuple[Clause, ...]:
        return self.heading(meta, children)

    def _sentence(self, word: str, meta: Meta, children: list[Any]) -> Sentence:
        names: list[Word] = []
        clauses: list[Clause] = []
        for child in children:
            if isinstance(child, list):
                names += child
            elif isinstance(child, Word):
                names.append(child)
            elif isinstance(child, Clause):
                clauses.append(child)
        return Sentence(word, tuple(names), tuple(clauses), self._text(meta), self._place(meta))

    def value(self, meta: Meta, children: list[Any]) -> Sentence:
        return self._sentence("value", meta, children)

    def every(self, meta: Meta, children: list[Any]) -> Sentence:
        return self._sentence("every", meta, children)

    def part(self, meta: Meta, children: list[Any]) -> Sentence:
        return self._sentence("part", meta, children)

    def step(self, meta: Meta, children: list[Any]) -> Sentence:
        first = children[0]
        if isinstance(first, Token):
            children = [Word(str(first)[1:-1], self._place(first)), *children[1:]]
        return self._sentence("step", meta, children)

    def claim(self, meta: Meta, children: list[Any]) -> Sentence:
        return self._sentence("claim", meta, children)

    def trial(self, meta: Meta, children: list[Any]) -> Sentence:
        return self._sentence(str(children[0]), meta, children[1:])

    def accept(self, meta: Meta, children: list[Any]) -> Sentence:
        return self._sentence("accept", meta, children)

    def hint(self, meta: Meta, children: list[Any]) -> Sentence:
        return self._sentence("hint", meta, children)

    def line(self, meta: Meta, children: list[Any]) -> Line:
        name = children.pop(0) if isinstance(children[0], Word) else None
        clauses = tuple(child for child in children if isinstance(child, Clause))
        groups = [child for child in children if isinstance(child, list)]
        through = tuple(end for group in groups[1:-1] for end in group)
        starts, stops = tuple(groups[0]), tuple(groups[-1])
        return Line(name, starts, through, stops, clauses, self._text(meta), self._place(meta))

    # ---- inside a sentence -----------------------------------------------------------

    def names(self, _meta: Meta, children: list[Word]) -> list[Word]:
        return children

    def ends(self, _meta: Meta, children: list[LineEnd]) -> list[LineEnd]:
        return children

    def through(self, _meta: Meta, children: list[list[LineEnd]]) -> list[LineEnd]:
        return children[0]

    def end(self, meta: Meta, children: list[Word]) -> LineEnd:
        return LineEnd(children[0], children[1] if len(children) > 1 else None, self._place(meta))

    def port(self, meta: Meta, children: list[Token]) -> Word:
        return self.word(meta, children)

    def name(self, meta: Meta, children: list[Token]) -> Word:
        return self.word(meta, children)

    def more(self, _meta: Meta, children: list[Clause]) -> Clause:
        return children[0]

    def clause(self, meta: Meta, children: list[Item]) -> Clause:
        for before, item in pairwise(children):
            if isinstance(before, Amount) and isinstance(item, Quote):
                end, start = before.place, item.place
                if (end.end_line, end.end_column) == (start.line, start.column):
                    self.faults.append(inch_mark(before.text, start))
            elif isinstance(before, Amount) and isinstance(item, Amount):
                self._spaced(before, item)
        text = " ".join(self._text(meta).split())
        return Clause(tuple(children), text, self._place(meta))

    def _spaced(self, before: Amount, item: Amount) -> None:
        """Report a figure with a space for the thousands: 1 450 rpm."""
        groups = re.fullmatch(r"[0-9]{1,3} [0-9]{3}(\.[0-9]+)?", f"{before.text} {item.text}")
        if before.unit is None and groups:
            place = before.number_place.upto(item.number_place)
            message = "a figure is written without a space"
            figure = f"{before.text}{item.text}"
            self._fault("spaced-figure", place, message, Instead(f"write {figure}", figure))

    def word(self, _meta: Meta, children: list[Token]) -> Word:
        return Word(str(children[0]), self._place(children[0]))

    def quote(self, _meta: Meta, children: list[Token]) -> Quote:
        return Quote(str(children[0])[1:-1], self._place(children[0]))

    def joint(self, _meta: Meta, children: list[Token]) -> Joint:
        return Joint(tuple(str(children[0]).split("-")), self._place(children[0]))

    def blank(self, meta: Meta, children: list[Token]) -> Blank:
        unit = read_unit(str(children[1])) if len(children) > 1 else None
        return Blank(unit, self._place(meta))

    def tolerance(self, meta: Meta, children: list[Any]) -> Tolerance:
        return Tolerance(self.amount(meta, children[1:]), self._place(meta))

    # ---- figures ---------------------------------------------------------------------

    def number(self, _meta: Meta, children: list[Token]) -> Token:
        return children[0]

    def amount(self, _meta: Meta, children: list[Token]) -> Amount:
        figure = children[0]
        unit = children[1] if len(children) > 1 else None
        value, pair, mark = self._value(figure)
        return Amount(
            str(figure),
            value,
            read_unit(str(unit)) if unit is not None else None,
            self._lines.place(
                self._start + cast(int, figure.start_pos),
                self._start + cast(int, (figure if unit is None else unit).end_pos),
            ),
            self._place(figure),
            self._place(figure if unit is None else unit),
            pair,
            mark,
        )

    def _value(self, figure: Token) -> tuple[float, tuple[float, float] | None, str]:
        """Give value, pair and mark of a figure; what cannot be a figure is a fault."""
        text, place = str(figure), self._place(figure)
        if figure.type == "COMMANUM":
            self._comma(text, place)
            return 0.0, None, ""
        if figure.type == "NUMBER":
            return self._finite(float(text), place), None, ""
        if figure.type == "DIMS":
            first, second = (float(part) for part in text.replace("×", "x").split("x"))
            return self._finite(first, place), (first, self._finite(second, place)), "x"
        whole, ratio = 0.0, text
        if figure.type == "MIXED":
            whole_text, ratio = text.replace("-", " ").split()
            whole = float(whole_text)
        mark = ":" if ":" in ratio else "/"
        above, below = (self._finite(float(part), place) for part in ratio.split(mark))
        if below == 0.0:
            self._fault(
                "divided-by-nothing",
                place,
                f"'{text}' divides by 0",
                "the lower figure of a fraction cannot be 0",
            )
            return 0.0, None, ""
        if figure.type == "MIXED":
            return self._finite(whole, place) + above / below, None, ""
        return above / below, (above, below), mark

    def _finite(self, value: float, place: Place) -> float:
        if math.isfinite(value):
            return value
        self._fault("figure-too-large", place, "this figure is too large")
        return 1.0

    def _comma(self, text: str, place: Place) -> None:
        before, after = text.split(",", 1)
        if len(after.split(".")[0]) == 3 and before != "0":
            whole = before + after
            readings = f"{whole} (thousands)"
            if "." not in after:
                readings += f" or {before}.{after} (decimals)"
            self._fault(
                "comma-in-figure", place, f"'{text}' can be read two ways", f"write {readings}"
            )
        else:
            self._fault(
                "comma-in-figure",
                place,
                "a comma parts clauses; decimals take a point",
                Instead(f"write {before}.{after}", f"{before}.{after}"),
            )

    # ---- sums in brackets ------------------------------------------------------------

    def formula(self, meta: Meta, children: list[Term]) -> Formula:
        inside = self._text(meta).strip()[1:-1]
        return Formula(children[0], inside.strip(), self._place(meta))

    def bracket(self, _meta: Meta, children: list[Term]) -> Term:
        return children[0]

    def sum(self, meta: Meta, children: list[Any]) -> Term:
        terms = _signed(children, "+")
        return terms[0][1] if len(terms) == 1 else Sum(terms, self._place(meta))

    def product(self, meta: Meta, children: list[Any]) -> Term:
        terms = _signed(children, "*")
        return terms[0][1] if len(terms) == 1 else Product(terms, self._place(meta))

    def value_name(self, _meta: Meta, children: list[Token]) -> ValueName:
        return ValueName(str(children[0]), self._place(children[0]))

    def negative(self, meta: Meta, children: list[Any]) -> Negative:
        return Negative(children[1], self._place(meta))


def _signed(children: list[Any], first: str) -> tuple[tuple[str, Term], ...]:
    signs = [first, *(str(sign) for sign in children[1::2])]
    return tuple(zip(signs, children[::2], strict=True))


def inch_mark(figure: str, place: Place) -> Finding:
    """Say that a quote mark straight after ``figure`` opens a text; ``place`` begins at it."""
    mark = Place(place.file, place.line, place.column, place.line, place.column + 1)
    remedy = Instead(f"write {figure} in", " in")
    return fault("inch-mark", mark, '" opens a text; inches are written in', remedy)
