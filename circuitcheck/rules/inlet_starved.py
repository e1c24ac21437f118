"""Pump inlet below the pressure it needs.

What is checked
    In every solved step: the absolute pressure at the inlet of every pump (at sea level),
    against its own inlet limit, else 0.8 bar absolute (gear pumps 0.7).

Why it matters on the machine
    Cavitation: the pump is loud, slippers lift, and its life is short.

What to do
    A larger or shorter suction line, a flooded inlet, less speed, a coarser or cleaner
    strainer, or boost.

Limits of this rule
    At the oil temperature of the steps; a cold start is worse. Altitude takes about 0.1 bar
    from every 1000 m and is not known to the language.

Source
    0.8 bar absolute: general article on pump inlets, and from memory; causes of cavitation:
    technician's handbook
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.basics.unit_table import ATMOSPHERE
from circuitcheck.components.pump import construction
from circuitcheck.rules._case import Case
from circuitcheck.rules._rule import Needs, Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    for pump in case.of_kind("pump"):
        name = "gear" if construction(pump) == "gear" else "least"
        limit = case.limit(name, pump, "inlet limit")
        worst = min(case.points, key=lambda p: p.parts[pump.name].values["inlet pressure"])
        values = worst.parts[pump.name].values
        pressure = values["inlet pressure"]
        if pressure >= limit.value:
            continue
        absolute = pressure + ATMOSPHERE
        yield case.finding(
            f"inlet of {pump.name} stands at {case.bar(absolute)} absolute in step "
            f"{worst.step.name}, with {case.flow(values['flow'])} and "
            f"{case.show(worst.nu, 'viscosity')}; needs {case.bar(limit.value + ATMOSPHERE)} "
            f"({limit.origin})",
            pump,
            port="S",
            step=worst.step.name,
            numbers=(
                Number("inlet pressure, absolute", absolute, "pressure"),
                Number("least, absolute", limit.value + ATMOSPHERE, "pressure"),
            ),
        )


RULE = Rule("inlet-starved", Severity.ERROR, check, Needs.NUMBERS)
