"""Where pilot lines feed back, a second start finds the other operating point, and it is said."""

from __future__ import annotations

import pytest

from circuitcheck.pipeline import parse
from circuitcheck.solver.operating import Solution

LATCH = """
circuit "a pilot check that holds itself open"
oil ISO VG 46, at 50 degC
parts
  T1  tank
  P1  pump, fixed, 10 cc/rev, 1450 rpm
  R1  relief, set 100 bar
  PC1 pilot check, ratio {ratio}, 40 L/min, drained
  OR1 orifice, 1.2 mm
lines
  from T1 to P1 S
  from P1 P to R1 P and PC1 out
  from PC1 in to OR1 in and PC1 X
  from OR1 out and R1 T and PC1 Y to T1
cycle
  step run
"""


def several(text: str) -> list[str]:
    solution: Solution = parse(text).solve()
    assert solution.solved
    return [f.message for f in solution.findings if f.slug == "several-operating-points"]


def test_both_points_are_told_and_how_they_were_found() -> None:
    """Shut, its pilot has no pressure; open, it has nearly that of the pump."""
    (message,) = several(LATCH.format(ratio=4))
    assert "step run has more than one steady point" in message
    assert "shown, found direct" in message
    assert "PC1 in" in message


@pytest.mark.parametrize("ratio", [0.5])
def test_a_ratio_that_cannot_hold_it_open_leaves_one(ratio: float) -> None:
    assert not several(LATCH.format(ratio=ratio))
