"""Two issues of a circuit side by side, as text."""

from __future__ import annotations

from collections.abc import Sequence

from circuitcheck.basics.findings import Finding
from circuitcheck.basics.quantities import System, show
from circuitcheck.reports.tables import Column, Table, table
from circuitcheck.reports.terminal import Sheet
from circuitcheck.review.comparison import Comparison, Move

MOST_MOVES = 30
"""Results that are listed, the largest moves first."""


def write_comparison(
    sheet: Sheet, found: Comparison, names: tuple[str, str], units: System
) -> None:
    """Write what changed in the text, what moved because of it, findings gained and lost."""
    sheet.line()
    sheet.paragraph(f"{names[0]} -> {names[1]}: {count_line(found)}", style="bold")
    if found.changes:
        sheet.table(
            table(
                "Changed in the text",
                (Column("Of"), Column(""), Column("What"), Column("Before"), Column("After")),
                ((c.name, c.sort, c.what, c.before, c.after) for c in found.changes),
            )
        )
    if found.moves:
        sheet.table(_moves(found.moves, units))
    for caption, findings in (("Findings gained", found.gained), ("Findings lost", found.lost)):
        if findings:
            sheet.table(findings_table(caption, findings))


def count_line(found: Comparison) -> str:
    """Count what differs, in one line."""
    changes, moves, gained = map(len, (found.changes, found.moves, found.gained))
    return (
        f"{changes} change{'s' * (changes != 1)} of the text, "
        f"{moves} result{'s' * (moves != 1)} moved, "
        f"{gained} finding{'s' * (gained != 1)} gained, {len(found.lost)} lost"
    )


def _moves(moves: Sequence[Move], units: System) -> Table:
    more = len(moves) - MOST_MOVES
    return table(
        "Results that moved, largest first",
        (
            Column("Of"),
            Column("In"),
            Column("Before", "", True),
            Column("After", "", True),
            Column("Moved", "", True),
        ),
        (
            (
                f"{move.name} {move.what}",
                move.step,
                show(move.before, move.quantity, units),
                show(move.after, move.quantity, units),
                f"{100 * (move.after - move.before) / abs(move.before):+.1f} %"
                if move.before and move.quantity != "temperature" else "",
            )
            for move in moves[:MOST_MOVES]
        ),
        [f"{more} smaller moves are left out."] if more > 0 else [],
    )  # fmt: skip


def findings_table(caption: str, findings: Sequence[Finding]) -> Table:
    """Give findings with their weight and line."""
    return table(
        caption,
        (Column("Weight"), Column("Finding"), Column("Line", "", True)),
        ((f.severity.value, f"{f.message} [{f.slug}]", str(f.place.line or "")) for f in findings),
    )
