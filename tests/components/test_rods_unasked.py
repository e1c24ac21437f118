"""What a rod says of itself where nothing holds its load, or nothing says where it stands."""

from __future__ import annotations

import math

import pytest

from circuitcheck.pipeline import parse
from circuitcheck.solver.operating import Solution
from tests.components.bench import TEST_OIL

DOWN = """
  T1 tank
  P1 pump, fixed, 10 cc/rev, 1000 rpm, volumetric 100 %
  R1 relief, set 200 bar
  V1 valve 4/3, tandem centre, 60 L/min at 6 bar
  C1 cylinder, bore 80 mm, rod 50 mm, stroke 1000 mm, efficiency 100 %{more}
lines
  from T1 to P1 S
  from P1 P to V1 P and R1 P
  from V1 A to C1 cap
  from V1 B to C1 rod
  from V1 T and R1 T to T1
cycle
{steps}
"""


def solved(steps: str, more: str = "") -> Solution:
    text = DOWN.format(steps=steps, more=more)
    solution = parse(f'circuit "b"\noil {TEST_OIL}\nparts{text}').solve()
    assert solution.solved
    return solution


def doubts(solution: Solution) -> list[str]:
    return [f.step for f in solution.findings if f.slug == "rod-counts-as-in"]


def test_a_load_that_no_supply_can_follow_runs_away() -> None:
    """Closed form: the cap side goes empty at -0.9 bar, so the rod side holds the load alone,
    p = (60 kN - 0.9 bar A)/(A - a), and lets out q = 60 L/min root(p/6 bar)."""
    point = solved("  step drop, V1 at a, C1 load 60 kN overrunning").step("drop")
    cap, rod = math.pi * 0.08**2 / 4, math.pi * (0.08**2 - 0.05**2) / 4
    held = (60e3 - 0.9e5 * cap) / rod
    speed = 1e-3 * math.sqrt(held / 6e5) / rod
    assert point["C1"].state == "load runs away"
    assert point["C1"].values["speed"] == pytest.approx(speed, rel=0.01)
    assert speed * cap > 10 * 1e-3 / 60  # faster than the pump of 10 L/min fills it


def test_a_load_that_the_pump_keeps_up_with_does_not_run_away() -> None:
    point = solved("  step out, V1 at a, C1 load 20 kN").step("out")
    assert point["C1"].state == "moving out"


# ---- where a rod stands at the start -----------------------------------------------------

BACK = "  step back, V1 at b, C1 load 2 kN, C1 travels 300 mm"
OUT = "  step out, V1 at a, C1 load 2 kN, C1 travels 300 mm"


def test_a_rod_that_nothing_moved_out_is_said_to_count_as_in() -> None:
    solution = solved(BACK)
    assert doubts(solution) == ["back"]
    (finding,) = [f for f in solution.findings if f.slug == "rod-counts-as-in"]
    assert "at start" in finding.remedy
    assert finding.component == "C1"


@pytest.mark.parametrize(
    ("steps", "more"),
    [
        (f"{OUT}\n{BACK}", ""),
        (BACK, ", at start 400 mm"),
        (f"{BACK}, C1 at 200 mm", ""),
        (f"  step pressed, V1 at a, C1 at end stop\n{BACK}", ""),
        (OUT, ""),
    ],
)
def test_nothing_is_said_where_the_steps_or_the_text_say_where_it_stands(
    steps: str, more: str
) -> None:
    assert doubts(solved(steps, more)) == []


def test_the_start_of_a_rod_is_listed_as_assumed() -> None:
    project = parse(f'circuit "b"\noil {TEST_OIL}\nparts{DOWN.format(steps=OUT, more="")}')
    assumed = [a for a in project.circuit.assumptions if a.name == "at start"]
    assert [(a.part, a.text) for a in assumed] == [("C1", "0 mm")]
    said = parse(
        f'circuit "b"\noil {TEST_OIL}\nparts{DOWN.format(steps=OUT, more=", at start 20 mm")}'
    )
    assert not [a for a in said.circuit.assumptions if a.name == "at start"]
