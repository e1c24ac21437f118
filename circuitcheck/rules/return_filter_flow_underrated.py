"""Return filter that gets more flow than it is rated for.

What is checked
    In every solved step: the flow through every filter on a way that is always open to the
    tank, against its rated flow.

Why it matters on the machine
    A retracting cylinder sends more oil back than the pump delivers, by its area ratio: the
    bypass opens and dirt goes round, or the element collapses.

What to do
    Size the filter by the greatest return flow, not by the pump.

Limits of this rule
    Steady flows: accumulators and falling loads can bring more. A filter without a rated
    flow in the text is listed as not checked.

Source
    continuity of flow; common practice
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Note, Number, Severity
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case
from circuitcheck.rules._rule import Needs, Outcome, Rule
from circuitcheck.solver.operating import OperatingPoint


def check(case: Case) -> Iterator[Outcome]:
    for part in case.of_kind("filter"):
        if case.network.at(part.name, "out") not in case.facts.always_drained:
            continue
        rated = part.figure("flow")
        if not part.given("flow") or rated is None:
            yield case.not_checked(part.name, "rated flow of the filter")
            continue
        point = max(case.points, key=lambda p: p.parts[part.name].values["flow"])
        flow = point.parts[part.name].values["flow"]
        if flow <= rated:
            continue
        pumped = sum(point.parts[p.name].values["flow"] for p in case.of_kind("pump"))
        cylinder = _retracting(case, point)
        sends = "" if cylinder is None else f", retracting {cylinder.name}"
        yield case.finding(
            f"step {point.step.name}{sends} sends {case.flow(flow)} through {part.name} (rated "
            f"{case.flow(rated)}, limit from {part.name}); the pumps give {case.flow(pumped)}",
            part,
            step=point.step.name,
            numbers=(
                Number("return flow", flow, "flow"),
                Number("rated flow", rated, "flow"),
                Number("pump flow", pumped, "flow"),
            ),
            notes=() if cylinder is None else (Note(f"{cylinder.name} sends it", cylinder.place),),
        )


def _retracting(case: Case, point: OperatingPoint) -> Part | None:
    moving = [
        (point.parts[c.name].values["flow"], c)
        for c in case.of_kind("cylinder")
        if point.parts[c.name].values["speed"] < 0.0
    ]
    return max(moving, key=lambda pair: pair[0])[1] if moving else None


RULE = Rule(
    "return-filter-flow-underrated",
    Severity.WARNING,
    check,
    Needs.NUMBERS,
    explains=("return-pressure-high", "filter-bypass-open", "return-line-fast"),
)
