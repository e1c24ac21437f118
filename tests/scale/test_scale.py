"""Large circuits: work grows with their size, not with its square.

No clock: what is counted are calls of Python functions, at two sizes of the same shape.
"""

from __future__ import annotations

import pytest

from circuitcheck import rules
from circuitcheck.circuit import Circuit, build
from circuitcheck.language import read
from tests.scale.counting import calls
from tests.scale.large import SHAPES

SMALL, LARGE = 300, 1200
MOST_GROWTH = 1.5
"""Times as many calls per part at the larger size: n log n gives 1.25, a square gives 4."""


def circuit_of(source: str) -> Circuit:
    text, findings = read(source, "large.hyc")
    circuit, more = build(text)
    assert [f.message for f in (*findings, *more)] == []
    assert circuit is not None
    return circuit


@pytest.mark.parametrize("shape", SHAPES)
def test_calls_grow_with_the_number_of_parts(shape: str) -> None:
    stages: dict[str, list[float]] = {}
    for size in (SMALL, LARGE):
        source = SHAPES[shape](size)
        circuit = circuit_of(source)  # also fills what is made once
        rules.check_all(circuit)
        parts = len(circuit.parts)
        assert parts > 0.8 * size
        work = {
            "read": lambda source=source: read(source, "large.hyc"),
            "build": lambda source=source: circuit_of(source),
            "rules": lambda circuit=circuit: rules.check_all(circuit),
        }
        for stage, done in work.items():
            stages.setdefault(stage, []).append(calls(done) / parts)
    grown = {stage: large / small for stage, (small, large) in stages.items()}
    assert {stage: times for stage, times in grown.items() if times > MOST_GROWTH} == {}


@pytest.mark.parametrize("shape", SHAPES)
def test_large_circuits_are_sound(shape: str) -> None:
    circuit = circuit_of(SHAPES[shape](150))
    found = rules.check_all(circuit)
    assert [f.message for f in found.findings if f.slug == "port-not-connected"] == []
