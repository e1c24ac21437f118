"""The chapters of one line: title block, units of the answers; the oil is read in `oil`."""

from __future__ import annotations

from circuitcheck.basics.quantities import read_unit, suggest_unit
from circuitcheck.circuit.desk import LONGEST_WORD, Desk
from circuitcheck.language.faults import meant
from circuitcheck.language.text import Quote, Text

BLOCK = ("owner", "number", "date", "drawn", "approved", "status")
"""Words of the heading that stand in the title block only (fields of ISO 7200, from memory)."""


def read_title(desk: Desk, text: Text) -> tuple[str, str, dict[str, str]]:
    """Give title, issue, and what else is said for the title block, by word."""
    title, said = "", dict[str, str]()
    for number, chapter in enumerate(text.named("circuit")):
        if number:
            desk.error("said-twice", chapter.place, "the title is given twice", "take one away")
        for clause in chapter.about:
            first, word = clause.items[0], next(iter(clause.words()), "")
            if isinstance(first, Quote):
                title = first.text
            elif word not in ("issue", *BLOCK):
                what = "a circuit has a title in quotes and an issue"
                if title:
                    what = f"'{clause.text}' does not belong into the heading of a circuit"
                write = f'write:  circuit "Pallet lifter", issue B;  also {", ".join(BLOCK)}'
                desk.error("title", clause.place, what, str(desk.ask(word, BLOCK)) or write)
            elif word in said:
                desk.error("said-twice", clause.place, f"{word} is given twice", "take one away")
            else:
                said[word] = clause.text.removeprefix(word).strip().strip('"')
    return title, said.pop("issue", ""), said


def read_units(desk: Desk, text: Text) -> dict[str, str]:
    """Give the units wanted for answers, by quantity."""
    found: dict[str, str] = {}
    for chapter in text.named("units"):
        for clause in chapter.about:
            unit = read_unit(clause.text)
            if unit is None:
                near = suggest_unit(clause.text) if len(clause.text) <= LONGEST_WORD else None
                remedy = meant(near) if near else "for example: bar, L/min, kN, kW"
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
