"""Volumes that stay under pressure after stop.

What is checked
    With the drive off and all valves at rest: every cylinder chamber, motor port and
    accumulator whose oil cannot run off to a tank, and whose pressure (of its weight, else
    the highest of any solved step) is above the limit. All are listed in one finding, with
    what releases them.

Why it matters on the machine
    People open fittings in the belief that off means empty.

What to do
    Give each a bleed valve and a gauge, and put the list into the lock-out sheet. Lower or
    prop loads first.

Limits of this rule
    Valves are taken as sound; a stuck one can keep more. Leakage, which lets pressures fall
    in time, is left out. The energy of the oil is p2 V / (2 K) of the chambers alone.

Source
    stored energy must be relieved or restrained: 29 CFR 1910.147 (from memory), Oregon rule
    437-007-0725; an injury from an unverified zero-energy state: fluid power safety alert
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from circuitcheck.basics.findings import Note, Number, Severity
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case
from circuitcheck.rules._inside import Way
from circuitcheck.rules._loads import (
    actuators,
    areas,
    greatest_weight,
    is_cylinder,
    load_side,
    sides,
)
from circuitcheck.rules._paths import REST, Reach
from circuitcheck.rules._rule import Outcome, Rule
from circuitcheck.rules._stored import gas_energy, highest_seen, oil_energy

MOST_NAMED = 6
"""Volumes that the message itself names; the notes have them all."""

WORTH_SAYING = 0.1
"""Energy from which the message gives a figure [J]; own choice."""


@dataclass(frozen=True)
class Held:
    """A volume that stays shut, where it is, its pressure and energy, what lets it go."""

    place: str
    part: Part
    pressure: float
    energy: float
    released: str


def check(case: Case) -> Iterator[Outcome]:
    held = list(_volumes(case))
    if not held:
        return
    named = [f"{v.place} {case.bar(v.pressure)} (let go by {v.released})" for v in held]
    more = f" and {len(named) - MOST_NAMED} more" if len(named) > MOST_NAMED else ""
    energy = sum(v.energy for v in held)
    whole = f"; together up to {case.show(energy, 'energy')}" if energy >= WORTH_SAYING else ""
    yield case.finding(
        f"after stop these stay under pressure: {'; '.join(named[:MOST_NAMED])}{more}{whole}",
        numbers=tuple(Number(f"pressure of {v.place}", v.pressure, "pressure") for v in held)
        + (Number("stored energy", energy, "energy"),),
        notes=tuple(Note(text, v.part.place) for text, v in zip(named, held, strict=True)),
    )


def _volumes(case: Case) -> Iterator[Held]:
    limit = case.limit("pressure").value
    seen: set[str] = set()
    for part in [*case.of_kind("accumulator"), *actuators(case)]:
        ports = ("P",) if part.kind.word == "accumulator" else sides(part)
        for port in ports:
            junction = case.network.at(part.name, port)
            if junction is None or junction in seen or junction in case.facts.vented(REST):
                continue
            region = case.facts.region(junction)
            seen.update(region.found)
            pressure = _pressure(case, part, port, junction)
            if pressure is None or pressure <= limit:
                continue
            place = f"{part.name} {port}" if part.kind.word != "accumulator" else part.name
            yield Held(
                place, part, pressure, _energy(case, part, port, pressure), _release(case, region)
            )


def _pressure(case: Case, part: Part, port: str, junction: str) -> float | None:
    found = [highest_seen(case, junction)]
    if is_cylinder(part) and load_side(case, part) == port:
        area = areas(part)[0 if port == "cap" else 1]
        found.append(abs(greatest_weight(case, part)) / area if area else None)
    known = [value for value in found if value is not None]
    return max(known) if known else None


def _energy(case: Case, part: Part, port: str, pressure: float) -> float:
    if part.kind.word == "accumulator":
        return gas_energy(part, pressure) or 0.0
    if not is_cylinder(part):
        return 0.0
    area = areas(part)[0 if port == "cap" else 1]
    return oil_energy(case, pressure, area * (part.figure("stroke") or 0.0))


def _release(case: Case, region: Reach) -> str:
    """Names of the parts that could let the oil out."""
    names = [
        passage.part
        for junction in region.found
        for passage in case.network.out[junction]
        if passage.way in (Way.SPOOL, Way.SHUT_OFF, Way.PILOTED, Way.LET_GO, Way.SETTING)
    ]
    return " or ".join(dict.fromkeys(names)) or "nothing but a loosened fitting"


RULE = Rule("stored-energy-after-stop", Severity.WARNING, check)
