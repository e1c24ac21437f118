"""Tank or oil not described.

What is checked
    The text names the oil, and gives the volume of every tank.

Why it matters on the machine
    Viscosity, inlet, heat and level cannot be judged, or are judged for an oil that is not
    in the tank.

What to do
    Write the oil with its grade and temperature, and the volume of the tank with the least
    that covers the suction.

Limits of this rule
    A text without steps is not asked for its oil. The lowest temperature at start is not
    asked for.

Source
    ISO 1219-2 clause 6 (clause list read)
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._rule import Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    assumed = {entry.name: entry for entry in case.circuit.assumptions if entry.part == "oil"}
    if not case.circuit.steps:
        assumed = {}  # nothing runs in it yet
    if "grade" in assumed:
        yield case.finding(f"the oil is not given; {assumed['grade'].text} is assumed")
    elif "temperature" in assumed:
        yield case.finding(
            f"the temperature of the oil is not given; {assumed['temperature'].text} is assumed",
            severity=Severity.ADVICE,
        )
    for tank in case.of_kind("tank"):
        if tank.figure("volume") is None:
            yield case.finding(f"{tank.name} has no volume: heat and level are not checked", tank)


RULE = Rule("tank-or-oil-data-missing", Severity.WARNING, check)
