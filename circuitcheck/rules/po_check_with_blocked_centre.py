"""Pilot-operated check whose pilot line is shut in at rest.

What is checked
    For every pilot-operated check valve, single or double: with all valves at rest, can the
    oil in its pilot line run off to a tank? Of a double one those are its two valve sides.

Why it matters on the machine
    Oil that leaks past the spool puts pressure on the shut-in pilot; the check is held ajar
    and the load creeps down.

What to do
    Take a valve whose rest position opens A and B to tank and blocks P, or use a
    counterbalance valve.

Limits of this rule
    How fast the pilot line fills depends on leakage and is not worked out.

Source
    common practice, no source
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Note, Severity
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case
from circuitcheck.rules._paths import REST, signal_in_state
from circuitcheck.rules._rule import Outcome, Rule

PILOTS = {"pilot check": ("X",), "double pilot check": ("A1", "B1")}
"""Ports whose pressure opens a check, by kind."""


def check(case: Case) -> Iterator[Outcome]:
    for valve in case.of_kind(*PILOTS):
        for port in PILOTS[valve.kind.word]:
            yield from _pilot(case, valve, port)


def _pilot(case: Case, valve: Part, port: str) -> Iterator[Outcome]:
    pilot = case.network.at(valve.name, port)
    if pilot is not None and pilot not in case.facts.vented(REST):
        blocking = _blocking(case, pilot)
        middle = f"{blocking} at rest traps" if blocking else "nothing lets go"
        notes: tuple[Note, ...] = ()
        if blocking:
            notes = (Note(f"{blocking} stands here", case.circuit.parts[blocking].place),)
        yield case.finding(
            f"{valve.name} cannot shut firmly: {middle} its pilot pressure",
            valve,
            port=port,
            notes=notes,
        )


def _blocking(case: Case, pilot: str) -> str:
    """Valve at which the pilot line ends, empty if there is none."""
    reached = case.network.reach([pilot], signal_in_state(case.circuit, REST))
    for junction in reached.found:
        for passage in case.network.out[junction]:
            if passage.positions and passage.stop not in reached:
                return passage.part
    return ""


RULE = Rule("po-check-with-blocked-centre", Severity.ERROR, check)
