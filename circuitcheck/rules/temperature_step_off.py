"""Part that warms the oil more than its drop explains.

What is checked
    Two thermometers read in one step, at the inlet and the outlet of one part: the rise
    against 0.06 K for each bar of its drop (worked out with the oil's own heat), plus 3 K.

Why it matters on the machine
    Warm where nothing should flow is a leak.

What to do
    Close the path and look again.

Limits of this rule
    Coolers, heaters, pumps and motors are left out: they bring or take heat or work.
    Thermometers count where nothing but lines lies between them and the part.

Source
    trade column on infrared thermometers; dT = dp/(rho c), textbook
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case
from circuitcheck.rules._read import Read, read
from circuitcheck.rules._rule import Needs, Outcome, Rule

LEFT_OUT = ("cooler", "heater", "tank", "pump", "motor", "thermometer", "line")


def check(case: Case) -> Iterator[Outcome]:
    most = case.limit("over").value
    found = [r for r in read(case, ("temperature",), "thermometer") if isinstance(r, Read)]
    regions = {r.part.name: _region(case, r.part) for r in found}
    for before in found:
        for after in found:
            if before is after or before.step != after.step:
                continue
            for part in case.circuit.parts.values():
                drop = _drop(
                    case, part, before, regions[before.part.name], regions[after.part.name]
                )
                if drop is None or drop < 0.0:
                    continue
                oil = case.circuit.oil
                rise = after.value - before.value
                explained = drop / (before.point.rho * oil.specific_heat)
                if rise > explained + most:
                    yield case.finding(
                        f"{part.name} warms the oil by {rise:.1f} K in step {before.step}; "
                        f"{case.bar(drop)} over it explain {explained:.1f} K",
                        part,
                        step=before.step,
                        place=after.claim.place,
                        numbers=(Number("rise", rise, "temperature_difference"),),
                    )


def _region(case: Case, thermometer: Part) -> set[str]:
    """Junctions that nothing but sized lines join to a thermometer."""
    joints = list(case.network.joints[thermometer.name].values())
    lines = {line.name for line in case.of_kind("line")}
    return set(case.network.reach(joints, lambda passage: passage.part in lines).found)


def _drop(case: Case, part: Part, at: Read, inlet: set[str], outlet: set[str]) -> float | None:
    """Pressure that a part takes between two groups of junctions, None if it joins them not."""
    if part.kind.word in LEFT_OUT:
        return None
    for passage in case.network.of_part[part.name]:
        if passage.start in inlet and passage.stop in outlet:
            ports = at.point.parts[part.name].ports
            return ports[passage.inlet].pressure - ports[passage.outlet].pressure
    return None


RULE = Rule("temperature-step-off", Severity.ADVICE, check, Needs.NUMBERS)
