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
    # the highest first: what it reaches need not be searched for the lower ones again
    for start, guard in sorted(_sources(case), key=lambda source: -source[1].pressure):
        if start not in found:
            reached = network.reach(
                [start],
                lambda p: p.stop not in found and supply_way(p) and not _limits(case, p),
            )
            found.update(dict.fromkeys(reached.found, guard))
    for junction in case.facts.always_drained.found:
        found.pop(junction, None)  # always open to tank: no pressure to guard against
    lower: dict[str, Guard] = {}
    for own in sorted(_own_guards(case), key=lambda guard: guard.pressure):
        inlet = network.at(own.part.name, inlet_of(own.part))
        if inlet is not None and inlet in found and inlet not in lower:
            stretch = network.reach(
                [inlet], lambda p: p.start not in lower and p.way is Way.OPEN, backward=True
            )
            lower.update(dict.fromkeys(stretch.found, own))
    for junction, guard in found.items():
        if junction in lower and lower[junction].pressure < guard.pressure:
            found[junction] = lower[junction]
    return found


def _own_guards(case: Case) -> Iterator[Guard]:
    """Reliefs that can always reach a tank, each with its setting."""
    for relief in case.of_kind(*RELIEFS):
        if case.network.at(relief.name, "T") in case.facts.always_drained:
            yield Guard(relief, relief.figure("set") or 0.0)


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
