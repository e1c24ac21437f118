"""Where pilot lines feed back, a second start finds the other operating point, and it is said."""

from __future__ import annotations

import numpy as np
import pytest

from circuitcheck.laws.smoothing import Array
from circuitcheck.pipeline import parse
from circuitcheck.solver import uniqueness
from circuitcheck.solver.equations import Equations, Ints
from circuitcheck.solver.operating import Solution
from circuitcheck.solver.roads import Solved

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


def test_in_a_large_circuit_it_is_found_without_the_slow_roads(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(uniqueness, "is_large", lambda _: True)
    monkeypatch.delattr(uniqueness, "find")
    (message,) = several(LATCH.format(ratio=4))
    assert "step run has more than one steady point" in message


def test_a_large_circuit_is_started_nearer_where_the_second_start_leads_nowhere(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    starts: list[Array] = []
    found: list[Solved] = []
    real = uniqueness.find_again

    def leads_nowhere_at_first(equations: Equations, start: Array, among: Ints) -> Solved:
        starts.append(start)
        again = real(equations, start, among)
        again.solved &= len(starts) > 1
        found.append(again)
        return again

    monkeypatch.setattr(uniqueness, "is_large", lambda _: True)
    monkeypatch.setattr(uniqueness, "find_again", leads_nowhere_at_first)
    assert not several(LATCH.format(ratio=0.5))
    first, second = starts
    first_point = (second - uniqueness.NEARER * first) / (1.0 - uniqueness.NEARER)
    assert np.allclose(first_point, found[1].x, rtol=1e-6)


def test_a_second_start_that_leads_nowhere_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    def nowhere(equations: Equations, found: Solved, uneven: Array) -> Solved:
        return Solved.none(uneven, equations.variants)

    monkeypatch.setattr(uniqueness, "_other", nowhere)
    said = parse(LATCH.format(ratio=4)).solve().findings
    assert [f.step for f in said if f.slug == "second-start-unsolved"] == ["run"]
