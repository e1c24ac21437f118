"""Energy of a cycle: sums that close, powers by hand, loads of drives."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest

from circuitcheck.pipeline import load, parse
from circuitcheck.studies.cycle import NoDutyError
from circuitcheck.studies.energy import BACK, DRIVE, LOAD, LOSS

EXAMPLES = Path(__file__).parents[2] / "examples"
L_MIN, RPM = 1e-3 / 60.0, 2.0 * math.pi / 60.0

MOTOR = """\
circuit "Rolls"
oil 32 cSt at 40 degC, 870 kg/m3, at 40 degC
parts
  T1 tank, 200 L, walls 4 m2, ambient 20 degC
  E1 electric motor, 22 kW, 1500 rpm{motor}
  P1 pump, fixed, 50 cc/rev, driven by E1, volumetric 100 %, mechanical 100 %
  R1 relief, set 350 bar, 90 L/min
  M1 motor, 50 cc/rev, volumetric 100 %, mechanical 100 %
lines
  from T1 to P1 S
  from P1 P to M1 A and R1 P
  from M1 B to T1
  from R1 T to T1
  from M1 L to T1
cycle
{steps}
"""


def rolls(*powers_and_times: tuple[float, float], motor: str = "") -> str:
    """Steps in which a motor without losses gives these powers [W] for these times [s]."""
    steps = [
        f"  step s{i}, {time} s, M1 load {power / (1500 * RPM):.6f} Nm"
        for i, (power, time) in enumerate(powers_and_times)
    ]
    return MOTOR.format(steps="\n".join(steps), motor=motor)


@pytest.mark.parametrize("name", ["press", "travel_drive", "lift", "torque_limit", "twin_lift"])
def test_what_comes_in_goes_out(name: str) -> None:
    found = load(EXAMPLES / f"{name}.hyc").duty()
    flows = found.flows
    assert flows.error < 1e-9
    useful = sum(flow.power for flow in flows.out if flow.kind == LOAD)
    lost = sum(flow.power for flow in flows.out if flow.kind == LOSS)
    back = sum(flow.power for flow in flows.out if flow.kind == BACK)
    assert flows.brought == pytest.approx(useful + lost + back, rel=1e-9)
    assert all(flow.power > 0.0 for flow in (*flows.into, *flows.out))


def test_steps_add_up_to_the_cycle() -> None:
    found = load(EXAMPLES / "press.hyc").duty()
    heat = sum(step.loss * step.time for step in found.steps)
    brought = sum(step.input * step.time for step in found.steps)
    assert heat == pytest.approx(found.flows.lost * found.time, rel=1e-9)
    assert brought == pytest.approx(found.flows.brought * found.time, rel=1e-9)
    for step in found.steps:
        assert step.input == pytest.approx(step.useful + step.loss, rel=1e-6, abs=1e-3)
    trace = found.trace
    assert sum(trace.time) == pytest.approx(found.time)
    assert np.dot(trace.loss, trace.time) == pytest.approx(heat, rel=1e-9)


def test_figures_are_those_of_the_steps_at_the_same_oil() -> None:
    press = load(EXAMPLES / "press.hyc")
    found = press.duty(oil=press.circuit.oil_degC)
    assert found.origin == "asked"
    for step, point in zip(found.steps, press.solve(), strict=True):
        assert step.time == pytest.approx(point.duration, rel=1e-6)
        assert step.loss == pytest.approx(point.totals.loss, rel=1e-6)


def test_a_load_that_is_lifted_and_let_down_counts_both_ways() -> None:
    found = load(EXAMPLES / "lift.hyc").duty()
    up = sum(f.power for f in found.flows.out if f.kind == LOAD)
    down = sum(f.power for f in found.flows.into if f.kind == LOAD)
    drive = sum(f.power for f in found.flows.into if f.kind == DRIVE)
    assert up > 0.0
    assert down > 0.0
    # the net of both is what the steps call useful, and the drive brings the rest of the heat
    net = sum(step.useful * step.time for step in found.steps) / found.time
    assert up - down == pytest.approx(net, abs=1e-3)
    assert drive + down == pytest.approx(up + found.flows.lost, rel=1e-9)


def test_root_mean_square_of_a_published_duty() -> None:
    """5 kW 8 s, 30 kW 4 s, 12 kW 10 s, 2 kW 8 s: 13.3 kW; root of the mean square, textbook."""
    found = parse(rolls((5e3, 8), (30e3, 4), (12e3, 10), (2e3, 8))).duty()
    (drive,) = found.drives
    assert drive.rms == pytest.approx(13.3e3, rel=0.01)
    assert drive.peak == pytest.approx(30e3, rel=0.01)
    assert drive.peak_step == "s1"
    assert drive.mean == pytest.approx(found.flows.brought, rel=1e-6)
    # the speed is held, so the torque is the power over it
    assert drive.rms_torque == pytest.approx(drive.rms / (1500 * RPM), rel=1e-6)
    assert drive.load == pytest.approx(drive.rms / 22e3, rel=1e-6)
    assert drive.heating == pytest.approx((drive.rms / 22e3) ** 2, rel=1e-6)


def test_a_motor_for_short_duty_stands_more() -> None:
    steady = parse(rolls((20e3, 60), (1e3, 60))).duty()
    short = parse(rolls((20e3, 60), (1e3, 60), motor=", S3, duty factor 40 %")).duty()
    ratio = steady.drives[0].load / short.drives[0].load
    assert ratio == pytest.approx(math.sqrt(0.4), rel=1e-6)


def test_supply_power_needs_the_efficiency_of_the_motor() -> None:
    without = parse(rolls((10e3, 10), (2e3, 10))).duty().drives[0]
    given = parse(rolls((10e3, 10), (2e3, 10), motor=", efficiency 90 %")).duty().drives[0]
    assert without.electrical is None
    assert given.electrical == pytest.approx(given.mean / 0.9, rel=1e-6)


def test_stroke_times_by_hand() -> None:
    """Way over speed; speed is flow over area: 50 cc at 1500 rpm, bore 100 mm."""
    text = """\
circuit "Ram"
oil 32 cSt at 40 degC, 870 kg/m3, at 40 degC
parts
  T1 tank, 100 L, walls 2 m2, ambient 20 degC
  P1 pump, fixed, 50 cc/rev, 1500 rpm, volumetric 100 %, mechanical 100 %
  R1 relief, set 200 bar, 90 L/min
  V1 valve 4/3, tandem centre, 200 L/min at 6 bar, lever
  C1 cylinder, bore 100 mm, rod 70 mm, stroke 600 mm
lines
  from T1 to P1 S
  from P1 P to V1 P and R1 P
  from R1 T to T1
  from V1 A to C1 cap
  from V1 B to C1 rod
  from V1 T to T1
cycle
  step out, V1 at a, C1 load 10 kN, C1 travels 500 mm
  step in, V1 at b, C1 travels 500 mm
  step wait, 10 s, V1 at centre
"""
    found = parse(text).duty()
    flow = 75.0 * L_MIN
    cap, ring = math.pi / 4 * 0.1**2, math.pi / 4 * (0.1**2 - 0.07**2)
    out, back = found.strokes
    assert out.time == pytest.approx(0.5 * cap / flow, rel=0.005)
    assert back.time == pytest.approx(0.5 * ring / flow, rel=0.005)
    assert found.time == pytest.approx(out.time + back.time + 10.0, rel=1e-9)
    # oil that the rod keeps out of the tank
    (tank,) = found.tanks
    assert tank.swing == pytest.approx((cap - ring) * 0.5, rel=1e-6)


def test_a_rod_that_does_not_come_back_is_said() -> None:
    text = rolls((5e3, 8)).replace(
        "M1 motor, 50 cc/rev, volumetric 100 %, mechanical 100 %",
        "C1 cylinder, bore 100 mm, rod 70 mm, stroke 600 mm",
    )
    text = text.replace("from P1 P to M1 A and R1 P", "from P1 P to C1 cap and R1 P")
    text = text.replace("from M1 B to T1", "from C1 rod to T1").replace("  from M1 L to T1\n", "")
    text = text[: text.index("cycle")] + "cycle\n  step out, C1 travels 300 mm\n"
    (remark,) = [said for said in parse(text).duty().remarks if "C1" in said]
    assert "300 mm further out" in remark


@pytest.mark.parametrize(
    ("steps", "words"),
    [
        ("", "no chapter 'cycle'"),
        ("cycle\n  step idle\n", "how long does step idle last"),
    ],
)
def test_a_cycle_without_times_is_refused(steps: str, words: str) -> None:
    text = rolls((5e3, 8))
    text = text[: text.index("cycle")] + steps
    with pytest.raises(NoDutyError, match=words) as refused:
        parse(text).duty()
    assert not refused.value.unsolved


def test_a_way_that_is_never_made_is_refused() -> None:
    text = """\
circuit "Ram"
parts
  T1 tank, 100 L
  P1 pump, fixed, 50 cc/rev, 1500 rpm
  R1 relief, set 50 bar, 90 L/min
  C1 cylinder, bore 100 mm, rod 70 mm, stroke 600 mm
lines
  from T1 to P1 S
  from P1 P to C1 cap and R1 P
  from R1 T to T1
  from C1 rod to T1
cycle
  step out, C1 load 900 kN, C1 travels 500 mm
"""
    with pytest.raises(NoDutyError, match="C1 stands still in step out"):
        parse(text).duty()
