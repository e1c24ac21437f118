"""Where pilot lines feed back, a second start finds the other operating point, and it is said."""

from __future__ import annotations

from collections.abc import Iterator

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
  PC1 pilot check, ratio {ratio}, 40 L/min, drained, cracking {cracking} bar
  OR1 orifice, 1.2 mm
lines
  from T1 to P1 S
  from P1 P to R1 P and PC1 out
  from PC1 in to OR1 in and PC1 X
  from OR1 out and R1 T and PC1 Y to T1
cycle
  step run
"""


RUNAWAY = """
circuit "a winch whose load keeps its own brake off"
oil ISO VG 46, at 50 degC
parts
  T1  tank, 100 L
  P1  pump, fixed, 16 cc/rev, 1450 rpm
  R1  relief, set 180 bar
  V1  valve 4/3, open centre
  M1  motor, 100 cc/rev
  W1  winch, driven by M1, ratio 20, drum 250 mm, weight 10 kN
  BR1 brake, driven by M1, 200 Nm, release 20 bar
  SH1 shuttle
lines
  from T1 to P1 S
  from P1 P to V1 P and R1 P
  from R1 T and V1 T and M1 L to T1
  from V1 A to M1 A and SH1 1
  from V1 B to M1 B and SH1 2
  from SH1 out to BR1 R
cycle
  step hang, V1 at centre
"""

SHUT_IN = """
circuit "a shuttle with one side shut in"
oil ISO VG 46, at 50 degC
parts
  T1  tank
  P1  pump, fixed, 10 cc/rev, 1450 rpm
  R1  relief, set 100 bar
  SH1 shuttle
  G1  gauge, 0 to 160 bar
  CV1 check, 0.5 bar, 40 L/min at 2 bar
lines
  from T1 to P1 S
  from P1 P to R1 P and SH1 1
  from SH1 2 to CV1 out
  from SH1 out to G1
  from R1 T and CV1 in to T1
cycle
  step run
"""


def latch(ratio: float, cracking: float = 0.5) -> str:
    return LATCH.format(ratio=ratio, cracking=cracking)


def several(text: str) -> list[str]:
    solution: Solution = parse(text).solve()
    assert solution.solved
    return [f.message for f in solution.findings if f.slug == "several-operating-points"]


def second_pressure(message: str) -> float:
    """Pressure of the point that is not shown [bar]."""
    return float(message.split("or at ")[1].split(" bar")[0])


def test_both_points_are_told_and_how_they_were_found() -> None:
    """Shut, its pilot has no pressure; open, it has nearly that of the pump."""
    (message,) = several(latch(4))
    assert "step run has more than one steady point" in message
    assert "shown, found direct" in message
    assert "PC1 in" in message


@pytest.mark.parametrize(("ratio", "cracking"), [(0.1, 0.5), (0.3, 5), (0.5, 10)])
def test_a_low_ratio_holds_it_open_as_well(ratio: float, cracking: float) -> None:
    """Released while ratio x p(X) > p(out) - p(in) + cracking: once open, in has nearly p(out).

    The pump gives 14.5 L/min less leakage; the relief begins to open at 95 % of its setting and
    stands within the first bar over that, as most of the flow still passes it.
    """
    (message,) = several(latch(ratio, cracking))
    assert 95.0 < second_pressure(message) < 96.0
    assert ratio * second_pressure(message) > cracking


@pytest.mark.parametrize(("ratio", "cracking"), [(0.1, 10), (0.3, 35)])
def test_a_ratio_that_cannot_hold_it_open_leaves_one(ratio: float, cracking: float) -> None:
    """Even with the whole 96 bar of the pump at X its spring shuts it."""
    assert ratio * 96.0 < cracking
    assert not several(latch(ratio, cracking))


def test_not_the_point_is_told_from_which_it_runs_away(monkeypatch: pytest.MonkeyPatch) -> None:
    """Its brake drags under 20 bar: a little faster, and the motor gives more to let it go.

    That point parts the one in which it holds from the one in which nothing holds it.
    """
    (message,) = several(RUNAWAY)
    assert second_pressure(message) > 20.0
    monkeypatch.setattr(uniqueness, "_beyond", lambda *given: given[2])
    (message,) = several(RUNAWAY)
    assert second_pressure(message) < 20.0


def test_what_only_leakage_decides_is_no_second_point(monkeypatch: pytest.MonkeyPatch) -> None:
    """The ball may lie on the side that is shut in, which is then at rest by leakage alone."""
    assert not several(SHUT_IN)
    monkeypatch.setattr(uniqueness, "closed", lambda _, whole, __: np.zeros(whole.shape, bool))
    (message,) = several(SHUT_IN)
    assert "SH1 2" in message


def test_in_a_large_circuit_it_is_found_without_the_slow_roads(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(uniqueness, "is_large", lambda _: True)
    monkeypatch.delattr(uniqueness, "find")
    (message,) = several(latch(4))
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
    (message,) = several(latch(0.5))
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


def test_second_starts_that_lead_nowhere_are_said(monkeypatch: pytest.MonkeyPatch) -> None:
    def nowhere(equations: Equations, found: Solved) -> Iterator[Solved]:
        yield Solved.none(found.x, equations.variants)

    monkeypatch.setattr(uniqueness, "_others", nowhere)
    said = parse(latch(4)).solve().findings
    assert [f.step for f in said if f.slug == "second-start-unsolved"] == ["run"]
