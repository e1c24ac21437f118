"""Load-sensing line that stays under pressure at rest.

What is checked
    For every load-sensing pump: with all valves at rest, can the oil at its port X run off
    to a tank (through spools that vent the signal, a shuttle, a bleed orifice)?

Why it matters on the machine
    The last load signal stays caught and the pump never comes down to standby.

What to do
    Take valves whose rest position drains the signal, or the small bleed orifice that many
    pump controls have. Do not add a bleed blindly: behind a small signal orifice it eats
    the signal.

Limits of this rule
    A bleed inside the pump control is known only if the text shows it as an orifice.

Source
    standby works because the signal falls to zero: US Army TM 10-3930-660-34; bleed orifice
    in the signal passage: TM 5-2410-240-23-1 (single pages read)
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._paths import REST
from circuitcheck.rules._pumps import is_load_sensing
from circuitcheck.rules._rule import Outcome, Rule
from circuitcheck.rules._stored import highest_seen


def check(case: Case) -> Iterator[Outcome]:
    for pump in case.of_kind("pump"):
        signal = case.network.at(pump.name, "X")
        if not is_load_sensing(pump) or signal is None or signal in case.facts.vented(REST):
            continue
        margin = pump.figure("margin") or 0.0
        last = highest_seen(case, signal)
        stays = "" if last is None else f" at up to {case.bar(last + margin)}"
        yield case.finding(
            f"LS line {signal} is trapped with all valves at rest; {pump.name} stays{stays} "
            f"instead of {case.bar(margin)} standby",
            pump,
            port="X",
            numbers=(Number("margin", margin, "pressure"),),
        )


RULE = Rule(
    "ls-line-without-bleed",
    Severity.ERROR,
    check,
    explains=("low-standby-off", "standby-loss-high"),
)
