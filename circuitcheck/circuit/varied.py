"""Figures that can be varied, by the names a text gives them: ``R1 set``, ``V1 opening``."""

from __future__ import annotations

from collections.abc import Container, Iterable
from dataclasses import dataclass

from circuitcheck.basics.places import Place
from circuitcheck.basics.quantities import show
from circuitcheck.circuit.desk import Desk, article
from circuitcheck.circuit.figures import usual_units
from circuitcheck.circuit.model import Circuit, Step
from circuitcheck.circuit.steps import OIL, OPENING
from circuitcheck.components._parts import Parameter, Part
from circuitcheck.language.text import Word

OIL_NAME = "oil"
"""What stands in the place of a part before ``temperature``."""

NO_FIGURES = ("code", "file")


@dataclass(frozen=True)
class Varied:
    """One figure of a part, or of what the steps order it to do.

    ``parameter`` carries quantity and limits; ``figure`` is true where the part itself has
    it, ``ordered`` where a step gives it.
    """

    part: str
    parameter: Parameter
    figure: bool
    ordered: bool

    @property
    def name(self) -> str:
        return self.parameter.name

    @property
    def text(self) -> str:
        return f"{self.part} {self.name}"

    @property
    def key(self) -> tuple[str, str]:
        return self.part, self.name

    @property
    def quantity(self) -> str:
        return self.parameter.quantity


def joined(words: list[Word], names: Container[str]) -> list[Word]:
    """Make the longest beginning that is a name one word: lines without a name of their own
    bear that of their ends ("P1 P to V1 P")."""
    for end in range(len(words), 1, -1):
        name = " ".join(word.text for word in words[:end])
        if name in names:
            return [Word(name, words[0].place.upto(words[end - 1].place)), *words[end:]]
    return words


def words_of(text: str, file: str, line: int) -> list[Word]:
    """Give the words of a phrase with their places in it; an empty one has one word, empty."""
    words, at = [], 0
    for piece in text.split():
        at = text.index(piece, at)
        words.append(Word(piece, Place(file, line, at + 1, line, at + 1 + len(piece))))
        at += len(piece)
    return words or [Word("", Place(file, line, 1, line, 1))]


def find_varied(
    desk: Desk, circuit: Circuit, steps: Iterable[Step], words: list[Word]
) -> Varied | None:
    """Give the figure that some words name; None, with a finding, if there is none."""
    if not words[0].text:
        desk.error("vary-name", words[0].place, "which figure? none is named",
                   "a figure is named by its part:  R1 set")  # fmt: skip
        return None
    words = joined(words, circuit.parts)
    place = words[0].place.upto(words[-1].place)
    name, said = words[0].text, " ".join(word.text for word in words[1:])
    if name == OIL_NAME and OIL_NAME not in circuit.parts:
        if said != "temperature":
            desk.error("vary-name", place, "of the oil only the temperature can be varied",
                       "write:  oil temperature")  # fmt: skip
            return None
        return Varied(OIL_NAME, _named("temperature", OIL), figure=False, ordered=False)
    part = circuit.parts.get(name)
    if part is None:
        _no_part(desk, circuit, words[0])
        return None
    if not said:
        desk.error("vary-name", place, f"which figure of {name}?", _it_has(part, steps))
        return None
    own, orders = part.kind.parameter(said), _orders(part, steps)
    if own is not None and own.quantity in NO_FIGURES:
        desk.error("vary-name", place, f"'{said}' is no figure", _it_has(part, steps))
        return None
    if said in orders:
        return Varied(name, own or orders[said], own is not None, ordered=True)
    if own is not None:
        return Varied(name, own, figure=True, ordered=False)
    if any(order.name == said for order in part.kind.orders):
        desk.error("vary-order", place, f"no step gives {name} '{said}'",
                   f"give it in a step, and it can be varied:  {name} {said} ...")  # fmt: skip
        return None
    if said == "opening" and part.kind.positions is not None:
        return Varied(name, OPENING, figure=False, ordered=True)
    known = _known(part, steps)
    desk.error(
        "vary-name",
        words[1].place.upto(words[-1].place),
        f"{article(part.kind.word)} has no '{said}' that could be varied",
        desk.ask(said, known) or _it_has(part, steps),
    )
    return None


def _orders(part: Part, steps: Iterable[Step]) -> dict[str, Parameter]:
    """Figures that the steps order of a part."""
    given = {
        n for step in steps if part.name in step.orders for n in step.orders[part.name].figures
    }
    return {order.name: order for order in part.kind.orders if order.name in given}


def _known(part: Part, steps: Iterable[Step]) -> list[str]:
    own = [p for row in part.kind.parameters for p in (row, row.at) if p is not None]
    names = [p.name for p in own if p.quantity not in NO_FIGURES]
    opening = ["opening"] if part.kind.positions is not None else []
    return list(dict.fromkeys([*_orders(part, steps), *opening, *names]))


def _it_has(part: Part, steps: Iterable[Step]) -> str:
    return f"{part.name} has: {', '.join(_known(part, steps)) or 'no figures'}"


def _named(name: str, like: Parameter) -> Parameter:
    return Parameter(
        name, like.quantity, like.unit, like.text, least=like.least, most=like.most
    )  # fmt: skip


def _no_part(desk: Desk, circuit: Circuit, name: Word) -> None:
    block = next((use for use in circuit.blocks if use.name == name.text), None)
    if block is not None:
        inside = ", ".join(block.parts[:6])
        desk.error(
            "vary-name",
            name.place,
            f"{name.text} is a block; what stands in it can be varied",
            f"name a part inside it: {inside}",
        )
        return
    desk.error(
        "unknown-part",
        name.place,
        f"there is no part {name.text}",
        desk.ask(name.text, [*circuit.parts, OIL_NAME], "")
        or "a figure is named by its part:  R1 set",
    )


def within_limits(desk: Desk, varied: Varied, low: float, high: float, place: Place) -> bool:
    """Whether all values between two lie within what the figure can be; SI."""
    least, most = varied.parameter.least, varied.parameter.most
    unit = varied.parameter.unit
    system = {varied.quantity: unit} if unit and usual_units(varied.quantity) else "metric"
    if least is not None and low < least:
        text = (
            "more than 0"
            if low <= 0.0 < least
            else f"at least {show(least, varied.quantity, system)}"
        )
        desk.error("out-of-limits", place, f"'{varied.text}' is too small", f"it is {text}")
        return False
    if most is not None and high > most:
        text = show(most, varied.quantity, system)
        desk.error("out-of-limits", place, f"'{varied.text}' is too large", f"it is at most {text}")
        return False
    return True
