"""Suction line too narrow for its flow.

What is checked
    In every solved step: the oil speed in every line between a tank and a pump inlet,
    against 1.2 m/s (an error above 1.5 m/s).

Why it matters on the machine
    The drop grows with speed and viscosity, in the place with the least pressure to lose.

What to do
    Take the next larger bore.

Limits of this rule
    The speed alone says nothing about bends, strainers and lift: see inlet-starved.

Source
    1.2 m/s: textbook on fluid power circuits, ch. 9 (abstract); 0.6 to 1.2 m/s: velocity
    table of the trade; 1.5: common practice, no source
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from circuitcheck.basics.findings import Note, Number, Severity
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case
from circuitcheck.rules._paths import always_open
from circuitcheck.rules._rule import Needs, Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    warn, error = case.limit("warn_above"), case.limit("error_above")
    for line, pump in _suction_lines(case):
        point = max(case.points, key=lambda p: p.parts[line.name].values["speed"])
        values = point.parts[line.name].values
        speed, flow = values["speed"], abs(values["flow"])
        if speed <= warn.value:
            continue
        bore = line.figure("bore") or 0.0
        needed = math.sqrt(4.0 * flow / (math.pi * warn.value))
        yield case.finding(
            f"suction line {line.name}: {case.oil_speed(speed)} with {case.show(bore, 'length')} "
            f"bore in step {point.step.name}; {case.show(needed, 'length')} would give "
            f"{case.oil_speed(warn.value)} ({warn.origin})",
            line,
            severity=Severity.ERROR if speed > error.value else Severity.WARNING,
            step=point.step.name,
            numbers=(
                Number("speed", speed, "speed"),
                Number("flow", flow, "flow"),
                Number("bore needed", needed, "length"),
            ),
            notes=(Note(f"{pump.name} draws from it", pump.place),),
        )


def _suction_lines(case: Case) -> list[tuple[Part, Part]]:
    """Lines through which a pump draws from a tank, each with one such pump."""
    found: dict[str, tuple[Part, Part]] = {}
    for pump in case.of_kind("pump"):
        inlet = case.network.at(pump.name, "S")
        if inlet is None or inlet in case.network.tanks:
            continue
        reached = case.network.reach([inlet], always_open, backward=True)
        for passage in reached.found.values():
            if passage is not None:
                part = case.circuit.parts[passage.part]
                if part.kind.word == "line":
                    found[part.name] = (part, pump)
    return list(found.values())


RULE = Rule(
    "suction-line-fast", Severity.WARNING, check, Needs.NUMBERS, explains=("inlet-starved",)
)
