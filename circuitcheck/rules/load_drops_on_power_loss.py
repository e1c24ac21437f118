"""Suspended load that comes down when the power fails.

What is checked
    For every cylinder that carries a weight or is said to be hanging or suspended: with all
    valves at rest, as when power or pump is lost, can the oil of the chamber that carries
    the load run off to a tank? The same for a motor on whose winch a weight hangs;
    a brake on its shaft holds.

Why it matters on the machine
    Loss of supply must not let a load fall on people.

What to do
    A seat-tight holding valve on the cylinder, and a valve that springs back to hold.

Limits of this rule
    A throttle on the way slows the fall, but the load still comes down. Creep over spools
    that are shut, and of a motor without a brake, is not worked out. Valves with detents are
    taken to fall back to rest.

Source
    loss of power or pressure may not cause a hazard: university notes on safe design after
    ISO 4413
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Note, Severity
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case
from circuitcheck.rules._inside import Way
from circuitcheck.rules._loads import cylinders, load_side
from circuitcheck.rules._paths import REST, Passage
from circuitcheck.rules._rule import Outcome, Rule
from circuitcheck.rules._turning import has_brake, ordered, turned_by


def check(case: Case) -> Iterator[Outcome]:
    yield from _cylinders(case)
    yield from _winches(case)


def _cylinders(case: Case) -> Iterator[Outcome]:
    vented = case.facts.vented(REST)
    for cylinder in cylinders(case):
        port = load_side(case, cylinder)
        junction = case.network.at(cylinder.name, port) if port else None
        if junction is None or junction not in vented:
            continue
        yield _finding(case, cylinder, port, vented.path(junction))


def _winches(case: Case) -> Iterator[Outcome]:
    """Motors that hold what hangs on a rope, without a brake on the shaft."""
    vented = case.facts.vented(REST)
    for motor in case.of_kind("motor"):
        steps = (None, *case.circuit.steps)
        hung = any(
            load.kind.word == "winch" and ordered(case, load, step, "weight") > 0.0
            for load, _ in turned_by(case, motor)
            for step in steps
        )
        junction = case.network.at(motor.name, "A")
        if hung and not has_brake(case, motor) and junction is not None and junction in vented:
            yield _finding(case, motor, "A", vented.path(junction))


def _finding(case: Case, part: Part, port: str, way: list[Passage]) -> Outcome:
    found = [p.part for p in reversed(way) if p.way in (Way.SPOOL, Way.SHUT_OFF, Way.THROTTLE)]
    names = list(dict.fromkeys(found))
    over = f" over {', '.join(names)}" if names else ""
    return case.finding(
        f"if power fails, the load on {part.name} comes down: with all valves at rest "
        f"port {port} is open to tank{over}",
        part,
        port=port,
        notes=tuple(
            Note(f"{name} is open at rest", case.circuit.parts[name].place) for name in names
        ),
    )


RULE = Rule("load-drops-on-power-loss", Severity.ERROR, check)
