"""Parts under pressure without a rating.

What is checked
    Parts that see more than 10 bar in any solved step (without steps: that a pump or
    accumulator supplies) and have no highest working pressure. They are listed in one
    finding.

Why it matters on the machine
    The lowest rating decides the setting of the relief; what is not given is not checked.

What to do
    Fill in, hoses and filters first.

Limits of this rule
    Orifices, test points and junctions are left out.

Source
    university notes on safe design after ISO 4413; ISO 4413:1998 clause 10.2 (clause list
    read)
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Note, Severity
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case
from circuitcheck.rules._paths import REST
from circuitcheck.rules._ratings import has_rating, rating
from circuitcheck.rules._rule import Outcome, Rule

MOST_NAMED = 8
LEFT_OUT = ("orifice", "gauge")


def check(case: Case) -> Iterator[Outcome]:
    least = case.limit("above").value
    lacking = [
        part
        for part in case.circuit.parts.values()
        if has_rating(part)
        and part.kind.word not in LEFT_OUT
        and rating(part) is None
        and _pressed(case, part, least)
    ]
    if not lacking:
        return
    word = "parts" if len(lacking) > 1 else "part"
    names = ", ".join(part.name for part in lacking[:MOST_NAMED])
    more = f" and {len(lacking) - MOST_NAMED} more" if len(lacking) > MOST_NAMED else ""
    yield case.finding(
        f"{len(lacking)} {word} under pressure without a rating: {names}{more}",
        lacking[0],
        notes=tuple(Note(f"{part.name} has none", part.place) for part in lacking[1:]),
    )


def _pressed(case: Case, part: Part, least: float) -> bool:
    joints = case.network.joints[part.name].values()
    if case.points:
        return any(
            state.pressure > least
            for point in case.points
            for state in point.parts[part.name].ports.values()
        )
    return any(junction in case.facts.supplied(REST) for junction in joints)


RULE = Rule("rating-missing", Severity.ADVICE, check)
