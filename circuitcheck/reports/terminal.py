"""Draws headings, tables and paragraphs for a terminal, a pipe or a text file."""

from __future__ import annotations

import io
import textwrap
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Literal

from circuitcheck.reports.tables import Table

if TYPE_CHECKING:
    from rich.console import Console

NARROW = 80
"""Width that every report must read well at."""
GAP = 2
MARGIN = "  "
UNBROKEN = 16
"""Words up to this length stay on one line of a table."""


class Sheet:
    """A text under construction. ``colour`` puts marks for a terminal into it."""

    def __init__(self, width: int = NARROW, colour: bool = False) -> None:
        self.width = max(width, NARROW)
        self.colour = colour
        self._out = io.StringIO()

    def text(self) -> str:
        """Give what was written, without blanks at line ends."""
        lines = (line.rstrip() for line in self._out.getvalue().splitlines())
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
        for columns in self._pieces(table):
            self._piece(table, columns)
        for note in table.notes:
            self.paragraph(note, MARGIN, MARGIN)

    def _pieces(self, table: Table) -> Iterable[Sequence[int]]:
        """Groups of columns that fit side by side, each with the first column."""
        widths = [self._wanted(table, i) for i in range(len(table.columns))]
        figures = [i for i, column in enumerate(table.columns) if column.figures]
        if len(figures) < len(widths) - 1:
            return [range(len(widths))]  # words can be broken, figures can't
        pieces: list[list[int]] = [[0]]
        used = widths[0]
        for i in figures:
            if used + GAP + widths[i] > self.width - len(MARGIN) and len(pieces[-1]) > 1:
                pieces.append([0])
                used = widths[0]
            pieces[-1].append(i)
            used += GAP + widths[i]
        return pieces

    @staticmethod
    def _wanted(table: Table, i: int) -> int:
        return max(map(len, (*_head(table, i).splitlines(), *(row[i] for row in table.rows))))

    def _piece(self, table: Table, columns: Sequence[int]) -> None:
        from rich import box
        from rich.padding import Padding
        from rich.table import Table as RichTable
        from rich.text import Text

        drawn = RichTable(box=box.SIMPLE_HEAD, show_edge=False, pad_edge=False, padding=(0, 1))
        for i in columns:
            figures = table.columns[i].figures
            whole = figures or self._wanted(table, i) <= UNBROKEN
            side: Literal["left", "right"] = "right" if figures else "left"
            drawn.add_column(Text(_head(table, i)), justify=side, no_wrap=whole, overflow="fold")
        for row in table.rows:
            drawn.add_row(*(Text(row[i]) for i in columns))
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


def _head(table: Table, i: int) -> str:
    """Head and unit one below the other; a head wider than its column a word a line."""
    column = table.columns[i]
    widest = max((len(row[i]) for row in table.rows), default=0)
    head = column.head.replace(" ", "\n") if len(column.head) > max(widest, 8) else column.head
    return f"{head}\n{column.unit}" if column.unit else head
