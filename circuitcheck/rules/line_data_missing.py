"""Suction, pump or return line without a size.

What is checked
    Where the circuit gives sizes at all: the suction of every pump, the way from its outlet
    and the last piece of every return to a tank have a line with bore and length on them.
    Where it gives none, this is said once, as advice.

Why it matters on the machine
    Losses, speeds and the inlet pressure are not seen: what is not given is taken as a
    short nipple.

What to do
    Give size and length, at least of suction, pump, return and drain lines.

Limits of this rule
    A relief screwed to the pump, or a pump inside the tank, has no line; then accept the
    finding with that reason.

Source
    ISO 1219-2 clause 6 (clause list read)
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._inside import Way
from circuitcheck.rules._paths import always_open
from circuitcheck.rules._rule import Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    bare = [run for run in case.circuit.runs if not run.part]
    if not case.of_kind("line"):
        if bare:
            yield case.finding(
                f"none of the {len(bare)} lines has a size: drops and speeds are left out",
                severity=Severity.ADVICE,
                place=bare[0].place,
            )
        return
    for pump in case.of_kind("pump"):
        inlet, outlet = case.network.at(pump.name, "S"), case.network.at(pump.name, "P")
        if inlet is not None and inlet in case.network.tanks:
            yield case.finding(
                f"the suction of {pump.name} has no size: speed and inlet pressure are not seen",
                pump,
                port="S",
            )
        elif inlet is not None and not _sized(case, inlet, backward=True):
            yield case.finding(f"no line on the suction of {pump.name} has a size", pump, port="S")
        if outlet is not None and outlet not in case.network.tanks and not _lines_at(case, outlet):
            yield case.finding(f"no line at the outlet of {pump.name} has a size", pump, port="P")


def _sized(case: Case, junction: str, backward: bool) -> bool:
    """Whether a line with a size lies between a junction and a tank."""
    reached = case.network.reach([junction], always_open, backward)
    tank = reached.any_of(case.network.tanks)
    if tank is None:
        return True
    return any(case.circuit.parts[p.part].kind.word == "line" for p in reached.path(tank))


def _lines_at(case: Case, junction: str) -> bool:
    """Whether oil from a junction passes a line with a size anywhere."""
    reached = case.network.reach([junction], lambda passage: passage.way is not Way.AGAINST)
    return any(
        case.circuit.parts[passage.part].kind.word == "line"
        for passage in reached.found.values()
        if passage is not None
    )


RULE = Rule("line-data-missing", Severity.WARNING, check)
