"""Circuits with two operating points: both are found, and the natural one is given."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from circuitcheck.laws.smoothing import EXACT
from circuitcheck.pipeline import Project, parse
from circuitcheck.reports.two_points import two_points_lines
from circuitcheck.solver import starts as road
from circuitcheck.solver.equations import Equations
from circuitcheck.solver.newton import newton
from circuitcheck.solver.operating import OperatingPoint
from circuitcheck.solver.solve import STEADY
from circuitcheck.solver.starts import Led, follow, led_parts, settled, stable
from circuitcheck.solver.system import Case
from tests.components.bench import BAR, TEST_OIL, sources

TURN = 2 * math.pi
RPM = TURN / 60
IDEAL = "volumetric 100 %, mechanical 100 %"
INDUCTION = "E1 electric motor, 15 kW, 1455 rpm, poles 4, breakdown 2.6"
ENGINE = "E1 engine, 60 kW, 2200 rpm, droop 5 %, low torque 230 Nm at 1000 rpm,"
ENGINE += " peak torque 330 Nm at 1500 rpm"
RATED, ENGINE_RATED = 15e3 / (1455 * RPM), 60e3 / (2200 * RPM)


def loaded(drive: str, torque: float) -> Project:
    """A drive with a load of one torque at any speed [N m]: check valve to a gas pressure."""
    front = torque * TURN / 50e-6 / BAR
    text = f'circuit "t"\noil {TEST_OIL}\nparts\n{sources(TT=0, TP=front)}\n{drive}\n'
    text += "CV1 check, 0.001 bar, 5000 L/min at 0.01 bar\n"
    text += f"P1 pump, fixed, 50 cc/rev, driven by E1, {IDEAL}\n"
    text += "lines\nfrom TT to P1 S\nfrom P1 P to CV1 in\nfrom CV1 out to TP\n"
    return parse(text)


def solved(project: Project) -> OperatingPoint:
    (point,) = project.solve()
    assert point.success, point.message
    return point


def kloss(share: float) -> tuple[float, float, float]:
    """Critical slip, and the slips at which a torque in rated ones stands on the curve.

    u + 1/u = 2 m, u = slip over critical slip, m = breakdown torque over this one.
    """
    critical = 0.03 * (2.6 + math.sqrt(2.6**2 - 1))
    m = 2.6 / share
    root = math.sqrt(m * m - 1)
    return critical, critical * (m - root), critical * (m + root)


@pytest.mark.parametrize("share", [0.9, 1.5, 2.2])
def test_induction_motor_runs_or_stands_by_the_formula_of_kloss(share: float) -> None:
    """Given: the flat intersection. From a standstill it stays at M(1) = 2 M_b/(s_b + 1/s_b)."""
    critical, runs, _ = kloss(share)
    point = solved(loaded(INDUCTION, share * RATED))
    assert point["E1"].values["speed"] / RPM == pytest.approx(1500 * (1 - runs), rel=2e-4)
    (other,) = point.others
    standing = 2 * 2.6 * RATED / (critical + 1 / critical)
    found = other.point["E1"].values
    assert found["torque"] == pytest.approx(standing, rel=1e-5)
    assert found["speed"] == pytest.approx(0.0, abs=1e-3)
    assert other.point["E1"].state == "stalled"
    assert (other.part, other.stable, other.given_stable) == ("E1", True, True)
    assert other.point.imbalance < 1e-10


def test_what_was_led_before_is_not_led_anew(monkeypatch: pytest.MonkeyPatch) -> None:
    """Under another history the motor may come out stalled; its last point leads on."""
    case, one = Case(loaded(INDUCTION, 1.5 * RATED).circuit, [STEADY]), np.array([0])
    runs = settled(case)
    (led,) = led_parts(runs)
    stalled = road._with(runs, one, follow(runs.equations, [led], one, np.array([True])))
    assert stalled.speed("E1")[0] == pytest.approx(0.0, abs=1e-3)
    runs.found.method[:] = road.METHOD

    def refuse(*_: object) -> None:
        raise AssertionError("led anew")

    monkeypatch.setattr(road, "answer", lambda *_: stalled)
    monkeypatch.setattr(road, "follow", refuse)
    again = settled(case, runs)
    assert again.found.method.tolist() == [road.METHOD]
    assert again.found.iterations[0] > stalled.found.iterations[0]
    assert again.speed("E1") == pytest.approx(runs.speed("E1"), rel=1e-9)
    assert runs.speed("E1")[0] > 1400 * RPM


@pytest.mark.parametrize("share", [0.3, 0.7])
def test_motor_that_gets_away_from_a_standstill_has_one_point(share: float) -> None:
    """0.763 of the rated torque at a standstill, by the same formula."""
    assert not solved(loaded(INDUCTION, share * RATED)).others


def test_motor_beyond_its_breakdown_torque_has_one_point_and_it_is_stalled() -> None:
    point = solved(loaded(INDUCTION, 2.7 * RATED))
    assert point["E1"].state == "stalled"
    assert not point.others


def test_steep_intersection_is_unstable_and_parts_the_ways() -> None:
    """At s_b (m + root) all balances hold, too; a little faster it runs up, slower it stops."""
    _, runs, parts = kloss(1.5)
    found = settled(Case(loaded(INDUCTION, 1.5 * RATED).circuit, [STEADY]))
    (led,) = led_parts(found)
    equations, one = found.equations, np.array([0])
    divide = 1500 * RPM * (1 - parts)

    def led_from(speed: float) -> float:
        begun = replace(led.starts, natural=np.array([speed]), second=np.zeros(1))
        start = Led(led.part, begun, led.row)
        point = follow(equations, [start], one, np.zeros(1, dtype=bool))
        assert point.arrived.all()
        return float(point.x[led.row, 0] * equations.scale[equations.free[led.row]])

    assert led_from(1.02 * divide) / RPM == pytest.approx(1500 * (1 - runs), rel=2e-4)
    assert led_from(0.98 * divide) == pytest.approx(0.0, abs=1e-3)
    x = found.found.x.copy()
    x[led.row] = divide / equations.scale[equations.free[led.row]]
    on_it = newton(equations, x, EXACT, one)
    assert on_it.solved.all()
    speed = on_it.x[led.row, 0] * equations.scale[equations.free[led.row]]
    assert speed == pytest.approx(divide, rel=1e-3)
    assert not stable(equations, on_it.x, one, [led])[0]
    assert stable(equations, found.found.x, one, [led])[0]
    row = np.array([led.row])
    away, back = (road._pull(equations, at, one, row)[0, 0] for at in (on_it.x, found.found.x))
    assert away > 0.0 > back
    assert back == pytest.approx(_slope_of_a_balance(equations, found.found.x, led.row), rel=1e-9)


def _slope_of_a_balance(equations: Equations, x: np.ndarray, row: int) -> float:
    """By its own unknown, when all others follow: what elimination leaves in the last place."""
    _, entries = equations.chosen(np.array([0])).residual(x, EXACT)
    whole = np.zeros((equations.n, equations.n))
    whole[equations.pattern.rows, equations.pattern.columns] = entries[:, 0]
    rest = np.delete(np.arange(equations.n), row)
    follows = np.linalg.solve(whole[np.ix_(rest, rest)], whole[rest, row])
    return float(whole[row, row] - whole[row, rest] @ follows)


@pytest.mark.parametrize("torque", [275.0, 310.0])
def test_engine_lugs_or_dies_by_its_torque_curve(torque: float) -> None:
    """Falling branch from (1500, 330) to the rated point; under 1000 rpm it has 230 N m only."""
    point = solved(loaded(ENGINE, torque))
    speed = 2200 - (torque - ENGINE_RATED) / (330 - ENGINE_RATED) * 700
    assert point["E1"].values["speed"] / RPM == pytest.approx(speed, rel=3e-3)
    (other,) = point.others
    assert other.point["E1"].values["speed"] == pytest.approx(0.0, abs=1e-3)
    assert other.point["E1"].values["torque"] == pytest.approx(230.0, rel=1e-3)
    assert other.point["E1"].state == "stalled"


def test_engine_over_its_highest_torque_dies() -> None:
    point = solved(loaded(ENGINE, 340.0))
    assert point["E1"].state == "stalled"
    assert not point.others


def locked(ratio: float, share: float) -> OperatingPoint:
    """A cylinder lifts a weight of ``share`` bar on its cap through a valve on its rod side."""
    area = math.pi / 4 * 0.08**2
    return solved(
        parse(
            f'circuit "t"\noil {TEST_OIL}\nparts\nT1 tank, 100 L\n'
            "E1 electric motor, 11 kW, 1500 rpm\nP1 pump, fixed, 20 cc/rev, driven by E1\n"
            "R1 relief, set 200 bar, 40 L/min\n"
            f"PC1 pilot check, ratio {ratio!r}, 60 L/min at 3 bar\n"
            "C1 cylinder, bore 80 mm, rod 56 mm, stroke 500 mm, efficiency 100 %,"
            f" weight {share * area * 100!r} kN\n"
            "lines\nfrom T1 to P1 S\nfrom P1 P to R1 P and C1 cap\nfrom R1 T to T1\n"
            "from PC1 X to P1 P\nfrom C1 rod to PC1 out\nfrom PC1 in to T1\n"
        )
    )


@pytest.mark.parametrize("ratio", [1.1, 1.5, 1.8])
@pytest.mark.parametrize("margin", [0.8, 0.93, 1.07, 1.3])
def test_pilot_check_locks_by_the_balance_of_areas(ratio: float, margin: float) -> None:
    """Shut, the rod side has phi p - F/A2; the pilot holds it while that is over ratio x p.

    So there are two points below F/A1 = (phi - ratio) p/phi, and one above; phi = A1/A2,
    p the pressure of the relief valve.
    """
    phi = 80**2 / (80**2 - 56**2)
    shut = locked(0.5, 1.0)["R1"].ports["P"].pressure / BAR
    point = locked(ratio, margin * (phi - ratio) / phi * shut)
    assert point["PC1"].state == "released"
    assert len(point.others) == (1 if margin < 1.0 else 0)
    for other in point.others:
        assert other.point["PC1"].state == "seated"
        assert other.point["C1"].values["speed"] == pytest.approx(0.0, abs=1e-5)


def test_counterbalance_of_a_high_pilot_ratio_has_one_point() -> None:
    """Its opening rises with both pressures, so its flow meets that of the pump only once."""
    text = f'circuit "t"\noil {TEST_OIL}\nparts\nT1 tank, 100 L\n'
    text += "E1 electric motor, 11 kW, 1500 rpm\nP1 pump, fixed, 20 cc/rev, driven by E1\n"
    text += "R1 relief, set 200 bar, 40 L/min\nCB1 counterbalance, set 150 bar, pilot 10:1,"
    text += " 60 L/min\nC1 cylinder, bore 80 mm, rod 56 mm, stroke 500 mm, weight -20 kN\n"
    text += "lines\nfrom T1 to P1 S\nfrom P1 P to R1 P and C1 cap\nfrom R1 T to T1\n"
    text += "from CB1 X to P1 P\nfrom C1 rod to CB1 C\nfrom CB1 V to T1\n"
    found = settled(Case(parse(text).circuit, [STEADY]))
    equations, one = found.equations, np.array([0])
    index = found.ports_of["CB1"]["X"]
    row = int(np.flatnonzero(equations.free == index)[0])
    nothing = np.zeros(1, dtype=bool)
    both = road.Starts("X", np.zeros(1), np.full(1, 400 * BAR), nothing, nothing, ("", ""))
    led = [Led("CB1", both, row)]
    for second in (False, True):
        point = follow(equations, led, one, np.array([second]))
        assert point.arrived.all()
        assert point.x == pytest.approx(found.found.x, rel=1e-6, abs=1e-6)


def test_circuits_without_such_parts_are_solved_once(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object) -> None:
        raise AssertionError("nothing to lead")

    monkeypatch.setattr(road, "follow", refuse)
    monkeypatch.setattr("circuitcheck.solver.second.follow", refuse)
    assert solved(loaded("E1 electric motor, 15 kW, 1455 rpm", RATED)).others == ()


def test_reports_tell_both_points() -> None:
    project = loaded(INDUCTION, 1.5 * RATED)
    point = solved(project)
    (line,) = two_points_lines(point, "metric")
    for words in ("from its idle speed", "1429 rpm", "a standstill: stalled, standing"):
        assert words in line, line
    (finding,) = [f for f in project.check().findings if f.slug == "two-operating-points"]
    assert finding.component == "E1"
