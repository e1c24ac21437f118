"""Claimed figures beside computed ones."""

from __future__ import annotations

from dataclasses import dataclass

from circuitcheck.basics.places import NOWHERE, Place
from circuitcheck.basics.quantities import System, show
from circuitcheck.reports.tables import Column, Table, table

HOLDS, OFF, UNKNOWN = "holds", "OFF", "not judged"


@dataclass(frozen=True)
class Verdict:
    """One claim or reading with what was computed for it, both in SI.

    ``computed`` is None where nothing could be computed; ``step`` is the step compared
    with, the nearest one where the claim names none. ``word`` is `HOLDS`, `OFF` or
    `UNKNOWN`.
    """

    chapter: str
    subject: str
    what: str
    step: str
    quantity: str
    claimed: float
    wish: str
    computed: float | None
    word: str
    formula: str = ""
    place: Place = NOWHERE


def claims_table(verdicts: tuple[Verdict, ...], units: System) -> Table:
    """Give a line per claim and reading: claimed, computed, how far apart, verdict."""
    return table(
        "Claims and readings",
        (
            Column("Of"),
            Column("In"),
            Column("Claimed", "", True),
            Column("Tolerance"),
            Column("Computed", "", True),
            Column("Off by", "", True),
            Column("Verdict"),
        ),
        (
            (
                f"{verdict.subject} {verdict.what}".strip(),
                verdict.step,
                show(verdict.claimed, verdict.quantity, units),
                verdict.wish,
                "" if verdict.computed is None else show(verdict.computed, verdict.quantity, units),
                _off(verdict),
                verdict.word,
            )
            for verdict in verdicts
        ),
    )


def _off(verdict: Verdict) -> str:
    if verdict.computed is None or not verdict.claimed:
        return ""
    return f"{100 * (verdict.computed / verdict.claimed - 1):+.1f} %"
