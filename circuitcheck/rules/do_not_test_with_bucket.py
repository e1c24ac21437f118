"""Flow that was read where there is no flow meter.

What is checked
    Readings of flow at parts in whose line no flow meter stands: is the flow more than
    20 L/min, or is the oil there at more than 10 bar in that step?

Why it matters on the machine
    Such a reading is taken with an open line and a bucket: men and floor are covered, and a
    jet goes through the skin.

What to do
    A flow meter in the line, or a tester with its own loading valve. Only a case drain without
    pressure and with little flow may run into an open vessel.

Limits of this rule
    A meter that is carried from place to place is not in the drawing: name one as a part of
    the circuit, or accept the finding with the name of the tester.

Source
    trade articles on testing without a meter and on safe testing; limits common practice,
    no source
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.circuit.model import Claim
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case
from circuitcheck.rules._rule import Needs, Outcome, Rule

DRAIN = "case drain"


def check(case: Case) -> Iterator[Outcome]:
    flow, pressure = case.limit("flow"), case.limit("pressure")
    for reading in case.circuit.readings:
        part = case.circuit.parts.get(reading.subject)
        if reading.figure.quantity != "flow" or part is None or _metered(case, part, reading):
            continue
        passed = abs(reading.figure.value)
        stands = _pressure(case, part, reading)
        if passed > flow.value or stands > pressure.value:
            yield case.finding(
                f"to read the {reading.what} of {part.name} without a meter in the line would "
                f"put {case.flow(passed)} from {case.bar(stands)} into the open "
                f"({flow.origin})",
                part,
                place=reading.place,
                step=reading.step,
                numbers=(
                    Number("flow", passed, "flow"),
                    Number("pressure there", stands, "pressure"),
                ),
            )


def _ports(part: Part, reading: Claim) -> list[str]:
    """Ports of a part through which what was read runs."""
    if reading.port:
        return [reading.port]
    drains = [port.letter for port in part.ports if port.letter in ("L", "L1")]
    if reading.what == DRAIN:
        return drains
    return [port.letter for port in part.ports if port.letter not in drains]


def _metered(case: Case, part: Part, reading: Claim) -> bool:
    """Whether a flow meter stands in a line of the part, or is what was read."""
    if part.kind.word == "flowmeter":
        return True
    junctions = [case.network.at(part.name, port) for port in _ports(part, reading)]
    return any(
        case.circuit.parts[passage.part].kind.word == "flowmeter"
        for junction in junctions if junction is not None
        for there in case.facts.region(junction).found
        for passage in case.network.out[there]
    )  # fmt: skip


def _pressure(case: Case, part: Part, reading: Claim) -> float:
    """Highest pressure at these ports, in the step of the reading or in any [Pa]."""
    points = [p for p in case.points if not reading.step or p.step.name == reading.step]
    ports = _ports(part, reading)
    found = [p.parts[part.name].ports[port].pressure for p in points for port in ports
             if port in p.parts[part.name].ports]  # fmt: skip
    return max((value for value in found if value == value), default=0.0)  # NaN is not itself


RULE = Rule("do-not-test-with-bucket", Severity.ADVICE, check, Needs.NUMBERS)
