"""Several functions on one load-sensing line without shuttles.

What is checked
    Points of load signals that are joined by lines and orifices only: no more than one
    section, valve or actuator may give its signal there; the others need a shuttle or a
    check valve in each branch.

Why it matters on the machine
    Only the highest load may command the pump. Joined signals are one pressure: oil of the
    heavy function leaks into the light one, and the pump hears neither.

What to do
    Build a chain of shuttle valves, or a check valve in each branch with a bleed.

Limits of this rule
    Flow-sharing sections are known to have a check in the signal port; of other functions it
    is not known, so write the check.

Source
    the line carries the pressure of the function with the highest load: US Army
    TM 10-3930-660-34 (single page read)
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Note, Severity
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case
from circuitcheck.rules._inside import Way
from circuitcheck.rules._paths import Passage, Reach
from circuitcheck.rules._rule import Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    starts = [case.network.at(s.name, "LS") for s in case.of_kind("section")]
    starts += [case.network.at(pump.name, "X") for pump in case.of_kind("pump")]
    seen: set[str] = set()
    for start in starts:
        if start is None or start in seen:
            continue
        joined = case.network.reach([start], _joined)
        seen.update(joined.found)
        givers = _givers(case, joined)
        if len(givers) < 2:
            continue
        names = " and ".join(part.name for part in givers)
        yield case.finding(
            f"functions {names} share LS line {start} without shuttles: pressure of one leaks "
            "into the other",
            givers[1],
            port="LS" if givers[1].kind.word == "section" else "",
            notes=tuple(Note(f"{part.name} gives its signal", part.place) for part in givers),
        )


def _joined(passage: Passage) -> bool:
    return passage.way in (Way.OPEN, Way.THROTTLE)


def _givers(case: Case, joined: Reach) -> list[Part]:
    """Sections by their signal port, valves by a work port: what gives a load signal."""
    found: dict[str, Part] = {}
    for junction in joined.found:
        for end in case.circuit.junctions[junction].ends:
            part = case.circuit.parts[end.part]
            # flow-sharing sections share one signal line: each has its own check there
            sharing = part.says("flow sharing")
            if part.kind.word == "section" and end.port == "LS" and not sharing:
                found[part.name] = part
            if part.kind.word == "valve" and end.port in ("A", "B"):
                found[part.name] = part
    return list(found.values())


RULE = Rule("ls-shuttle-missing", Severity.ERROR, check)
