"""Valve on a plate of another size, or too small for its flow.

What is checked
    The size of every valve against that of its plate, where both are given (an error); and
    its greatest flow in any solved step against what the size usually passes (size 06 60
    L/min, size 10 120 L/min; a warning).

Why it matters on the machine
    It does not fit; or it fits and takes too much of the pressure.

What to do
    Match the sizes; take the next size for more flow.

Limits of this rule
    Flow by size only for 06 and 10; the valve's own curve wins (valve-over-flow).

Source
    ISO 4401 patterns, from memory; flows from memory
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.components._parts import Part
from circuitcheck.rules import _fit
from circuitcheck.rules._case import Case
from circuitcheck.rules._rule import Outcome, Rule
from circuitcheck.solver.operating import OperatingPoint

CLASSES = {"06": "size_06", "6": "size_06", "10": "size_10"}


def check(case: Case) -> Iterator[Outcome]:
    for valve in case.of_kind("valve"):
        size, plate = _fit.code(valve, "size"), _fit.code(valve, "plate")
        if size and plate and size.lstrip("0") != plate.lstrip("0"):
            yield case.finding(
                f"{valve.name} of size {size} stands on a plate of size {plate}", valve
            )
            continue
        if size not in CLASSES or not case.points:
            continue
        limit = case.limit(CLASSES[size])
        point = max(case.points, key=lambda p: _flow(p, valve))
        flow = _flow(point, valve)
        if flow > limit.value:
            yield case.finding(
                f"{valve.name} of size {size} passes {case.flow(flow)} in step {point.step.name}; "
                f"{case.flow(limit.value)} is usual ({limit.origin})",
                valve,
                severity=Severity.WARNING,
                step=point.step.name,
                numbers=(Number("flow", flow, "flow"),),
            )


def _flow(point: OperatingPoint, valve: Part) -> float:
    return max((abs(port.flow) for port in point.parts[valve.name].ports.values()), default=0.0)


RULE = Rule("valve-plate-mismatch", Severity.ERROR, check)
