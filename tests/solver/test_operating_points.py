"""Two development circuits: every step solved, flows and power in balance, laws of a cycle."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from circuitcheck.circuit import Circuit
from circuitcheck.pipeline import load, parse
from circuitcheck.solver import linear
from circuitcheck.solver.answer import answer
from circuitcheck.solver.operating import OperatingPoint, Solution
from circuitcheck.solver.solve import solve
from circuitcheck.solver.system import Case
from tests.press_text import PRESS

HERE = Path(__file__).parent
L_MIN = 1e-3 / 60
CIRCUITS = ("press", "winch")


@cache
def circuit(name: str) -> Circuit:
    return load(HERE / f"{name}.hyc").circuit


@cache
def solution(name: str) -> Solution:
    return solve(circuit(name))


def same(one: OperatingPoint, other: OperatingPoint) -> None:
    """Pressures equal to a pascal and results to a millionth."""
    for name, junction in one.junctions.items():
        assert junction.status == other.junctions[name].status
        assert junction.pressure == pytest.approx(other.junctions[name].pressure, rel=1e-7, abs=1.0)
    for name, part in one.parts.items():
        assert part.state == other.parts[name].state
        for port, here in part.ports.items():
            there = other.parts[name].ports[port]
            assert here.flow == pytest.approx(there.flow, rel=1e-6, abs=1e-5 * L_MIN)


@pytest.mark.parametrize("name", CIRCUITS)
def test_every_step_is_solved(name: str) -> None:
    found = solution(name)
    assert found.solved
    assert found.findings == []


@pytest.mark.parametrize("name", CIRCUITS)
def test_flows_and_power_balance(name: str) -> None:
    for point in solution(name):
        assert point.imbalance < 1e-6 * L_MIN
        assert point.power_error < 1e-6
        totals = point.totals
        assert totals.input == pytest.approx(totals.useful + totals.loss, rel=1e-6, abs=1e-3)


@pytest.mark.parametrize("name", CIRCUITS)
def test_flows_into_each_part_add_up(name: str) -> None:
    """What enters a part leaves it, but for what a single rod takes up."""
    for point in solution(name):
        for part in point.parts.values():
            total = sum(port.flow for port in part.ports.values())
            if part.kind in ("tank", "cylinder"):
                continue
            assert abs(total) < 1e-5 * L_MIN, part.name


@pytest.mark.parametrize("name", CIRCUITS)
def test_no_part_makes_power(name: str) -> None:
    for point in solution(name):
        for part in point.parts.values():
            assert part.loss > -1e-2, (part.name, part.loss)


@pytest.mark.parametrize("name", CIRCUITS)
def test_steps_solved_together_equal_steps_solved_alone(name: str) -> None:
    whole = circuit(name)
    for point in solution(name):
        (alone,) = solve(replace(whole, steps=[point.step]))
        same(point, alone)


@pytest.mark.parametrize("name", CIRCUITS)
def test_dense_equals_sparse(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    before = solution(name)
    monkeypatch.setattr(linear, "DENSE_UP_TO", 0)
    for one, other in zip(before, solve(circuit(name)), strict=True):
        same(one, other)


def test_order_of_steps_does_not_matter() -> None:
    whole = circuit("winch")
    backwards = solve(replace(whole, steps=whole.steps[::-1]))
    for point in solution("winch"):
        same(point, backwards.step(point.step.name))


# ---- the press, by hand --------------------------------------------------------------


def test_pump_delivers_what_its_efficiency_leaves() -> None:
    """Slip is in proportion to pressure: 8 % of 23.2 L/min at 250 bar with the test oil."""
    point = solution("press").step("press")
    thin = point.nu / 32e-6
    slip = 0.08 * 23.2 * point["P1"].values["pressure"] / 250e5 / thin
    assert point["P1"].values["flow"] / L_MIN == pytest.approx(23.2 - slip, rel=1e-3)


def test_rod_carries_its_load_in_both_directions() -> None:
    found = solution("press")
    assert found.step("approach")["C1"].values["force"] == pytest.approx(4000.0, rel=1e-6)
    assert found.step("back")["C1"].values["force"] == pytest.approx(-2000.0, rel=1e-6)


def test_speed_is_flow_over_area_and_time_is_way_over_speed() -> None:
    for name, area in (("approach", 78.54e-4), ("press", 78.54e-4), ("back", 53.91e-4)):
        point = solution("press").step(name)
        rod = point["C1"]
        port = "rod" if name == "back" else "cap"
        assert abs(rod.values["speed"]) == pytest.approx(rod.ports[port].flow / area, rel=1e-3)
        way = point.step.orders["C1"].figures["travels"].value
        assert point.duration == pytest.approx(way / abs(rod.values["speed"]), rel=1e-9)


def test_relief_opens_only_where_the_pump_finds_no_other_way() -> None:
    states = {point.step.name: point["R1"].state for point in solution("press")}
    assert states == {
        "idle": "closed",
        "approach": "closed",
        "press": "open",
        "squeeze": "open",
        "back": "closed",
    }


def test_at_the_end_stop_the_whole_flow_goes_over_the_relief() -> None:
    point = solution("press").step("squeeze")
    assert point["C1"].state == "at end stop"
    assert point["C1"].values["speed"] == 0.0
    lost = point["P1"].values["flow"] - point["R1"].values["flow"]
    assert 0.0 <= lost < 0.2 * L_MIN  # over the lands of the spool


def test_changed_figures_replace_those_of_the_text() -> None:
    lower = solve(circuit("press"), {("R1", "set"): 160e5})
    squeeze = lower.step("squeeze")
    assert squeeze["R1"].values["pressure"] < 160e5
    assert lower.step("press")["C1"].state == "stalled"
    assert solution("press").step("squeeze")["R1"].values["pressure"] > 190e5


# ---- the winch, by hand --------------------------------------------------------------


@pytest.mark.parametrize("step", ["blade", "haul", "both", "lower"])
def test_load_sensing_pump_keeps_its_margin(step: str) -> None:
    """20 bar at no flow, 3 bar less at full stroke."""
    pump = solution("winch").step(step)["P1"]
    assert pump.state == "on margin"
    wanted = 20e5 - pump.values["stroke"] * 3e5
    assert pump.values["margin"] == pytest.approx(wanted, abs=0.1e5)


def test_standby_takes_next_to_nothing() -> None:
    pump = solution("winch").step("standby")["P1"]
    assert pump.values["pressure"] == pytest.approx(20e5, abs=0.2e5)
    assert pump.values["flow"] < 0.1 * L_MIN


def test_lighter_section_keeps_its_flow_beside_a_heavier_one() -> None:
    found = solution("winch")
    alone = found.step("blade")["S1"].values["flow"]
    beside = found.step("both")["S1"].values["flow"]
    assert beside == pytest.approx(alone, rel=0.03)


def test_counterbalance_valve_holds_a_load_that_drives_the_motor() -> None:
    """Opening: load + 4 x pilot - 5 x back pressure against 230 bar, within its band."""
    point = solution("winch").step("lower")
    valve = point["CB1"]
    assert valve.state == "lowering"
    assert point["W1"].values["speed"] < 0.0
    load_side, pilot = valve.values["pressure"], valve.values["pilot pressure"]
    back = valve.ports["V"].pressure
    opened = load_side + 4 * pilot - 5 * back
    assert 230e5 <= opened <= 251e5


def test_winch_speed_and_pull_follow_the_drum() -> None:
    point = solution("winch").step("haul")
    radius = 0.5 * (0.250 + 0.012)
    shaft = point["M1"].values["speed"]
    assert point["W1"].values["speed"] == pytest.approx(shaft * radius / 20, rel=1e-9)
    torque = 30e3 * radius / 20 / 0.85
    assert point["M1"].values["torque"] == pytest.approx(torque, rel=1e-6)


def test_section_limits_the_pressure_of_a_stuck_winch() -> None:
    point = solution("winch").step("stuck")
    assert point["S2"].state == "at a, at its limit"
    assert np.isclose(point["S2"].values["pressure"], 230e5, atol=12e5)
    assert point["W1"].values["speed"] < 1e-3


def test_a_part_without_rod_or_shaft_stands_and_nothing_holds_it() -> None:
    stand = parse(PRESS).circuit
    found = answer(Case(stand, stand.steps))
    assert found.speed("R1").tolist() == [0.0, 0.0]
    assert found.held_by("R1").tolist() == [0.0, 0.0]
    assert found.pinned("R1").tolist() == [False, False]
    assert found.speed("C1")[1] > 0.01
    assert found.pinned("E1").all()
    assert (found.held_by("E1") > 1.0).all()


def test_a_part_behind_a_gearbox_has_its_drive_s_speed_by_the_ratio() -> None:
    text = PRESS.replace("driven by E1", "driven by GB1").replace(
        "  P1 ", "  GB1 gearbox, driven by E1, ratio 2\n  P1 ", 1
    )
    stand = parse(text).circuit
    case = Case(stand, stand.steps)
    rated = 1450 * 2 * np.pi / 60
    assert case.value_of(stand.parts["GB1"])("speed") == pytest.approx(rated)
    assert case.value_of(stand.parts["P1"])("speed") == pytest.approx(rated / 2)
    faster = Case(stand, stand.steps, {("E1", "speed"): 2 * rated, ("GB1", "ratio"): 4.0})
    assert faster.value_of(stand.parts["P1"])("speed") == pytest.approx(rated / 2)
