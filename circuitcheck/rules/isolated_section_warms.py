"""Tool that stands shut and warms.

What is checked
    Chambers of actuators that only quick couplings join to the rest: shut when these are
    parted, without a relief or accumulator of their own. The rise that 10 K of warming
    brings.

Why it matters on the machine
    It cannot be coupled again, or something bursts, when the tool has lain in the sun.

What to do
    Couplings that relieve themselves, or a small relief on the tool.

Limits of this rule
    A rigid volume is taken; hoses give way and halve the rise. Couplings that a step never
    parts count as well: they are there to be parted.

Source
    expansion times bulk modulus of mineral oil; about 12 bar a kelvin
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._loads import (
    actuators,
    sides,
)
from circuitcheck.rules._rule import Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    couplings = case.of_kind("quick coupling")
    if not couplings:
        return
    names = {coupling.name for coupling in couplings}
    oil = case.circuit.oil
    warms = case.limit("heating").value
    stiffness = float(oil.bulk_modulus(case.circuit.oil_degC))
    rise = oil.fluid["expansion"].value * stiffness * warms
    for part in actuators(case):
        for port in sides(part):
            junction = case.network.at(part.name, port)
            if junction is None:
                continue
            reached = case.network.reach([junction], lambda p: p.part not in names)
            words = {
                case.circuit.parts[end.part].kind.word
                for name in reached.found
                for end in case.circuit.neighbours(name)
            }
            shut = "quick coupling" in words and not words & FREE
            if shut and reached.any_of(case.network.tanks) is None:
                yield case.finding(
                    f"{part.name} {port}, uncoupled and warmed by {warms:g} K, rises by "
                    f"{case.bar(rise)}",
                    part,
                    port=port,
                    numbers=(Number("rise", rise, "pressure"),),
                )
                break


FREE = {"accumulator", "relief", "port relief", "valve", "section", "bank section", "pump"}
"""Kinds on the tool itself that take up or let go the oil, or that shut it off elsewhere."""


RULE = Rule("isolated-section-warms", Severity.ADVICE, check)
