"""Where a circuit can be read: gauges that are fitted, and places where one could be put."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.circuit.model import Circuit, Claim
from circuitcheck.components._parts import Figure, Part

ACTUATORS = ("cylinder", "telescopic cylinder", "motor", "rotary actuator")
DRIVES = ("electric motor", "engine")
FITTED = ("gauge", "test point", "flowmeter")

USUAL = {"pressure": 0.016, "flow": 0.03, "speed": 0.03, "rotation": 0.01, "power": 0.03}
"""Tolerance of a usual meter as a share of what it shows; common practice, no source."""


def fitted(circuit: Circuit) -> list[tuple[Part, str, str]]:
    """Meters of the circuit: part, what it shows, quantity. Without any, outlets of pumps."""
    found = []
    for part in circuit.of_kind(*FITTED):
        what = "flow" if part.kind.word == "flowmeter" else "pressure"
        found.append((part, what, what))
    if not found:
        found = [(pump, "pressure", "pressure") for pump in circuit.of_kind("pump")]
    return found


def places(circuit: Circuit) -> list[Claim]:
    """Everything that could be read with a gauge, a meter, a watch, in every step."""
    return [
        _meter(part, port, what, quantity, step.name)
        for step in circuit.steps
        for part in circuit.parts.values()
        for port, what, quantity in _of(part)
    ]


def _of(part: Part) -> Iterator[tuple[str, str, str]]:
    word = part.kind.word
    letters = [port.letter for port in part.ports]
    measures = {measure.name: measure.quantity for measure in part.kind.measures}
    if word in FITTED:
        what = "flow" if word == "flowmeter" else "pressure"
        yield "", what, what
    elif word == "pump":
        for letter in letters:
            if letter in ("S", "P", "A", "B", "X", "L"):
                yield letter, "pressure", "pressure"
        yield "", "flow", "flow"
        if "L" in letters:
            yield "", "case drain", "flow"
    elif word in ACTUATORS:
        for letter in letters:
            yield letter, "pressure", "pressure"
        if "speed" in measures:
            yield "", "speed", measures["speed"]
        if "L" in letters:
            yield "", "case drain", "flow"
    elif word in DRIVES:
        yield "", "speed", "rotation"
        yield "", "power", "power"
    elif word == "relief":
        yield "", "flow", "flow"
        yield "T", "pressure", "pressure"
    elif word in ("filter", "strainer"):
        yield "", "drop", "pressure"
    elif word in ("valve", "section"):
        for letter in letters:
            if letter in ("P", "A", "B", "T"):
                yield letter, "pressure", "pressure"


def _meter(part: Part, port: str, what: str, quantity: str, step: str) -> Claim:
    return Claim(
        part.name, port, what, Figure(0.0, "", quantity), step, USUAL.get(quantity, 0.02), True
    )


def same_place(one: Claim, other: Claim) -> bool:
    """Whether two readings are of one thing in one step."""
    return (one.subject, one.port, one.what, one.step) == (
        other.subject, other.port, other.what, other.step,
    )  # fmt: skip
