"""The parts that a text describes even where it is wrong elsewhere, for those who write it."""

from __future__ import annotations

from circuitcheck.circuit.clauses import ClauseReader
from circuitcheck.circuit.defaults import Defaults
from circuitcheck.circuit.desk import Desk
from circuitcheck.circuit.figures import FigureReader
from circuitcheck.circuit.files import Files
from circuitcheck.circuit.names import Names
from circuitcheck.circuit.opening import BlockOpener
from circuitcheck.circuit.parts import PartReader
from circuitcheck.circuit.values import Values
from circuitcheck.components import kinds
from circuitcheck.components._parts import Part
from circuitcheck.language.text import Text


def parts_that_stand(text: Text) -> dict[str, Part]:
    """Give the parts whose own sentences are right, those inside blocks included, by name.

    What is wrong is not told: that is the business of `build`.
    """
    desk = Desk(kinds(), set(text.unread))
    names = Names(desk, text.names_lost)
    values = Values(desk, text)
    figures = FigureReader(desk, values, Files(text.file, text.folder))
    opener = BlockOpener(desk, text, figures, values)
    opened = opener.open(text)
    clauses = ClauseReader(desk, figures)
    defaults = Defaults(desk, opened, clauses)
    reader = PartReader(desk, opened, names, clauses, defaults, opener.opened)
    return reader.read(opened).parts
