"""What rules ask of pumps: their reliefs, their highest pressure, their flow at full stroke."""

from __future__ import annotations

import math
from functools import lru_cache

from circuitcheck.components._parts import Part
from circuitcheck.components._pump_controls import is_loop
from circuitcheck.components.relief import OVERRIDE
from circuitcheck.rules._case import Case, Threshold, outlets
from circuitcheck.rules._inside import Way
from circuitcheck.rules._once import once
from circuitcheck.rules._paths import Passage, State, always_open

RELIEFS = ("relief", "port relief")
"""Kinds that let pressure out to tank at a setting."""


def inlet_of(relief: Part) -> str:
    """Port at which a relief takes the pressure."""
    return "A" if relief.kind.word == "port relief" else "P"


def is_controlled(pump: Part) -> bool:
    """Whether a pressure control can take the pump off stroke.

    One with a remote pilot counts only by a cut-off of its own.
    """
    control = pump.choices.get("control")
    if control == "remote pressure":
        return pump.given("compensator")
    return control in ("pressure compensated", "load sensing")


def is_load_sensing(pump: Part) -> bool:
    return pump.choices.get("control") == "load sensing"


def cracking(relief: Part) -> float:
    """Pressure at which a relief begins to open [Pa]."""
    given = relief.figure("cracks")
    if given is not None:
        return given
    share = relief.figure("override")
    if share is None:
        share = OVERRIDE[relief.choices.get("build", "piloted")]
    return (relief.figure("set") or 0.0) * (1.0 - share)


def guards_of(case: Case, start: str) -> list[Part]:
    """Reliefs that oil at a junction can always reach, and that can always reach a tank."""
    network, drained = case.network, case.facts.always_drained
    reached = network.reach([start], always_open)
    found: dict[str, Part] = {}
    for junction in reached.found:
        for passage in network.out[junction]:
            part = case.circuit.parts[passage.part]
            found_one = passage.way is Way.RELIEF and part.kind.word in RELIEFS
            if found_one and passage.stop in drained:
                found[part.name] = part
    return list(found.values())


@once
def guards(case: Case, pump: Part) -> list[Part]:
    """Reliefs that a pump can always reach; of a closed loop those of both its sides."""
    find = loop_guards if is_loop(pump) else guards_of
    joined = [case.network.at(pump.name, port) for port in outlets(pump)]
    found = [relief for name in joined if name is not None for relief in find(case, name)]
    return list({relief.name: relief for relief in found}.values())


def loop_guards(case: Case, side: str) -> list[Part]:
    """Reliefs that a side of a closed loop can always reach: to tank, or to the other side."""
    reached = case.network.reach([side], always_open)
    crossing = [
        passage.part
        for junction in reached.found
        for passage in case.network.out[junction]
        if passage.way is Way.CROSS
    ]
    return guards_of(case, side) + [case.circuit.parts[name] for name in dict.fromkeys(crossing)]


@once
def charges_loop(case: Case, pump: Part) -> bool:
    """Whether a pump makes up what leaks out of a closed loop, over checks."""
    outlet = case.network.at(pump.name, "P")
    if outlet is None:
        return False
    reached = case.network.reach([outlet], always_open).found
    others = (
        (case.circuit.parts[end.part], end.port)
        for name in reached
        if name not in case.network.tanks
        for end in case.circuit.junctions[name].ends
        if end.part != pump.name
    )
    return any(
        other.kind.word == "pump" and is_loop(other) and port in outlets(other)
        for other, port in others
    )


def is_vented(case: Case, relief: Part, state: State) -> bool:
    """Whether a relief stands open because its pilot stage is let down to tank."""
    pilot = case.network.at(relief.name, "X")
    return pilot is not None and pilot in case.facts.vented(state)


def fed_sections(case: Case, pump: Part) -> list[Part]:
    """Load-sensing sections that a pump can supply."""
    outlet = case.network.at(pump.name, "P")
    if outlet is None:
        return []
    reached = case.network.reach([outlet], supply_way)
    return [
        section
        for section in case.of_kind("section")
        if case.network.at(section.name, "P") in reached
    ]


def supply_way(passage: Passage) -> bool:
    """Passages from a pump to what it feeds, in any valve position, not through spools to T."""
    if passage.way is Way.SPOOL:
        return passage.outlet != "T"
    return passage.way in (
        Way.OPEN, Way.CHECK, Way.THROTTLE, Way.SHUT_OFF, Way.SETTING, Way.PILOTED, Way.LET_GO,
    )  # fmt: skip


@once
def control_limit(case: Case, pump: Part) -> Threshold | None:
    """Highest pressure that the pump's control can ask for [Pa], None where nothing says it.

    The cut-off, else (load sensing) the highest section limit plus the margin.
    """
    cutoff = pump.figure("compensator")
    if cutoff is not None:
        return Threshold(cutoff, f"cut-off of {pump.name}")
    if not is_load_sensing(pump):
        return None
    sections = fed_sections(case, pump)
    limits = [section.figure("limit") for section in sections]
    known = [limit for limit in limits if limit is not None]
    if not known or len(known) < len(sections):
        return None
    margin = pump.figure("margin") or 0.0
    return Threshold(max(known) + margin, "highest section limit + margin")


def shaft_speed(case: Case, pump: Part) -> float | None:
    """Speed of a pump's shaft as the text gives it [rad/s]."""
    if pump.driven_by and not pump.given("speed"):
        return case.circuit.parts[pump.driven_by].figure("speed")
    return pump.figure("speed")


def theoretical_flow(case: Case, pump: Part) -> float | None:
    """Displacement times speed [m3/s]."""
    speed, displacement = shaft_speed(case, pump), pump.figure("displacement")
    if speed is None or displacement is None:
        return None
    return displacement / (2.0 * math.pi) * speed


def idle_flow(case: Case, pump: Part) -> float | None:
    """Delivery at full stroke with the pump's volumetric efficiency [m3/s]."""
    flow = theoretical_flow(case, pump)
    return None if flow is None else flow * (pump.figure("volumetric") or 1.0)


def highest_pressure(case: Case, pump: Part) -> float | None:
    """Highest pressure at a pump's outlet: its control or its reliefs, whichever is lower [Pa]."""
    found = [relief.figure("set") for relief in guards(case, pump)]
    if is_controlled(pump):
        limit = control_limit(case, pump)
        found.append(None if limit is None else limit.value)
    known = [value for value in found if value is not None]
    return min(known) if known else None


@lru_cache(maxsize=1)
def highest_supply(case: Case) -> float | None:
    """Highest pressure that any pump of the circuit can bring [Pa]; None where nothing says it."""
    found = [highest_pressure(case, pump) for pump in case.of_kind("pump")]
    known = [value for value in found if value is not None]
    return max(known) if known else None
