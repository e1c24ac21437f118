"""Suspended load that comes down when the power fails.

What is checked
    For every cylinder that carries a weight or is said to be hanging or suspended: with all
    valves at rest, as when power or pump is lost, can the oil of the chamber that carries
    the load run off to a tank?

Why it matters on the machine
    Loss of supply must not let a load fall on people.

What to do
    A seat-tight holding valve on the cylinder, and a valve that springs back to hold.

Limits of this rule
    A throttle on the way slows the fall, but the load still comes down. Creep over spools
    that are shut is not worked out. Valves with detents are taken to fall back to rest.

Source
    loss of power or pressure may not cause a hazard: university notes on safe design after
    ISO 4413
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Note, Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._loads import load_side
from circuitcheck.rules._paths import REST, Way
from circuitcheck.rules._rule import Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    vented = case.facts.vented(REST)
    for cylinder in case.of_kind("cylinder"):
        port = load_side(case, cylinder)
        junction = case.network.at(cylinder.name, port) if port else None
        if junction is None or junction not in vented:
            continue
        names = [
            passage.part
            for passage in reversed(vented.path(junction))
            if passage.way in (Way.SPOOL, Way.SHUT_OFF, Way.THROTTLE)
        ]
        over = f" over {', '.join(dict.fromkeys(names))}" if names else ""
        yield case.finding(
            f"if power fails, the load on {cylinder.name} comes down: with all valves at rest "
            f"port {port} is open to tank{over}",
            cylinder,
            port=port,
            notes=tuple(
                Note(f"{name} is open at rest", case.circuit.parts[name].place)
                for name in dict.fromkeys(names)
            ),
        )


RULE = Rule("load-drops-on-power-loss", Severity.ERROR, check)
