"""Hose between a suspended load and the valve that holds it.

What is checked
    For every cylinder that carries a weight or is said to be hanging or suspended: does a
    hose lie between the chamber that carries the load and its holding valve (counterbalance
    or brake valve, pilot-operated check, burst valve the right way round), or is there a hose
    and no holding valve at all?

Why it matters on the machine
    When the hose bursts, the load falls: a valve on the far side of a hose holds nothing.

What to do
    Bolt the holding valve to the cylinder port, or join it with hard tube; a burst valve for
    1.5 times the normal flow is the second choice.

Limits of this rule
    A burst valve counts as holding whatever flow it closes at. The speed of fall is that of
    oil leaving the open end of the hose (flow coefficient 0.62) under the load alone.

Source
    machinery held by hydraulics may move when its hose fails: mine-safety hose precautions;
    a valve in the actuator body protects: open hydraulics course page
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from circuitcheck.basics.findings import Note, Number, Severity
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case
from circuitcheck.rules._inside import Way
from circuitcheck.rules._loads import areas, cylinders, greatest_weight, load_side
from circuitcheck.rules._paths import Reach
from circuitcheck.rules._rule import Outcome, Rule

HOLDING = ("counterbalance", "pilot check", "double pilot check", "brake valve")
"""Kinds that let the oil of a load go only when they are asked to."""


def check(case: Case) -> Iterator[Outcome]:
    for cylinder in cylinders(case):
        port = load_side(case, cylinder)
        junction = case.network.at(cylinder.name, port) if port else None
        if junction is None:
            continue
        region = case.facts.carried(junction)
        holding = _holding(case, region)
        if holding is None:
            hoses = [case.circuit.parts[name] for name in _lines(case, region)]
            hose = next((part for part in hoses if part.choices.get("make") == "hose"), None)
            middle = "has no holding valve: the hose carries the load"
        else:
            valve, at = holding
            on_way = [case.circuit.parts[passage.part] for passage in region.path(at)]
            hose = next((part for part in on_way if part.choices.get("make") == "hose"), None)
            middle = f"and holding valve {valve.name}"
        if hose is None:
            continue
        name = hose.name
        text = (
            f"hose {name} lies between {cylinder.name} {middle}"
            if holding
            else f"{cylinder.name} {middle} ({name})"
        )
        speed = _falls(case, cylinder, port, hose)
        fall = "" if speed is None else f" at up to {case.oil_speed(speed)}"
        yield case.finding(
            f"{text}: a burst means the load falls{fall}",
            cylinder,
            port=port,
            numbers=() if speed is None else (Number("speed of fall", speed, "speed"),),
            notes=(Note(f"{name} is laid here", hose.place),),
        )


def _holding(case: Case, region: Reach) -> tuple[Part, str] | None:
    """Nearest valve that holds the load of a region, and the junction it stands on."""
    for junction in region.found:
        for passage in case.network.out[junction]:
            part = case.circuit.parts[passage.part]
            held = part.kind.word in HOLDING and passage.way in (Way.SETTING, Way.PILOTED)
            guards = part.kind.word == "burst valve" and passage.inlet == "in"
            passed = [before.part for before in region.path(junction)]
            if (held or guards) and part.name not in passed:
                return part, junction
    return None


def _lines(case: Case, region: Reach) -> list[str]:
    found = [passage.part for passage in region.found.values() if passage is not None]
    return [name for name in found if case.circuit.parts[name].kind.word == "line"]


def _falls(case: Case, cylinder: Part, port: str, hose: Part) -> float | None:
    """Speed at which the load pushes oil out of the open hose [m/s]."""
    area = areas(cylinder)[0 if port == "cap" else 1]
    force, bore = abs(greatest_weight(case, cylinder)), hose.figure("bore")
    if not force or not area or bore is None:
        return None
    density = float(case.circuit.oil.rho(case.circuit.oil_degC))
    hole = 0.62 * 0.25 * math.pi * bore**2
    return hole * math.sqrt(2.0 * force / area / density) / area


RULE = Rule("load-drops-on-hose-burst", Severity.ERROR, check)
