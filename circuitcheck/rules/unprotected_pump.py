"""Pump without a relief valve that it can always reach.

What is checked
    From the outlet of every pump, oil must reach a tank through a relief valve over lines,
    fittings, filters and checks in their free direction only: with any element on that way
    that can be closed, there is a valve state in which the pump has no relief, all solenoids
    off included. A pressure cut-off at the pump does not count as a relief. A pump whose
    outlet is always open to a tank (a filter loop) needs none. Of a closed loop each side needs
    a relief, to tank or to the other side.

Why it matters on the machine
    A positive-displacement pump against a closed outlet raises the pressure until something
    breaks; a pressure control can stick at full stroke.

What to do
    Fit a relief valve for the full flow of the pump ahead of the first element that can
    close, its outlet straight to tank.

Limits of this rule
    A relief built into a part counts only if the text names it; a cartridge with a pilot relief
    does not count, nor does a relief behind a priority valve, and hand pumps are not asked.
    Whether the relief is large enough for the pump is another question. Valves locked open
    count as open.

Source
    ISO 4413, all parts protected against overpressure (university notes on safe design,
    older edition); relief sized for a failed compensator (aerospace notes on relief valves)
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Severity
from circuitcheck.components._parts import Part
from circuitcheck.components._pump_controls import is_loop
from circuitcheck.rules._case import Case, outlets
from circuitcheck.rules._guards import blocked_guard
from circuitcheck.rules._pumps import guards, is_controlled, loop_guards
from circuitcheck.rules._rule import Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    for pump in case.of_kind("pump"):
        if is_loop(pump):
            yield from _loop(case, pump)
            continue
        outlet = case.network.at(pump.name, "P")
        if outlet is None or outlet in case.facts.always_drained or guards(case, pump):
            continue
        blocked = blocked_guard(case, outlet)
        state = f" ({blocked.state})" if blocked else " (any state)"
        cutoff = pump.figure("compensator") if is_controlled(pump) else None
        rest = (
            "nothing limits its pressure"
            if cutoff is None
            else f"only its cut-off at {case.bar(cutoff)} limits its pressure"
        )
        yield case.finding(
            f"pump {pump.name} has no relief valve it can always reach{state}; {rest}",
            pump,
            port="P",
        )


def _loop(case: Case, pump: Part) -> Iterator[Outcome]:
    """Sides of a closed loop; either can be the driven one, be it by the load."""
    for port in outlets(pump):
        side = case.network.at(pump.name, port)
        if side is not None and not loop_guards(case, side):
            yield case.finding(
                f"side {port} of closed-loop pump {pump.name} has no relief valve that it can "
                "always reach, neither to tank nor to the other side",
                pump,
                port=port,
            )


RULE = Rule(
    "unprotected-pump",
    Severity.ERROR,
    check,
    explains=("relief-can-be-shut-off",),
)
