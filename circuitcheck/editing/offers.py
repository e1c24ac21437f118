"""What is offered to somebody who writes: a word or phrase, its sort, what it is for."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from circuitcheck.basics.quantities import units_of
from circuitcheck.basics.unit_table import UNITS
from circuitcheck.components import kinds
from circuitcheck.components._parts import Kind, Parameter, Part
from circuitcheck.editing.cursor import Cursor
from circuitcheck.editing.known import Known
from circuitcheck.language.text import Block

_AT_REST = ("a", "centre", "b", "rest")
"""Positions of spools whose parts cannot be made yet."""


class Offer(NamedTuple):
    """A word or phrase; ``sort`` is "heading", "keyword", "kind", "block", "figure", "choice",
    "name", "port", "position", "measure", "unit", "step", "value", "rule" or "file"."""

    label: str
    sort: str
    about: str = ""


def keywords(*words: str) -> Iterator[Offer]:
    """Offer words that join others."""
    return (Offer(word, "keyword") for word in words)


def units(*quantities: str) -> Iterator[Offer]:
    """Offer the units of quantities, the usual ones first."""
    for quantity in quantities:
        for unit in units_of(quantity):
            yield Offer(unit, "unit", quantity.replace("_", " "))


def kind_in(words: list[str]) -> Kind | None:
    """Give the kind of part that some words begin with."""
    known = (kinds().get(" ".join(words[:count])) for count in range(len(words), 0, -1))
    return next((kind for kind in known if kind is not None), None)


def names(known: Known, holder: str = "", through: bool = False) -> Iterator[Offer]:
    """Offer parts, of the circuit or of a block; ``through``: those that may stand in a run."""
    parts, ports = known.inside(holder)
    for name in parts:
        kind = known.kind_of(name) if not holder else None
        word = kind.word if kind is not None else known.kind_words.get(name, "part")
        if not through or kind is None or kind.through is not None:
            yield Offer(name, "name", word)
    if not holder and not through:
        inside = (name for name in known.parts if "/" in name)
        yield from (Offer(name, "name", known.parts[name].kind.word) for name in inside)
    if not through:
        yield from (Offer(port, "port", f"port of {holder}") for port in ports)


# ---- clauses of a part ------------------------------------------------------------------------


def clauses_of(
    kind: Kind, here: Cursor, part: Part | None, drives: Iterable[str], values: Iterable[Offer]
) -> Iterator[Offer]:
    """Offer what a clause about a part of a kind could go on with."""
    words, sorts = here.words, here.sorts
    if words[:2] == ["driven", "by"]:
        yield from (Offer(name, "name", "drives") for name in drives)
        return
    if words[:1] == ["at"] and kind.positions is not None:
        if len(words) == 1:
            yield from _positions(part)
        return
    if "number" in sorts or "(" in words:
        yield from _behind_figure(kind, words, sorts)
        yield from values if words.count("(") > words.count(")") else ()
        return
    if words and kind.parameter(" ".join(words)) is not None:
        yield from values
    for one in kind.parameters:
        yield Offer(one.name, "figure", _of_figure(one))
    for choice in kind.choices:
        yield from (Offer(option, "choice", choice.group) for option in choice.options)
    if kind.driven:
        yield Offer("driven by", "keyword", "what turns it")
    if kind.partnership is not None:
        yield Offer(f"{kind.partnership.phrase} with", "keyword", "another part of the kind")
    if kind.positions is not None:
        yield Offer("at", "keyword", "ports that a position joins: at a P-A B-T")
    if kind.word != "line":
        yield Offer("plugged", "keyword", "a port with nothing on it: B plugged")


def _positions(part: Part | None) -> Iterator[Offer]:
    found = _AT_REST if part is None else (*part.positions, "rest")
    return (Offer(name, "position", "position") for name in dict.fromkeys(found))


def _behind_figure(kind: Kind, words: list[str], sorts: list[str]) -> Iterator[Offer]:
    """Offer units behind a number, and "at" behind a figure that has a second one."""
    lead = words[: next((i for i, sort in enumerate(sorts) if sort == "number"), 0)]
    named = kind.parameter(" ".join(lead)) if lead else None
    bare = [p for p in kind.parameters if p.bare or kind.word == "line"]
    fits = [named] if named is not None else bare
    if "at" in words[len(lead) :]:
        fits = [p.at for p in fits if p.at is not None]
    if sorts[-1:] == ["number"]:
        yield from units(*dict.fromkeys(p.quantity for p in fits if p.quantity in UNITS))
    elif any(p.at is not None for p in fits) and "at" not in words:
        yield Offer("at", "keyword", "the second figure: 60 L/min at 6 bar")


def _of_figure(one: Parameter) -> str:
    unit = f" [{one.unit}]" if one.unit else ""
    return f"{one.text}{unit}{', must be said' if one.needed else ''}"


def figures_of_block(block: Block, here: Cursor) -> Iterator[Offer]:
    """Offer the figures of a block where a part is made from it."""
    if "number" in here.sorts:
        named = [c for c in block.figures if c.words()[:1] == here.words[:1]]
        unit = next((getattr(c.items[-1], "unit", None) for c in named), None)
        yield from units(unit.quantity) if unit is not None else ()
        return
    for clause in block.figures:
        yield from (Offer(word, "figure", clause.text) for word in clause.words()[:1])
    yield from keywords("plugged")


# ---- the cycle ----------------------------------------------------------------------------------


def ordered(known: Known, holder: str) -> Iterator[Offer]:
    """Offer the parts that a step can say something of."""
    for offer in names(known, holder):
        kind = None if holder else known.kind_of(offer.label)
        if kind is None or kind.orders or kind.poses or kind.positions is not None:
            yield offer


def orders(known: Known, here: Cursor) -> Iterator[Offer]:
    """Offer what a step can say of the part with which the clause begins."""
    words = here.words
    kind, part = known.kind_of(words[0]), known.parts.get(words[0])
    if kind is None:
        yield from (*keywords("at"), *_positions(None))
    elif words[-1] == "at" and kind.positions is not None:
        yield from _positions(part)
    elif here.sorts[-1:] == ["number"]:
        said = " ".join(words[1:-1])
        order = next((o for o in kind.orders if o.name == said), None)
        spool = kind.positions is not None
        yield from units(order.quantity if order else "share") if order or spool else ()
    elif "number" not in here.sorts:
        if kind.positions is not None:
            yield Offer("at", "keyword", "position of the spool")
        yield from (Offer(one.name, "figure", _of_figure(one)) for one in kind.orders)
        yield from (Offer(pose, "choice", "what it does") for pose in kind.poses)


# ---- what can be asked ---------------------------------------------------------------------------


def measures(known: Known, here: Cursor, words: list[str]) -> Iterator[Offer]:
    """Offer what can be asked of the subject that ``words`` begin with."""
    name = words[0]
    kind, part = known.kind_of(name), known.parts.get(name)
    found = {one.name: one.quantity for one in (kind.measures if kind is not None else ())}
    letters = [port.letter for port in part.ports if port.letter] if part is not None else []
    at_port = words[1:2] and words[1] in letters
    if here.sorts[-1:] == ["number"]:
        said = " ".join(words[1:-1])
        quantity = found.get(said) or next(
            (q for q in ("pressure", "flow") if said.endswith(q)), "power" if said == "heat" else ""
        )
        yield from units(quantity) if quantity else units(*dict.fromkeys(found.values()))
    elif at_port:
        yield from (Offer(word, "measure", f"at port {words[1]}") for word in ("pressure", "flow"))
    elif "number" not in here.sorts:
        block = known.block_of(name)
        ports = [port.text for port in block.ports] if block is not None else letters
        yield from (Offer(letter, "port", f"port of {name}") for letter in ports)
        yield from (Offer(word, "measure", q.replace("_", " ")) for word, q in found.items())
        if name in known.lines:
            yield from (Offer(word, "measure", "of the line") for word in ("pressure", "flow"))
        elif kind is not None:
            yield Offer("heat", "measure", "power turned into heat")


# ---- ends of lines -------------------------------------------------------------------------------

_ENDS = ("from", "through", "to", "and")


def line_ends(known: Known, here: Cursor, holder: str) -> Iterator[Offer]:
    """Offer what the ends of a line could go on with."""
    words = here.words
    at = max((i for i, word in enumerate(words) if word in _ENDS), default=-1)
    if at < 0:
        yield Offer("from", "keyword", "where the line begins")
        return
    said = words[at + 1 :]
    side = next((word for word in reversed(words[: at + 1]) if word != "and"), "from")
    if not said:
        yield from names(known, holder, side == "through")
        if side != "through" and not holder:
            yield from (Offer(name, "name", "line: its far end") for name in known.lines)
        return
    if len(said) == 1 and side != "through":
        block, part = known.block_of(said[0]), known.parts.get(said[0])
        if block is not None:
            yield from (Offer(port.text, "port", "port of the block") for port in block.ports)
        elif part is not None and not holder:
            yield from (Offer(p.letter, "port", p.text) for p in part.ports if p.letter)
        elif said[0] in known.lines:
            yield from (Offer(word, "port", f"{word} of the line") for word in ("start", "end"))
    yield from keywords("and", *(("through", "to") if side == "from" else
                                 ("to",) if side == "through" else ()))  # fmt: skip
