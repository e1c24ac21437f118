"""What the solver cannot answer is said by name: not solved, held by leakage, nothing at all."""

from __future__ import annotations

import math

import pytest

from circuitcheck.basics.findings import Severity
from circuitcheck.pipeline import parse
from circuitcheck.solver import branch, march, roads
from circuitcheck.solver.newton import newton
from circuitcheck.solver.operating import COMPUTED, HELD, INDETERMINATE, KNOWN, Solution

STAND = """
circuit "stand"
oil ISO VG 46, at 50 degC
parts
  T1  tank, 60 L
  P1  pump, fixed, 16 cc/rev, 1450 rpm
  R1  relief, set 210 bar
  V1  valve 4/3, closed centre
  C1  cylinder, bore 100 mm, rod 56 mm, stroke 500 mm
lines
  from T1 to P1 S
  from P1 P to V1 P and R1 P
  from V1 A to C1 cap
  from V1 B to C1 rod
  from V1 T and R1 T to T1
cycle
"""


def solved(text: str) -> Solution:
    return parse(text).solve()


def test_shut_chambers_are_held_by_leakage() -> None:
    point = solved(STAND + "  step hold, V1 at centre, C1 weight 10 kN\n").step("hold")
    status = {name: junction.status for name, junction in point.junctions.items()}
    assert status.pop("V1 A") == HELD
    assert status.pop("V1 B") == HELD
    assert sorted(status.values()) == [COMPUTED, KNOWN]
    assert point["C1"].state == "held"


def test_moving_rod_makes_its_chambers_certain() -> None:
    point = solved(STAND + "  step out, V1 at a, C1 load 10 kN\n").step("out")
    assert point.junctions["V1 A"].status == COMPUTED
    assert point.junctions["V1 B"].status == COMPUTED


def test_standing_rod_on_an_open_valve_is_as_certain_as_the_pump() -> None:
    """No flow, but an open way to the relief valve and to the tank."""
    point = solved(STAND + "  step press, V1 at a, C1 at end stop\n").step("press")
    assert point.junctions["V1 A"].status == COMPUTED
    assert point.junctions["V1 B"].status == COMPUTED
    assert point["C1"].values["force"] == pytest.approx(
        0.95 * 78.54e-4 * point["P1"].values["pressure"], rel=0.06
    )


def test_volume_that_nothing_decides_has_no_pressure() -> None:
    text = """
circuit "lost volume"
parts
  C1 and C2  cylinder, single acting, bore 50 mm, stroke 100 mm
lines
  from C1 cap to C2 cap
cycle
  step still,  C1 at end stop,  C2 at end stop
"""
    point = solved(text).step("still")
    (junction,) = point.junctions.values()
    assert point.success
    assert junction.status == INDETERMINATE
    assert math.isnan(junction.pressure)


DEAD = """
circuit "dead head"
parts
  T1  tank
  P1  pump, fixed, 10 cc/rev, 1000 rpm{more}
  C1  cylinder, single acting, bore 50 mm, stroke 100 mm
lines
  from T1 to P1 S
  from P1 P to C1 cap
cycle
  step stop,  C1 at end stop
"""


def test_pump_that_has_nowhere_to_go_is_not_solved() -> None:
    """No slip and no relief: there is no steady point, and nobody invents one."""
    solution = solved(DEAD.format(more=", volumetric 100 %"))
    point = solution.step("stop")
    assert not point.success
    assert not solution.solved
    (finding,) = solution.findings
    assert finding.slug == "no-way-for-oil"
    assert "P1 P" in finding.message
    assert finding.severity is Severity.ERROR
    assert finding.step == "stop"


def test_pressure_that_only_slip_limits_is_said() -> None:
    solution = solved(DEAD.format(more=""))
    (finding,) = solution.findings
    assert finding.slug == "nothing-limits-pressure"
    assert "P1 P" in finding.message
    high = solution.step("stop")["P1"].ports["P"].pressure
    assert f"({high / 1e5:.0f} bar by the numbers)" in finding.message
    assert "from P1 P" in DEAD.format(more="").splitlines()[finding.place.line - 1]
    assert solution.solved


def test_a_road_that_is_cut_short_is_reported(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(
        roads, "newton", lambda *given, **more: newton(*given[:4], **more | {"passes": 0})
    )
    monkeypatch.setattr(march, "PASSES", 1)
    monkeypatch.setattr(branch, "PASSES", 1)
    text = STAND + "  step out, V1 at a, C1 load 10 kN\n"
    solution = solved(text)
    assert not solution.step("out").success
    (finding,) = solution.findings
    assert finding.slug == "not-solved"
    assert finding.step == "out"
    assert finding.place.line == text.splitlines().index("  step out, V1 at a, C1 load 10 kN") + 1


# ---- end stops -----------------------------------------------------------------------


def test_rod_that_is_left_alone_at_its_end_stands_there() -> None:
    """After the whole stroke the valve stays over: the rod cannot go on."""
    steps = "  step out, V1 at a, C1 load 1 kN, C1 travels 500 mm\n  step wait, V1 at a, 2 s\n"
    wait = solved(STAND + steps).step("wait")
    assert wait["C1"].state == "at end stop"
    assert wait["C1"].values["speed"] == 0.0
    assert wait["R1"].state == "open"


def test_rod_in_the_middle_of_its_way_goes_on() -> None:
    steps = "  step out, V1 at a, C1 load 1 kN, C1 travels 100 mm\n  step wait, V1 at a, 2 s\n"
    wait = solved(STAND + steps).step("wait")
    assert wait["C1"].state == "moving out"


def test_rod_starts_in() -> None:
    back = solved(STAND + "  step back, V1 at b, 2 s\n").step("back")
    assert back["C1"].state == "at end stop"


# ---- corners of the solver -----------------------------------------------------------

OVER_RELIEF = """
circuit "over the relief"
parts
  T1  tank
  P1  pump, fixed, 50 cc/rev, 1000 rpm, volumetric {share} %
  R1  relief, set {bar} bar, override {override} %, {rated} L/min
lines
  from T1 to P1 S
  from P1 P to R1 P
  from R1 T to T1
"""


RATED = pytest.mark.parametrize("rated", [40, 50, 100])
BANDS = pytest.mark.parametrize(("bar", "override"), [(10, 5), (100, 1), (350, 0.2)])


def passes_it_all(share: float, rated: int, bar: int, override: float) -> None:
    text = OVER_RELIEF.format(share=share, rated=rated, bar=bar, override=override)
    (point,) = solved(text)
    assert point.success
    assert point["P1"].values["flow"] == pytest.approx(point["R1"].values["flow"], rel=1e-9)


@RATED
@BANDS
@pytest.mark.parametrize("share", [80, 92, 99])
def test_pump_over_a_relief_is_solved(share: float, rated: int, bar: int, override: float) -> None:
    """The plainest circuit there is, down to narrow bands and beyond the rated flow."""
    passes_it_all(share, rated, bar, override)


@RATED
@BANDS
def test_pump_without_slip_over_a_relief_is_solved(rated: int, bar: int, override: float) -> None:
    passes_it_all(100, rated, bar, override)


def test_two_reliefs_in_parallel_share_by_their_settings() -> None:
    text = OVER_RELIEF.format(share=92, rated=60, bar=200, override=5)
    text = text.replace("\nlines", "\n  R2  relief, set 250 bar, override 5 %, 60 L/min\nlines")
    text = text.replace("R1 P", "R1 P and R2 P").replace("from R1 T", "from R1 T and R2 T")
    (point,) = solved(text)
    assert point["R1"].state != "closed"
    assert point["R2"].state == "closed"


def test_cavitating_rod_is_named() -> None:
    """A load that runs faster than the pump fills the cap side."""
    steps = "  step drop, V1 at a, C1 load 60 kN overrunning\n"
    point = solved(STAND + steps).step("drop")
    assert point.success
    assert point["C1"].state == "load runs away"
    assert point["C1"].ports["cap"].pressure < 0.0
