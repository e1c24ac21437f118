"""A small circuit that tests change."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from circuitcheck.circuit import Circuit, build
from circuitcheck.language import read

PARTS = """
  T1  tank, 60 L
  E1  electric motor, 11 kW, 1450 rpm
  P1  pump, fixed, 16 cc/rev, driven by E1
  R1  relief, set 210 bar, 60 L/min
  V1  valve 4/3, tandem centre, 60 L/min at 6 bar
  C1  cylinder, bore 100 mm, rod 56 mm, stroke 500 mm
"""
LINES = """
  suction   from T1 to P1 S, hose 32 mm, 0.8 m
  pressure  from P1 P to V1 P, hose 12.7 mm, 1.5 m
  relief    from P1 P to R1 P
  spill     from R1 T to T1
  push      from V1 A to C1 cap
  pull      from V1 B to C1 rod
  return    from V1 T to T1
"""
Make = Callable[..., Circuit]


def errors(source: str) -> list[str]:
    """Messages of the errors of a text."""
    text, findings = read(source, "x.hyc")
    _, more = build(text)
    return [f.message for f in (*findings, *more) if f.severity.value == "error"]


@pytest.fixture
def make() -> Make:
    """Make a circuit of the small one: with further text, parts changed, lines changed."""

    def made(more: str = "", parts: str = PARTS, lines: str = LINES, head: str = "") -> Circuit:
        source = f"{head}\nparts{parts}\nlines{lines}\n{more}"
        text, findings = read(source, "x.hyc")
        circuit, rest = build(text)
        assert findings == []
        assert [f for f in rest if f.severity.value == "error"] == []
        assert circuit is not None
        return circuit

    return made
