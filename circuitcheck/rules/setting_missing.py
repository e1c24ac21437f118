"""Adjustable part without a setting.

What is checked
    Relief, crossport and port relief, sequence, reducing, counterbalance, brake, unloading,
    priority and burst valves, flow controls (two and three ports), compensators, pressure
    switches, the release pressure of brakes, the cut-off of pumps with a pressure control and
    the margin of load-sensing pumps: the text gives the setting. An error for reliefs and for
    a pressure-compensated pump (without a cut-off it never destrokes), else a warning.

Why it matters on the machine
    The mechanic will set it by ear.

What to do
    State value and unit, and at which flow it holds.

Limits of this rule
    Settings that a valve cannot work without are asked for when the text is read; what is
    left to this rule are those that were filled in as assumed, or that are missing at a pump.

Source
    ISO 1219-2 clause 6 (clause list read); note the right pressures once they are found:
    US Army TM 5-3810-293-14P-2 (single page)
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Severity
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case
from circuitcheck.rules._pumps import RELIEFS, is_controlled, is_load_sensing
from circuitcheck.rules._rule import Outcome, Rule

SETTINGS = {
    "relief": "set",
    "sequence": "set",
    "reducing valve": "set",
    "counterbalance": "set",
    "unloading valve": "set",
    "compensator": "set",
    "flow control": "flow",
    "bypass flow control": "flow",
    "brake valve": "set",
    "crossport relief": "set",
    "port relief": "set",
    "priority valve": "set",
    "burst valve": "closes",
    "pressure switch": "set",
    "brake": "release",
}
"""Kind -> the figure that is adjusted or chosen on the machine."""
GUARDING = (*RELIEFS, "crossport relief")


def check(case: Case) -> Iterator[Outcome]:
    for part in case.circuit.parts.values():
        for name, words, severity in _asked(part):
            if part.given(name):
                continue
            taken = part.figure(name)
            parameter = part.kind.parameter(name)
            quantity = "pressure" if parameter is None else parameter.quantity
            assumed = "" if taken is None else f" ({case.show(taken, quantity)} is assumed)"
            yield case.finding(
                f"{part.name} is adjustable, but its {words} is not given{assumed}",
                part,
                severity=severity,
            )


def _asked(part: Part) -> Iterator[tuple[str, str, Severity]]:
    """Settings that a part should have: figure, its words, how much its lack weighs."""
    word = part.kind.word
    if word in SETTINGS:
        severity = Severity.ERROR if word in GUARDING else Severity.WARNING
        yield SETTINGS[word], "setting", severity
    if word == "pump" and is_controlled(part):
        lasting = not is_load_sensing(part)
        severity = Severity.ERROR if lasting else Severity.WARNING
        yield "compensator", "pressure cut-off ('compensator')", severity
    if word == "pump" and is_load_sensing(part):
        yield "margin", "load-sensing margin", Severity.WARNING


RULE = Rule("setting-missing", Severity.WARNING, check, explains=("idle-over-relief",))
