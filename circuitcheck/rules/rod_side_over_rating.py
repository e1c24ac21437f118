"""Rod side of a cylinder above its rating.

What is checked
    The highest pressure of all solved steps at the rod port of every cylinder, against the
    rating of the cylinder and of the lines that hang on that port.

Why it matters on the machine
    Metering the oil that leaves the rod side, or holding it with a counterbalance valve,
    makes the cylinder an intensifier; the pump's relief does not limit that pressure.

What to do
    Meter on the way in, lower the setting, fit a relief at the rod port, or take a rod that
    makes the ratio smaller.

Limits of this rule
    Steady pressures only. Closed volumes whose pressure only leakage decides are left out;
    see rod-side-can-lock for a rod side that is shut in.

Source
    trade article on pressure intensification
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Note, Number, Severity
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case
from circuitcheck.rules._loads import areas
from circuitcheck.rules._rule import Needs, Outcome, Rule
from circuitcheck.solver.operating import COMPUTED


def check(case: Case) -> Iterator[Outcome]:
    for cylinder in case.of_kind("cylinder"):
        rod = case.network.at(cylinder.name, "rod")
        if rod is None or case.network.at(cylinder.name, "cap") is None:
            continue
        weakest = _weakest(case, cylinder, rod)
        if weakest is None:
            yield case.not_checked(cylinder.name, "highest working pressure ('rated')")
            continue
        found = [
            (point.junctions[rod].pressure, point)
            for point in case.points
            if point.junctions[rod].status == COMPUTED
        ]
        if not found:
            continue
        pressure, point = max(found, key=lambda pair: pair[0])
        part, rated = weakest
        if pressure <= rated:
            continue
        cap = point.parts[cylinder.name].ports["cap"].pressure
        cap_area, rod_area = areas(cylinder)
        yield case.finding(
            f"rod side of {cylinder.name} reaches {case.bar(pressure)} in step "
            f"{point.step.name}: {case.bar(cap)} at the cap, area ratio "
            f"{cap_area / rod_area:.2f}; rated {case.bar(rated)} (limit from {part.name})",
            cylinder,
            port="rod",
            step=point.step.name,
            numbers=(
                Number("rod-side pressure", pressure, "pressure"),
                Number("cap-side pressure", cap, "pressure"),
                Number("area ratio", cap_area / rod_area, "ratio"),
                Number("rating", rated, "pressure"),
            ),
            notes=() if part is cylinder else (Note(f"{part.name} is rated here", part.place),),
        )


def _weakest(case: Case, cylinder: Part, rod: str) -> tuple[Part, float] | None:
    """Part of lowest rating among the cylinder and the lines on its rod port."""
    parts = [cylinder]
    parts += [
        case.circuit.parts[p.part]
        for p in case.network.out[rod]
        if case.circuit.parts[p.part].kind.word == "line"
    ]
    rated = [(part, part.figure("rated")) for part in parts if part.given("rated")]
    known = [(part, value) for part, value in rated if value is not None]
    return min(known, key=lambda pair: pair[1]) if known else None


RULE = Rule(
    "rod-side-over-rating",
    Severity.ERROR,
    check,
    Needs.NUMBERS,
    explains=("pressure-over-rating",),
)
