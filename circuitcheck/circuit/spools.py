"""Positions of a spool that the text writes out: at a P-A B-T."""

from __future__ import annotations

from circuitcheck.basics.places import Place
from circuitcheck.circuit.desk import Desk, article
from circuitcheck.circuit.figures import item_text
from circuitcheck.circuit.said import Said
from circuitcheck.language.text import Clause, Joint, Word


def read_spool(desk: Desk, clause: Clause, said: Said) -> None:
    """``at a P-A B-T``: what a position joins; ``at centre closed`` joins nothing."""
    items = clause.items
    if len(items) < 3 or not isinstance(items[1], Word):
        desk.error(
            "spool",
            clause.place,
            "a position is written with what it joins",
            "for example:  at a P-A B-T   or  at centre closed",
        )
        return
    position, joints = items[1].text, list[tuple[str, ...]]()
    for item in items[2:]:
        if isinstance(item, Joint):
            joints.append(item.ports)
        elif not (isinstance(item, Word) and item.text in ("closed", "blocked")):
            desk.error(
                "spool",
                item.place,
                f"'{item_text(item)}' joins no ports",
                "ports that a position joins are written with a hyphen: P-A",
            )
            return
    if position in said.spool:
        desk.error("said-twice", items[1].place, f"the position {position} is written twice")
    said.spool[position] = tuple(joints)
    said.spool_places[position] = clause.place


def check_spool(said: Said, letters: tuple[str, ...]) -> list[tuple[Place, str, str]]:
    """Give what is wrong with written positions: ports that are none, ports joined twice."""
    found = []
    for position, joints in said.spool.items():
        place = said.spool_places[position]
        seen: set[str] = set()
        for letter in (letter for group in joints for letter in group):
            if letter not in letters:
                has = ", ".join(letters)
                message = f"{article(said.kind.word)} has no port '{letter}'"
                found.append((place, message, f"it has {has}"))
            elif letter in seen:
                message = f"port {letter} stands twice in position {position}"
                found.append((place, message, "ports joined together are one group: P-A-B"))
            seen.add(letter)
    return found
