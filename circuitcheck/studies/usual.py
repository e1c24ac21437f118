"""Results that people ask for first, where they name none."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.circuit.model import Circuit

MOVERS = {
    "cylinder": "speed", "telescopic cylinder": "speed", "rotary actuator": "speed",
    "winch": "speed", "wheel": "speed", "motor": "speed",
}  # fmt: skip
"""What moves a load, and what is asked of it."""

LOADS = ("winch", "wheel")
"""Loads on a shaft: the motor that turns them says nothing more."""


def usual_results(circuit: Circuit) -> list[str]:
    """Give names of results: how fast the loads move, what the pumps and drives do, the heat."""
    return list(dict.fromkeys(_usual(circuit)))


def _usual(circuit: Circuit) -> Iterator[str]:
    turned = {circuit.parts[p.driven_by].name for p in circuit.of_kind(*LOADS) if p.driven_by}
    for part in circuit.of_kind(*MOVERS):
        known = {measure.name for measure in part.kind.measures}
        what = MOVERS[part.kind.word]
        if part.name not in turned and what in known:
            yield f"{part.name} {what}"
    for pump in circuit.of_kind("pump"):
        yield f"{pump.name} pressure"
    yield "heat"
