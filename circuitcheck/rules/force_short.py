"""Cylinder that cannot move its load.

What is checked
    In every solved step, for every cylinder with a load: does it stand still against it?
    Where it moves, the force that is still in hand before the pump's control or relief
    acts, against 10 % of what is needed.

Why it matters on the machine
    It stalls, at the relief or the cut-off, with all the heat that goes with it.

What to do
    A larger bore, more pressure within the ratings, less back pressure; check that the right
    area was used.

Limits of this rule
    Steady forces: acceleration and breakaway friction come on top. The highest force is that
    of the setting of cut-off, relief or section limit on the area that is pushed, times the
    efficiency, with no pressure behind the piston.

Source
    force = pressure x area, textbook; 10 % in hand: common practice, no source
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.circuit.model import Step
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case
from circuitcheck.rules._loads import (
    MOVES,
    areas,
    commanded,
    cylinders,
    ordered_load,
    speed,
    weight,
)
from circuitcheck.rules._once import once
from circuitcheck.rules._paths import State
from circuitcheck.rules._pumps import highest_pressure
from circuitcheck.rules._rule import Needs, Outcome, Rule
from circuitcheck.rules._zones import Guard, guarded_junctions
from circuitcheck.solver.operating import OperatingPoint


def check(case: Case) -> Iterator[Outcome]:
    guards = guarded_junctions(case)
    for point in case.points:
        for cylinder in cylinders(case):
            load, drives = ordered_load(case, cylinder, point.step)
            if drives or not load or not commanded(case, cylinder, point.step):
                continue
            now = speed(case, cylinder, point.step) or 0.0
            if abs(now) <= MOVES:
                yield _stalled(case, cylinder, point, load)
            else:
                yield from _in_hand(case, cylinder, point, now, guards)


def _stalled(case: Case, cylinder: Part, point: OperatingPoint, load: float) -> Outcome:
    state = point.parts[cylinder.name]
    force = abs(state.values["force"])
    port = "cap" if state.values["force"] >= 0.0 else "rod"
    pressure = state.ports[port].pressure if port in state.ports else 0.0
    lift = abs(weight(case, cylinder, point.step))
    needs = case.show(load, "force") + (f" and {case.show(lift, 'force')} weight" if lift else "")
    return case.finding(
        f"{cylinder.name} gives {case.show(force, 'force')} at {case.bar(pressure)} in step "
        f"{point.step.name}, needs {needs}: it stands still",
        cylinder,
        step=point.step.name,
        numbers=(Number("force", force, "force"), Number("load", load, "force")),
    )


def _in_hand(
    case: Case, cylinder: Part, point: OperatingPoint, now: float, guards: dict[str, Guard]
) -> Iterator[Outcome]:
    least = case.limit("warn_in_hand")
    needed = abs(point.parts[cylinder.name].values["force"])
    pumps = _pumps(case, cylinder, point)
    if not pumps or not needed:
        return
    limits = [value for value in (highest_pressure(case, p) for p in pumps) if value is not None]
    port = "cap" if now > 0.0 else "rod"
    guard = guards.get(case.network.at(cylinder.name, port) or "")
    if not limits:
        yield case.not_checked(cylinder.name, "highest pressure of the pump that moves it")
        return
    pressure = min(max(limits), guard.pressure if guard else max(limits))
    area = _pushed(case, cylinder, point, port)
    efficiency = cylinder.figure("efficiency") or case.limit("efficiency").value
    most = pressure * area * efficiency
    share = most / needed - 1.0
    if share < least.value:
        yield case.finding(
            f"{cylinder.name} has only {100 * max(share, 0.0):.1f} % of force in hand in step "
            f"{point.step.name}: {case.show(needed, 'force')} needed, "
            f"{case.show(most, 'force')} at {case.bar(pressure)}; {100 * least.value:.0f} % is "
            f"the least ({least.origin})",
            cylinder,
            severity=Severity.WARNING,
            step=point.step.name,
            numbers=(
                Number("force needed", needed, "force"),
                Number("highest force", most, "force"),
                Number("share in hand", share, "share"),
            ),
        )


def _pushed(case: Case, cylinder: Part, point: OperatingPoint, port: str) -> float:
    """Area that the supply pushes on; less the other side where that is supplied too [m2]."""
    cap, rod = areas(cylinder)
    cap = point.parts[cylinder.name].values.get("area", cap)  # of the stage that moves
    own, other = (cap, rod) if port == "cap" else (rod, cap)
    supplied = case.facts.supplied(State(f"step {point.step.name}", point.step))
    back = case.network.at(cylinder.name, "rod" if port == "cap" else "cap")
    return abs(own - other) if back in supplied else own


def _pumps(case: Case, cylinder: Part, point: OperatingPoint) -> list[Part]:
    """Pumps whose oil reaches the cylinder in the step."""
    feeders = _feeders(case, point.step)
    ports = [case.network.at(cylinder.name, port) for port in ("cap", "rod")]
    found = {pump.name: pump for port in ports for pump in feeders.get(port or "", ())}
    return list(found.values())


@once
def _feeders(case: Case, step: Step) -> dict[str, list[Part]]:
    """Pumps whose oil reaches a junction in a step, by junction."""
    state = State(f"step {step.name}", step)
    found: dict[str, list[Part]] = {}
    for pump in case.of_kind("pump"):
        outlet = case.network.at(pump.name, "P")
        if outlet is not None:
            for name in case.facts.supplied_from(outlet, state).found:
                found.setdefault(name, []).append(pump)
    return found


RULE = Rule(
    "force-short",
    Severity.ERROR,
    check,
    Needs.NUMBERS,
    explains=("relief-open-in-work", "claim-off"),
)
