"""More flow asked for than the pump can give.

What is checked
    In every solved step: the flows that the commanded load-sensing sections are set to (full
    flow x travel), against what their pumps deliver at full stroke or at their torque limit.
    Sections that pass next to nothing (stalled at a load) are not counted as asking.

Why it matters on the machine
    The margin collapses. With the compensator before the spool, the function with the
    highest load stops first.

What to do
    A larger pump or more speed, less flow in each function, or priority for the one that
    matters.

Limits of this rule
    Only sections ask; flow controls and plain proportional valves are not added up. No
    function is known as critical, so the finding is a warning.

Source
    definitions in a textbook on mobile hydraulic systems; US Army TM 5-2410-241-23-1
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Note, Number, Severity
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case
from circuitcheck.rules._pumps import fed_sections
from circuitcheck.rules._rule import Needs, Outcome, Rule
from circuitcheck.solver.operating import OperatingPoint

ASKS_FROM = 0.02
"""Share of its set flow under which a section counts as stalled; own choice."""


def check(case: Case) -> Iterator[Outcome]:
    groups: dict[tuple[str, ...], list[Part]] = {}
    for pump in case.of_kind("pump"):
        names = tuple(section.name for section in fed_sections(case, pump))
        if names:
            groups.setdefault(names, []).append(pump)
    for names, pumps in groups.items():
        sections = [case.circuit.parts[name] for name in names]
        for point in case.points:
            yield from _step(case, pumps, sections, point)


def _step(
    case: Case, pumps: list[Part], sections: list[Part], point: OperatingPoint
) -> Iterator[Outcome]:
    asked: dict[str, float] = {}
    for section in sections:
        orders = case.orders(point.step, section.name)
        if (orders.position or section.rest) == section.rest:
            continue
        wanted = (section.figure("flow") or 0.0) * orders.opening
        if point.parts[section.name].values["flow"] > ASKS_FROM * wanted:
            asked[section.name] = wanted
    given = sum(point.parts[pump.name].values["flow"] for pump in pumps)
    starved = [name for name in asked if "short of flow" in point.parts[name].state]
    total = sum(asked.values())
    if not starved or total <= given * 1.001:
        return
    worst = min(starved, key=lambda name: point.parts[name].values["flow"] / asked[name])
    share = point.parts[worst].values["flow"] / asked[worst]
    margin = point.parts[pumps[0].name].values.get("margin")
    falls = "" if margin is None else f": margin falls to {case.bar(margin)} and"
    names = " and ".join(pump.name for pump in pumps)
    yield case.finding(
        f"step {point.step.name} asks {case.flow(total)}, {names} gives {case.flow(given)}"
        f"{falls or ':'} {worst} runs at {100 * share:.0f} %",
        pumps[0],
        step=point.step.name,
        numbers=(
            Number("flow asked for", total, "flow"),
            Number("flow given", given, "flow"),
            Number(f"share that {worst} gets", share, "share"),
        ),
        notes=tuple(Note(f"{name} asks", case.circuit.parts[name].place) for name in asked),
    )


RULE = Rule(
    "pump-saturated",
    Severity.WARNING,
    check,
    Needs.NUMBERS,
    explains=("claim-off", "speed-off-target", "flow-control-starved"),
)
