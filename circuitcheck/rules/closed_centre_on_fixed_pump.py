"""Fixed pump that has nowhere to unload at rest.

What is checked
    For every fixed pump that feeds directional valves: with all valves at rest, is there a
    way from its outlet to a tank, an unloading valve, or a relief or cartridge whose pilot is
    let down to tank? Where a step with all valves at rest was solved, its outlet pressure must
    also stay under the unloading limit; to that comes what a priority valve keeps up.

Why it matters on the machine
    The whole flow goes over the relief at full pressure while nothing moves. The usual first
    mistake when a closed-centre or load-sensing valve bank is put on a gear pump.

What to do
    Take an open or tandem centre, an unloading valve worked by the load signal or the
    system pressure, or a variable pump.

Limits of this rule
    A drive that stops between cycles is not known. An unloading valve and a vented relief are
    taken to do their work.

Source
    closed-centre valve question and answer in the trade press; common practice
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from circuitcheck.basics.findings import Note, Number, Severity
from circuitcheck.components._parts import Part
from circuitcheck.components.pump import is_variable
from circuitcheck.rules._case import Case
from circuitcheck.rules._idle import is_idle
from circuitcheck.rules._inside import Way
from circuitcheck.rules._paths import REST, Passage, Reach, in_state
from circuitcheck.rules._pumps import cracking, guards, idle_flow, is_vented
from circuitcheck.rules._rule import Outcome, Rule

CENTRED = ("valve", "section", "bank section")


def check(case: Case) -> Iterator[Outcome]:
    limit = case.limit("unloaded_below")
    idle = [point for point in case.points if is_idle(case, point.step)]
    for pump in case.of_kind("pump"):
        outlet = case.network.at(pump.name, "P")
        if outlet is None or is_variable(pump):
            continue
        reached = case.network.reach([outlet], _open_at_rest(case))
        parts = _met(case, reached)
        shut = [part for part in parts if part.kind.word in CENTRED]
        if not shut or any(_unloads(case, part) for part in parts):
            continue
        pressure = max((p.parts[pump.name].values["pressure"] for p in idle), default=None)
        has_way = reached.any_of(case.network.tanks) is not None
        if has_way if pressure is None else pressure <= limit.value + _kept_up(parts):
            continue
        yield _finding(case, pump, shut[0], pressure)


def _open_at_rest(case: Case) -> Callable[[Passage], bool]:
    allowed, vented = in_state(case.circuit, REST), case.facts.vented(REST)
    return lambda p: allowed(p) or (p.way is Way.LET_GO and p.pilot in vented)


def _unloads(case: Case, part: Part) -> bool:
    """Whether a part lets the pump run free by itself: unloading valve, or vented relief."""
    return part.kind.word == "unloading valve" or is_vented(case, part, REST)


def _kept_up(parts: list[Part]) -> float:
    """Pressure that a priority valve keeps for its first consumer, also at rest [Pa]."""
    kept = [part.figure("set") or 0.0 for part in parts if part.kind.word == "priority valve"]
    return max(kept, default=0.0)


def _met(case: Case, reached: Reach) -> list[Part]:
    """Parts that stand on what the pump reaches, in that order; behind a motor none."""
    names = [
        passage.part
        for junction in reached.found
        if junction not in case.network.tanks
        for passage in case.network.out[junction]
        if passage.way is not Way.MOTOR
    ]
    return [case.circuit.parts[name] for name in dict.fromkeys(names)]


def _finding(case: Case, pump: Part, shut: Part, solved: float | None) -> Outcome:
    flow = idle_flow(case, pump)
    reliefs = guards(case, pump)
    crack = min((cracking(relief) for relief in reliefs), default=None)
    pressure = solved if solved is not None else crack
    over = f" over relief {reliefs[0].name}" if reliefs else ""
    at = "" if pressure is None else f" at {case.bar(pressure)}"
    sends = "its whole flow" if flow is None else case.flow(flow)
    numbers: list[Number] = []
    heat = ""
    if flow is not None and pressure is not None:
        heat = f": {case.power(flow * pressure)} of heat while nothing moves"
        numbers = [
            Number("flow", flow, "flow"),
            Number("pressure", pressure, "pressure"),
            Number("heat", flow * pressure, "power"),
        ]
    return case.finding(
        f"with all valves at rest, fixed pump {pump.name} sends {sends}{over}{at}{heat}",
        pump,
        numbers=tuple(numbers),
        notes=(
            Note(f"{shut.name} is closed at rest", shut.place),
            *(Note(f"{relief.name} takes the flow", relief.place) for relief in reliefs[:1]),
        ),
    )


RULE = Rule(
    "closed-centre-on-fixed-pump",
    Severity.ERROR,
    check,
    explains=(
        "idle-over-relief",
        "oil-too-hot",
        "standby-loss-high",
        "starts-under-load",
        "surplus-flow",
        "drive-duty-too-hard",
    ),
)
