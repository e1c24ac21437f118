"""The lines between parts that do something together, where the text does not lay them."""

from __future__ import annotations

from collections.abc import Mapping

from circuitcheck.circuit.ends import Point
from circuitcheck.circuit.lines import Laid
from circuitcheck.circuit.model import End
from circuitcheck.components._parts import Part
from circuitcheck.language.text import Line, LineEnd, Word


def partner_lines(parts: Mapping[str, Part], laid: list[Laid]) -> list[Laid]:
    """Give the lines between partners that the text does not lay itself.

    They begin where something is joined already, so that an open port is still found.
    """
    joined: set[Point] = set()
    for line in laid:
        joined.update(line.starts, line.stops)
        joined.update(point for way in line.chain for point in way)
    number = max((line.number for line in laid), default=-1)
    found: list[Laid] = []
    for part in parts.values():
        together = part.kind.partnership
        if together is None or part.partner is None:
            continue
        start, stop = End(part.partner, together.to), End(part.name, together.port)
        if start in joined and stop not in joined:
            number += 1
            sentence = Line(None, (_end(start, part),), (), (_end(stop, part),), (), "", part.place)
            found.append(Laid(number, sentence, [start], [stop]))
    return found


def _end(end: End, part: Part) -> LineEnd:
    return LineEnd(Word(end.part, part.place), Word(end.port, part.place), part.place)
