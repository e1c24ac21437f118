"""Draws headings, tables and paragraphs for a terminal, a pipe or a text file."""

from __future__ import annotations

import io
import re
import textwrap
from collections.abc import Sequence
from typing import TYPE_CHECKING, Literal

from circuitcheck.reports.tables import Table

if TYPE_CHECKING:
    from rich.console import Console

NARROW = 80
"""Width that every report must read well at."""
GAP = 2
MARGIN = "  "
BREAKABLE = 24
"""Words longer than this may be broken in a table."""

_UNSEEN = re.compile(
    "[\0-\x08\x0b-\x1a\x1c-\x1f\x7f-\x9f\u2028-\u202e\u2066-\u2069]|\x1b(?!\\[[\\d;]*m)"
)
"""What would move a terminal's cursor or turn its writing round: names of files may hold it."""


class Sheet:
    """A text under construction. ``colour`` puts marks for a terminal into it."""

    def __init__(self, width: int = NARROW, colour: bool = False) -> None:
        self.width = max(width, NARROW)
        self.colour = colour
        self._out = io.StringIO()

    def text(self) -> str:
        """Give what was written, without blanks at line ends."""
        lines = (line.rstrip() for line in _UNSEEN.sub("?", self._out.getvalue()).splitlines())
        return "\n".join(lines).strip("\n") + "\n"

    def heading(self, title: str) -> None:
        """Write a title of the first order, underlined."""
        self._styled(f"\n{title}\n{'=' * len(title)}", "bold")

    def section(self, title: str) -> None:
        """Write a title of the second order."""
        self._styled(f"\n{title}", "bold")

    def line(self, text: str = "", style: str = "") -> None:
        """Write one line as it is."""
        self._styled(text, style)

    def paragraph(self, text: str, first: str = "", rest: str = "", style: str = "") -> None:
        """Write text broken at the width, behind ``first`` and then ``rest``."""
        for piece in text.splitlines() or [""]:
            broken = textwrap.fill(
                piece, self.width, initial_indent=first, subsequent_indent=rest,
                break_long_words=False, break_on_hyphens=False,
            )  # fmt: skip
            self._styled(broken, style)
            first = rest

    def table(self, table: Table) -> None:
        """Write a table, in several pieces beside its first column where it is too wide."""
        self.section(table.caption)
        for columns in pieces(table, self.width - len(MARGIN)):
            self._piece(table, columns, _widths(table, columns, self.width - len(MARGIN)))
        for note in table.notes:
            self.paragraph(note, MARGIN, MARGIN)

    def _piece(self, table: Table, columns: Sequence[int], widths: Sequence[int]) -> None:
        from rich import box
        from rich.padding import Padding
        from rich.table import Table as RichTable
        from rich.text import Text

        drawn = RichTable(
            box=box.SIMPLE_HEAD, show_edge=False, pad_edge=False, padding=(0, GAP - 1, 0, 0)
        )
        for i, width in zip(columns, widths, strict=True):
            side: Literal["left", "right"] = "right" if table.columns[i].figures else "left"
            drawn.add_column(Text(_head(table, i)), justify=side, width=width, overflow="fold")
        for row in table.rows:
            cells = zip(columns, widths, strict=True)
            drawn.add_row(*(Text(_broken(table, row[i], i, width)) for i, width in cells))
        self._console().print(Padding(drawn, (0, 0, 0, len(MARGIN))))

    def _styled(self, text: str, style: str) -> None:
        from rich.text import Text

        if not self.colour or not style:
            self._out.write(text + "\n")
            return
        self._console().print(Text(text, style=style), soft_wrap=True)

    def _console(self) -> Console:
        from rich.console import Console

        return Console(
            file=self._out, width=self.width, force_terminal=self.colour,
            color_system="standard" if self.colour else None, highlight=False, emoji=False,
            markup=False, legacy_windows=False,
        )  # fmt: skip


def pieces(table: Table, room: int) -> list[list[int]]:
    """Groups of columns that fit side by side, each with the first column before it.

    Figures are never broken or cut; words are broken at blanks.
    """
    least = [_longest_word(table, i) for i in range(len(table.columns))]
    pieces = [[0]]
    used = least[0]
    for i in range(1, len(least)):
        if used + GAP + least[i] > room and len(pieces[-1]) > 1:
            pieces.append([0])
            used = least[0]
        pieces[-1].append(i)
        used += GAP + least[i]
    return pieces


def _widths(table: Table, columns: Sequence[int], room: int) -> list[int]:
    """Widths of columns: as wide as they want, words giving way where the room is short."""
    wanted = [_wanted(table, i) for i in columns]
    least = [_longest_word(table, i) for i in columns]
    over = sum(wanted) + GAP * (len(wanted) - 1) - room
    while over > 0:
        widest = max(range(len(wanted)), key=lambda k: (wanted[k] > least[k], wanted[k]))
        if wanted[widest] == least[widest]:
            break
        wanted[widest] -= 1
        over -= 1
    return wanted


def _wanted(table: Table, i: int) -> int:
    return max(map(len, (*_head(table, i).splitlines(), *(row[i] for row in table.rows))))


def _longest_word(table: Table, i: int) -> int:
    """Least width of a column: all of a figure, the longest word of a text."""
    if table.columns[i].figures:
        return _wanted(table, i)
    head = _head(table, i).split()
    words = [word for row in table.rows for word in row[i].split()]
    longest = max(map(len, (*head, *words)), default=1)
    return longest if table.columns[i].whole else min(longest, BREAKABLE)


def _broken(table: Table, text: str, i: int, width: int) -> str:
    """A text in the lines of its column, long names broken at their hyphens."""
    if table.columns[i].figures or len(text) <= width:
        return text
    return "\n".join(textwrap.wrap(text, width))


def _head(table: Table, i: int) -> str:
    """Head and unit one below the other; a head wider than its column a word a line."""
    column = table.columns[i]
    widest = max((len(row[i]) for row in table.rows), default=0)
    head = column.head.replace(" ", "\n") if len(column.head) > max(widest, 8) else column.head
    return f"{head}\n{column.unit}" if column.unit else head
