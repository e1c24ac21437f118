"""Where something stands in a text."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace


@dataclass(frozen=True, slots=True)
class Use:
    """Where a block becomes parts of a circuit: the name it is used under, and the sentence."""

    name: str
    place: Place


@dataclass(frozen=True, order=True, slots=True)
class Place:
    """A stretch of a text: lines and columns from 1, the end column after the last character.

    ``use`` is set in a block that is seen as parts of a circuit; it does not count when
    places are compared.
    """

    file: str
    line: int
    column: int
    end_line: int
    end_column: int
    use: Use | None = field(default=None, compare=False, repr=False)

    def uses(self) -> Iterator[Use]:
        """Give the uses of blocks that lead here, the innermost first."""
        use = self.use
        while use is not None:
            yield use
            use = use.place.use

    @property
    def root(self) -> Place:
        """The place in the circuit's own text through which this one is reached."""
        place = self
        for use in self.uses():
            place = use.place
        return place

    def upto(self, end: Place) -> Place:
        """Give the stretch from the beginning of this place to the end of another one."""
        return replace(self, end_line=end.end_line, end_column=end.end_column)

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"


NOWHERE = Place("", 0, 0, 0, 0)
"""For parts made through the Python interface, which stand in no text."""
