"""What every report must say to the people who work from it."""

from __future__ import annotations

from dataclasses import dataclass

from circuitcheck.basics.tables import read_toml


@dataclass(frozen=True)
class Caution:
    """One caution: ``short`` for the end of a list, ``long`` for reports and sheets.

    ``always``: it stands under every list; the others stand in whole reports.
    """

    slug: str
    title: str
    short: str
    long: str
    source: str
    always: bool


def cautions(not_checked: int = 0) -> list[Caution]:
    """Give the cautions in the order in which they are printed.

    ``not_checked`` is the number of checks that could not be run; the caution about
    defaults says it.
    """
    return [
        Caution(
            slug=entry["slug"],
            title=entry["title"],
            short=entry["short"].replace("{n}", str(not_checked)),
            long=entry["long"].replace("{n}", str(not_checked)),
            source=entry["source"],
            always=entry.get("always", False),
        )
        for entry in read_toml("cautions.toml")["caution"]
    ]
