"""What guards which point of a circuit."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case, outlets
from circuitcheck.rules._inside import Way
from circuitcheck.rules._paths import Passage
from circuitcheck.rules._pumps import RELIEFS, guards, idle_flow, inlet_of, supply_way


@dataclass(frozen=True)
class Guard:
    """The part that limits the pressure of a point, and its pressure at full flow [Pa]."""

    part: Part
    pressure: float


def full_flow_pressure(relief: Part, flow: float) -> float:
    """Pressure at which a relief passes ``flow``, straight line from cracking over rated flow."""
    setting, rated = relief.figure("set") or 0.0, relief.figure("flow") or 0.0
    if not rated or flow <= rated:
        return setting
    share = relief.figure("override") or 0.0
    return setting * (1.0 + share * (flow / rated - 1.0))


def guarded_junctions(case: Case) -> dict[str, Guard]:
    """Give, for every junction that pumps can pressurise, what guards it.

    That is the relief of the pump which reaches it (the highest of several pumps), or a
    lower one on the same always-open stretch of line. Behind a reducing valve, or a section
    with a pressure limit, it is that part.
    """
    network = case.network
    found: dict[str, Guard] = {}
    for start, guard in _sources(case):
        reached = network.reach([start], lambda p: supply_way(p) and not _limits(case, p))
        for junction in reached.found:
            if junction in case.facts.always_drained:
                continue  # always open to tank: no pressure to guard against
            if junction not in found or found[junction].pressure < guard.pressure:
                found[junction] = guard
    for relief in case.of_kind(*RELIEFS):
        inlet, outlet = network.at(relief.name, inlet_of(relief)), network.at(relief.name, "T")
        if inlet not in found or outlet not in case.facts.always_drained:
            continue
        own = Guard(relief, relief.figure("set") or 0.0)
        stretch = network.reach([inlet], lambda p: p.way is Way.OPEN, backward=True)
        for junction in stretch.found:
            if junction in found and own.pressure < found[junction].pressure:
                found[junction] = own
    return found


def _sources(case: Case) -> Iterator[tuple[str, Guard]]:
    """Outlets of pumps, reducing valves and limited sections, with what guards them."""
    for pump in case.of_kind("pump"):
        flow = idle_flow(case, pump) or 0.0
        own = [Guard(r, full_flow_pressure(r, flow)) for r in guards(case, pump)]
        for port in outlets(pump):
            outlet = case.network.at(pump.name, port)
            if outlet is not None and own:
                yield outlet, min(own, key=lambda guard: guard.pressure)
    for part in case.of_kind("reducing valve", "section"):
        limit = part.figure("set" if part.kind.word == "reducing valve" else "limit")
        for port in ("A", "B"):
            outlet = case.network.at(part.name, port)
            if limit is not None and outlet is not None:
                yield outlet, Guard(part, limit)


def _limits(case: Case, passage: Passage) -> bool:
    """Whether a passage leads through a part that limits or raises the pressure behind it."""
    part = case.circuit.parts[passage.part]
    return part.kind.word in ("reducing valve", "intensifier") or (
        part.kind.word == "section" and part.figure("limit") is not None
    )
