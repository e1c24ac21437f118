"""Valve that can close the suction of a pump.

What is checked
    Hand-worked shut-off valves between a tank and a pump inlet: marked `locked open`, or
    with a position switch that stops the drive?

Why it matters on the machine
    A start with this valve shut destroys a piston pump within seconds to minutes.

What to do
    A full-bore valve with its handle locked open and a position switch in the start circuit.

Limits of this rule
    Whether the switch is wired into the start circuit cannot be seen here.

Source
    an intake isolation valve fully open is a first check: trade article; the interlock:
    common practice, no source
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Note, Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._inside import Way
from circuitcheck.rules._paths import always_open
from circuitcheck.rules._rule import Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    for pump in case.of_kind("pump"):
        inlet = case.network.at(pump.name, "S")
        if inlet is None or inlet in case.network.tanks:
            continue
        free = case.network.reach([inlet], always_open, backward=True)
        if free.any_of(case.network.tanks) is not None:
            continue
        for junction in free.found:
            for passage in case.network.into[junction]:
                valve = case.circuit.parts[passage.part]
                if passage.way is Way.SHUT_OFF and not valve.says("position switch"):
                    yield case.finding(
                        f"valve {valve.name} can close the suction of {pump.name}; give it a "
                        "lock and a switch that stops the drive",
                        valve,
                        notes=(Note(f"{pump.name} draws through it", pump.place),),
                    )


RULE = Rule("shut-off-in-suction", Severity.WARNING, check)
