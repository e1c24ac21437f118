"""The case-drain test: what a sound pump or motor lets out of its case, and what joins it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from circuitcheck.circuit.model import Circuit, End, Junction
from circuitcheck.components._parts import Part, PortKind
from circuitcheck.solver.operating import Solution

ROTARY = ("pump", "motor")
CARRY = ("line", "filter", "cooler", "flowmeter", "shut-off", "check", "test point", "gauge")


@dataclass(frozen=True)
class CaseDrain:
    """Expected case flow of a unit in a step [SI]; ``theoretical`` is displacement x speed.

    ``limit`` is the flow at which it is worn, None where the part does not say; ``feeders``
    are other parts whose oil runs through the same drain before the tank.
    """

    part: str
    step: str
    oil_degC: float
    pressure: float
    speed: float
    flow: float
    theoretical: float
    limit: float | None
    feeders: tuple[str, ...]


def case_drains(circuit: Circuit, solution: Solution) -> list[CaseDrain]:
    """Give the expected case flow of every unit with a case port, in every solved step."""
    found = []
    for part in circuit.of_kind(*ROTARY):
        if not any(port.kind is PortKind.DRAIN for port in part.ports):
            continue
        others = tuple(_feeders(circuit, part))
        for point in solution.points:
            values = point.parts[part.name].values if point.success else {}
            if "case drain" not in values:
                continue
            full = (part.figure("displacement") or 0.0) / (2.0 * math.pi)
            speed = abs(values.get("speed", 0.0))
            found.append(
                CaseDrain(
                    part.name,
                    point.step.name,
                    point.oil_degC,
                    values.get("pressure", values.get("drop", 0.0)),
                    speed,
                    values["case drain"],
                    full * speed,
                    part.figure("wear limit"),
                    others,
                )
            )
    return found


def _feeders(circuit: Circuit, part: Part) -> list[str]:
    """Parts that let oil into the drain of a part, up to the tank."""
    tanks = {tank.name for tank in circuit.of_kind("tank")}
    starts = [
        junction
        for port in part.ports
        if port.kind is PortKind.DRAIN
        and (junction := circuit.junction_of(part.name, port.letter)) is not None
    ]
    seen = {junction.name for junction in starts}
    found: dict[str, None] = {}
    while starts:
        junction = starts.pop()
        if any(end.part in tanks for end in junction.ends):
            continue
        for end in junction.ends:
            other = circuit.parts[end.part]
            if other.kind.word in CARRY:
                for far in _others(circuit, end):
                    if far.name not in seen:
                        seen.add(far.name)
                        starts.append(far)
            elif other.name != part.name:
                found[str(end)] = None
    return list(found)


def _others(circuit: Circuit, end: End) -> list[Junction]:
    """Junctions on the further ports of a part that carries oil through."""
    ports = [port.letter for port in circuit.parts[end.part].ports if port.letter != end.port]
    there = (circuit.junction_of(end.part, letter) for letter in ports)
    return [junction for junction in there if junction is not None]
