"""Accumulator that stays charged after stop.

What is checked
    For every accumulator: with the drive off and all valves at rest, can its oil reach a
    tank (a normally open bleed valve or a bleed orifice), or is it said to have a bleed
    valve? Is there at least a hand bleed, or a shut-off valve from it to tank?

Why it matters on the machine
    Stored oil can move the machine, or hurt a fitter, hours after the stop.

What to do
    Fit a normally open bleed valve that empties the accumulator at stop, or isolate it
    positively; add a hand bleed and a gauge.

Limits of this rule
    An error without any bleed, a warning with a hand bleed only. The gas energy is that of an
    expansion with the gas exponent of the accumulator down to its precharge.

Source
    vent automatically or isolate positively at shut-off: university notes on safe design
    after ISO 4413; blowdown valve example: US Army TM 55-1905-242-14, single page; trade
    article on unloading an accumulator
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._inside import Way
from circuitcheck.rules._paths import REST, Passage, in_state
from circuitcheck.rules._rule import Outcome, Rule
from circuitcheck.rules._stored import gas_energy, highest_seen, oil_held


def check(case: Case) -> Iterator[Outcome]:
    at_rest = in_state(case.circuit, REST)

    def by_hand(passage: Passage) -> bool:
        return passage.way is not Way.SETTING and (passage.way is Way.SHUT_OFF or at_rest(passage))

    for part in case.of_kind("accumulator"):
        junction = case.network.at(part.name, "P")
        if junction is None or part.says("bleed valve") or junction in case.facts.vented(REST):
            continue
        hand = part.says("hand bleed") or (
            case.network.reach([junction], by_hand).any_of(case.network.tanks) is not None
        )
        pressure = highest_seen(case, junction)
        numbers: list[Number] = []
        holds = "keeps its oil"
        if pressure is not None:
            numbers.append(Number("pressure", pressure, "pressure"))
            oil, energy = oil_held(part, pressure), gas_energy(part, pressure)
            if oil is None or energy is None:
                yield case.not_checked(part.name, "precharge, to know the energy in it")
            else:
                numbers += [Number("oil", oil, "volume"), Number("gas energy", energy, "energy")]
                holds = f"keeps up to {case.show(oil, 'volume')} of oil"
            holds += f" at {case.bar(pressure)}"
            if energy is not None:
                holds += f" ({case.show(energy, 'energy')})"
        bleed = "only a hand bleed" if hand else "no bleed, automatic or by hand"
        yield case.finding(
            f"accumulator {part.name} {holds} after stop; there is {bleed}",
            part,
            severity=Severity.WARNING if hand else Severity.ERROR,
            port="P",
            numbers=tuple(numbers),
        )


RULE = Rule("accumulator-no-bleed", Severity.ERROR, check)
