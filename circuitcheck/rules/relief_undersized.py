"""Relief valve smaller than the flow that can reach it.

What is checked
    For the lowest relief that each pump can always reach: its rated flow, against the
    delivery of all pumps that rely on it, at full stroke (a pressure control can stick
    there) and the speed of their drive.

Why it matters on the machine
    At more than its rated flow the relief holds a higher pressure than its setting: that
    pressure, not the setting, is what the parts must stand.

What to do
    A larger relief, or one for each pump.

Limits of this rule
    Oil of accumulators and of cylinders that are pushed is not added. A relief without a
    rated flow in the text is listed as not checked.

Source
    aerospace notes on relief valves; lecture text on pressure valves
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Note, Number, Severity
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case
from circuitcheck.rules._pumps import guards, idle_flow
from circuitcheck.rules._rule import Outcome, Rule
from circuitcheck.rules._zones import full_flow_pressure


def check(case: Case) -> Iterator[Outcome]:
    relying: dict[str, list[Part]] = {}
    for pump in case.of_kind("pump"):
        lowest = min(guards(case, pump), key=lambda r: r.figure("set") or 0.0, default=None)
        if lowest is not None:
            relying.setdefault(lowest.name, []).append(pump)
    for name, pumps in relying.items():
        relief = case.circuit.parts[name]
        rated = relief.figure("flow")
        flows = [flow for flow in (idle_flow(case, pump) for pump in pumps) if flow is not None]
        if rated is None or not relief.given("flow"):
            yield case.not_checked(name, "rated flow of the relief")
        elif len(flows) < len(pumps):
            yield case.not_checked(name, "speed of the pumps that rely on it")
        elif sum(flows) > rated:
            yield _finding(case, relief, pumps, sum(flows), rated)


def _finding(case: Case, relief: Part, pumps: list[Part], flow: float, rated: float) -> Outcome:
    pressure = full_flow_pressure(relief, flow)
    return case.finding(
        f"relief {relief.name} is rated {case.flow(rated)} (limit from {relief.name}); up to "
        f"{case.flow(flow)} can reach it, the line then goes to about {case.bar(pressure)}",
        relief,
        numbers=(
            Number("rated flow", rated, "flow"),
            Number("greatest flow", flow, "flow"),
            Number("pressure at that flow", pressure, "pressure"),
        ),
        notes=tuple(Note(f"{pump.name} relies on it", pump.place) for pump in pumps),
    )


RULE = Rule("relief-undersized", Severity.ERROR, check)
