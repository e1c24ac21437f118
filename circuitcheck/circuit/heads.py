"""The chapters of one line: title, units of the answers; the oil is read in `oil`."""

from __future__ import annotations

from circuitcheck.basics.quantities import read_unit, suggest_unit
from circuitcheck.circuit.desk import LONGEST_WORD, Desk
from circuitcheck.language.text import Quote, Text


def read_title(desk: Desk, text: Text) -> tuple[str, str]:
    """Give title and issue."""
    title, issue = "", ""
    for number, chapter in enumerate(text.named("circuit")):
        if number:
            desk.error("said-twice", chapter.place, "the title is given twice", "take one away")
        for clause in chapter.about:
            first = clause.items[0]
            if isinstance(first, Quote):
                title = first.text
            elif clause.words()[:1] == ["issue"]:
                issue = clause.text.removeprefix("issue").strip().strip('"')
            else:
                desk.error(
                    "title",
                    clause.place,
                    "a circuit has a title in quotes and an issue",
                    'write:  circuit "Pallet lifter", issue B',
                )
    return title, issue


def read_units(desk: Desk, text: Text) -> dict[str, str]:
    """Give the units wanted for answers, by quantity."""
    found: dict[str, str] = {}
    for chapter in text.named("units"):
        for clause in chapter.about:
            unit = read_unit(clause.text)
            if unit is None:
                near = suggest_unit(clause.text) if len(clause.text) <= LONGEST_WORD else None
                remedy = f"did you mean '{near}'?" if near else "for example: bar, L/min, kN, kW"
                message = f"'{clause.text}' is not a unit"
                desk.error("unknown-unit", clause.place, message, remedy)
            elif unit.quantity in found:
                desk.error(
                    "said-twice",
                    clause.place,
                    f"{unit.quantity.replace('_', ' ')} has two units here",
                    f"take away {found[unit.quantity]} or {unit.canonical}",
                )
            else:
                found[unit.quantity] = unit.canonical
    return found
