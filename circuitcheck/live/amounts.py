"""Every figure of a text that can be turned: where it stands, what it is, how far it goes."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from circuitcheck.basics.places import Place
from circuitcheck.basics.quantities import from_si
from circuitcheck.circuit.model import Circuit
from circuitcheck.components._parts import Figure, Parameter
from circuitcheck.language.text import (
    Amount,
    Chapter,
    Clause,
    Formula,
    Item,
    Line,
    Negative,
    Product,
    Sentence,
    Sum,
    Term,
    Text,
    Tolerance,
    Word,
)

STEPS = 200
"""Places of a slider, about; own choice."""
_WIDE = 2.0
"""A slider goes to so many times its figure, where no limit is nearer; own choice."""

_CODES = ("VG", "ISO", "SAE", "DIN")
"""Words behind which a number is a designation."""


@dataclass(frozen=True)
class Knob:
    """A figure that can be turned; ``place`` is that of the number alone, without its unit.

    ``least``, ``most`` and ``step`` are in the unit of the text, as ``value``.
    """

    name: str
    place: Place
    value: float
    unit: str
    least: float
    most: float
    step: float
    part: str = ""


def knobs(text: Text, circuit: Circuit | None) -> list[Knob]:
    """Give every figure of a text, in its order; those that are two numbers (4/3) left out."""
    known = dict(_known(circuit)) if circuit is not None else {}
    found = []
    for owner, clause, amount in _amounts(text):
        if amount.pair is not None or _is_code(clause, amount) or not math.isfinite(amount.value):
            continue
        own = known.get((amount.place.line, amount.place.column))
        name = own[0] if own else _name(owner, clause, amount)
        least, most = _ends(amount, own[1] if own else None)
        step = _step(most - least)
        unit = amount.unit.spelling if amount.unit else ""
        part = owner if circuit is not None and owner in circuit.parts else ""
        found.append(Knob(name, amount.number_place, amount.value, unit, least, most, step, part))
    return found


def _is_code(clause: Clause, amount: Amount) -> bool:
    """Whether a number is part of a designation: ISO VG 46."""
    before = [item for item in clause.items if item.place < amount.place]
    return bool(before) and isinstance(before[-1], Word) and before[-1].text in _CODES


def _known(circuit: Circuit) -> Iterator[tuple[tuple[int, int], tuple[str, Parameter | None]]]:
    """Figures of parts and steps by where they stand: name, and what limits them."""
    for part in circuit.parts.values():
        for name, figure in part.figures.items():
            if _own(figure, circuit):
                owner = f"every {part.kind.word}" if figure.origin == "every" else part.name
                at = figure.place.line, figure.place.column
                yield at, (f"{owner} {name}", part.kind.parameter(name))
    for step in circuit.steps:
        for owner, orders in step.orders.items():
            for name, figure in orders.figures.items():
                if _own(figure, circuit):
                    rows = [row for row in circuit.parts[owner].kind.orders if row.name == name]
                    at = figure.place.line, figure.place.column
                    yield at, (f"{step.name}: {owner} {name}", next(iter(rows), None))


def _own(figure: Figure, circuit: Circuit) -> bool:
    return figure.origin != "assumed" and figure.place.file == circuit.file


def _amounts(text: Text) -> Iterator[tuple[str, Clause, Amount]]:
    """Every figure with the name of what its sentence is about, and its clause."""
    for chapter in _chapters(text):
        for clause in chapter.about:
            yield from ((chapter.word, clause, amount) for amount in _inside(clause.items))
        for sentence in chapter.sentences:
            owner = _owner(sentence)
            for clause in sentence.clauses:
                yield from ((owner, clause, amount) for amount in _inside(clause.items))


def _chapters(text: Text) -> Iterator[Chapter]:
    """The chapters that stand in the text itself, those of its blocks and variants with them."""
    inside = [chapter for block in text.blocks for chapter in block.chapters]
    inside += [chapter for variant in text.variants for chapter in variant.chapters]
    for chapter in (*text.chapters, *inside):
        if chapter.place.file == text.file:
            yield chapter


def _owner(sentence: Sentence | Line) -> str:
    if isinstance(sentence, Sentence):
        return " and ".join(name.text for name in sentence.names) or sentence.word
    ends = [str(end.name.text) for end in (*sentence.starts[:1], *sentence.stops[:1])]
    return sentence.name.text if sentence.name else " to ".join(ends)


def _inside(items: tuple[Item, ...]) -> Iterator[Amount]:
    for item in items:
        if isinstance(item, Amount):
            yield item
        elif isinstance(item, Tolerance):
            yield item.amount
        elif isinstance(item, Formula):
            yield from _of_term(item.root)


def _of_term(term: Term) -> Iterator[Amount]:
    if isinstance(term, Amount):
        yield term
    elif isinstance(term, Negative):
        yield from _of_term(term.term)
    elif isinstance(term, Sum | Product):
        for _, below in term.terms:
            yield from _of_term(below)


def _name(owner: str, clause: Clause, amount: Amount) -> str:
    """Name a figure that no part has by the words before it."""
    if owner == "oil" and amount.unit is not None and amount.unit.quantity == "temperature":
        return "oil temperature"
    words: list[str] = []
    for item in clause.items:
        if item.place.line == amount.place.line and item.place.column >= amount.place.column:
            break
        if isinstance(item, Word):
            words.append(item.text)
    return " ".join(dict.fromkeys((owner, *words)))


def _ends(amount: Amount, limits: Parameter | None) -> tuple[float, float]:
    """Give how far a figure can be turned, in the unit of the text."""
    value = amount.value
    if amount.unit is not None and amount.unit.quantity == "temperature":
        return (0.0, 250.0) if amount.unit.canonical == "degF" else (-20.0, 120.0)
    if amount.unit is not None and amount.unit.quantity == "share":
        low, high = min(value, 0.0), max(100.0, value)
    else:
        far = _WIDE * abs(value) or 1.0
        low, high = (-far if value < 0 else 0.0), far
    if limits is None:
        return low, high
    bottom, top = limits.limits
    if amount.unit is not None:
        bottom, top = sorted((from_si(bottom, amount.unit), from_si(top, amount.unit)))
    return min(value, max(low, bottom)), max(value, min(high, top))


def _step(span: float) -> float:
    """Give a step of 1, 2 or 5 of the right size for a span."""
    wanted = span / STEPS
    if not (math.isfinite(wanted) and wanted > 0.0):
        return 1.0
    size = 10.0 ** math.floor(math.log10(wanted))
    return float(f"{next((k for k in (1, 2, 5, 10) if k * size >= wanted * 0.999), 10) * size:.3g}")
