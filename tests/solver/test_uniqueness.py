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
from tests.scale.large import SHAPES

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


def test_a_large_circuit_is_started_from_one_pressure_everywhere(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    starts: list[Array] = []
    real = uniqueness.find_again

    def noted(equations: Equations, start: Array, among: Ints) -> Solved:
        starts.append(start[equations.pressure_rows])
        return real(equations, start, among)

    monkeypatch.setattr(uniqueness, "is_large", lambda _: True)
    monkeypatch.setattr(uniqueness, "find_again", noted)
    # once open it stays so: the pressure behind it is nearly that before it, and helps the pilot
    (message,) = several(LATCH.format(ratio=0.5))
    assert "PC1 in" in message
    (start,) = starts
    assert np.all(start == uniqueness.EVEN)


def test_a_large_bank_of_sections_has_its_second_start_solved() -> None:
    """From pressures by lot no road leads on in such a circuit."""
    source = SHAPES["sections"](150)
    solution: Solution = parse(source).solve()
    assert solution.solved
    told = {f.slug for f in solution.findings}
    assert not told & {"second-start-unsolved", "several-operating-points"}


def test_a_second_start_that_leads_nowhere_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    def nowhere(equations: Equations, found: Solved) -> Solved:
        return Solved.none(found.x, equations.variants)

    monkeypatch.setattr(uniqueness, "_other", nowhere)
    said = parse(LATCH.format(ratio=4)).solve().findings
    assert [f.step for f in said if f.slug == "second-start-unsolved"] == ["run"]
