"""Circuits solved backwards: published sizings, closed forms, what stands in the way."""

from __future__ import annotations

import math

import pytest

from circuitcheck.pipeline import CircuitError, Project, parse

INCH, PSI, LBF, GPM = 0.0254, 6894.757, 4.448222, 3.785411784e-3 / 60

LOSSLESS = """\
oil     32 cSt at 50 degC, 870 kg/m3
parts
  T1  tank
  P1  pump, fixed, {pump}, 1000 rpm, volumetric 100 %, mechanical 100 %
  R1  relief, set 2000 psi, 8.35 gpm
  C1  cylinder, single acting, bore {bore}, stroke 120 in, efficiency 100 %
lines
  from T1 to P1 S
  from P1 P to C1 cap and R1 P
  from R1 T to T1
cycle
  step lift,  C1 load {load},  C1 travels 10 ft
"""
LINE = """\
oil     32 cSt at 50 degC, 870 kg/m3
parts
  T1  tank
  P1  pump, fixed, {pump}, 1000 rpm, volumetric 100 %
lines
  from T1 to P1 S
  L1  from P1 P to T1,  {make} 12 mm, 1 ft
"""
PRESS = """\
oil ISO VG 46, at 50 degC
parts
  T1  tank, 100 L, ambient 20 degC, walls 1 m2
  E1  electric motor, 11 kW, 1450 rpm
  P1  pump, fixed, 16 cc/rev, driven by E1
  R1  relief, set 180 bar, 40 L/min
  V1  valve 4/3, closed centre, 60 L/min at 6 bar
  C1  cylinder, bore 80 mm, rod 56 mm, stroke 400 mm
  K1  cooler, 2 kW at 30 degC over ambient, 60 L/min at 0.3 bar
lines
  suction from T1 to P1 S
  pressure from P1 P to V1 P, hose 12.5 mm, 2 m
  from P1 P to R1 P
  from R1 T to T1
  from V1 A to C1 cap
  from V1 B to C1 rod
  from V1 T through K1 to T1
cycle
  step out,   V1 at a, C1 load 40 kN, C1 travels 300 mm
  step back,  V1 at b, C1 load 5 kN, C1 travels 300 mm
  step rest,  V1 at centre, 20 s
"""


def press() -> Project:
    return parse(PRESS)


def lossless(bore: str = "4 in", pump: str = "4 cu in/rev", load: str = "8000 lbf") -> Project:
    return parse(LOSSLESS.format(bore=bore, pump=pump, load=load))


# ---- published ----------------------------------------------------------------------------


def test_bore_from_load_and_pressure() -> None:
    """80 000 lbf at 1600 psi: 7.979 in. Fluid Power: Theory and Applications, 4th ed., ex. 8.1."""
    found = lossless("10 in", load="80000 lbf").size(
        {"C1 bore": "4 to 20 in"}, ["C1 cap pressure 1600 psi, in lift"]
    )
    assert found.exact.values[0] / INCH == pytest.approx(7.979, rel=1e-3)
    # the next size up of the series in inches is 8 in; it needs 1592 psi
    assert found.chosen.sizes[0].text == "8 in"
    assert found.chosen.results[0] / PSI == pytest.approx(80000 / (math.pi / 4 * 64), rel=1e-4)


def test_area_and_flow_from_load_pressure_and_time() -> None:
    """8000 lbf, 10 ft in 10 s at 1000 psi: 8 in2, 24.9 gpm. Fluid Power with Applications,
    6th ed., ex. 3-8."""
    found = lossless().size(
        ["C1 bore", "P1 displacement"],
        ["C1 cap pressure 1000 psi, in lift", "time 10 s, in lift"],
    )
    bore, displacement = found.exact.values
    assert math.pi / 4 * (bore / INCH) ** 2 == pytest.approx(8.0, rel=1e-4)
    flow = displacement * 1000 / 60 / GPM
    assert flow == pytest.approx(24.9, rel=4e-3)
    assert found.feasible


@pytest.mark.parametrize(
    ("pump", "target", "bore"),
    [
        # 30 gpm at 20 ft/s: 0.783 in; Fluid Power with Applications, 6th ed., ex. 10-1
        ("6.93 cu in/rev", "L1 speed 20 ft/s, at most", 0.783 * INCH),
        # 0.002 m3/s at 6.1 m/s: 20.4 mm; the same, ex. 10-2
        ("120 cc/rev", "L1 speed 6.1 m/s, at most", 20.4e-3),
    ],
)
def test_bore_of_a_line_from_a_velocity(pump: str, target: str, bore: float) -> None:
    project = parse(LINE.format(pump=pump, make="hose"))
    found = project.size({"L1 bore": "5 to 60 mm"}, [target])
    assert found.exact.values[0] == pytest.approx(bore, rel=2e-3)
    up = found.standard[0]
    assert up.good
    assert up.sizes[0].text == ("hose 25 mm (1 in, dash 16)")
    assert found.standard[1].sizes[0].text.startswith("hose 19 mm")
    assert not found.standard[1].good


@pytest.mark.parametrize(
    ("make", "text"), [("tube", "tube 25 x 2.5 mm"), ("pipe", "pipe 1 in schedule 160")]
)
def test_tubes_and_pipes_have_sizes_of_their_own(make: str, text: str) -> None:
    pump = "110 cc/rev"
    project = parse(LINE.format(pump=pump, make=make).replace("12 mm", "12 x 2 mm"))
    found = project.size({"L1 bore": "5 to 60 mm"}, ["L1 speed 6.1 m/s, at most"])
    exact = math.sqrt(4 / math.pi * 110e-6 * 1000 / 60 / 6.1)
    assert found.exact.values[0] == pytest.approx(exact, rel=1e-4)
    assert found.standard[0].sizes[0].text.startswith(text)


def test_motor_displacement_of_a_pair() -> None:
    """Motor of 77.3 cm3/rev turns at 400 rpm behind 82 cm3/rev at 500 rpm. Fluid Power with
    Applications, 6th ed., ex. 7-7."""
    project = parse("""\
oil     32 cSt at 50 degC, 870 kg/m3
parts
  T1  tank
  P1  pump, fixed, 82 cm3/rev, 500 rpm, volumetric 82 %, mechanical 88 %, test pressure 70 bar
  R1  relief, set 150 bar
  M1  motor, gear, 60 cm3/rev, volumetric 92 %, mechanical 90 %, test pressure 70 bar,
      speed 400 rpm
lines
  from T1 to P1 S
  from P1 P to M1 A and R1 P
  from M1 B and R1 T to T1
cycle
  step run,  M1 load 77.5 Nm
""")
    found = project.size(["M1 displacement"], ["M1 speed 400 rpm, in run"])
    assert found.exact.values[0] * 1e6 == pytest.approx(77.3, rel=5e-3)


# ---- what is met exactly is met by a circuit written so --------------------------------------


@pytest.mark.parametrize(
    ("figure", "target", "before", "after"),
    [
        ("C1 bore", "C1 speed 60 mm/s, in out", "bore 80 mm", "bore {} mm"),
        ("P1 displacement", "C1 speed 60 mm/s, in back", "16 cc/rev", "{} cc/rev"),
        ("pressure bore", "pressure drop 1.5 bar, in out", "12.5 mm", "{} mm"),
        ("C1 rod", "C1 speed 150 mm/s, in back", "rod 56 mm", "rod {} mm"),
        ("V1 flow", "V1 A pressure 82 bar, in out", "60 L/min at 6 bar", "{} L/min at 6 bar"),
    ],
)
def test_the_exact_figure_written_into_the_text_meets_the_target(
    figure: str, target: str, before: str, after: str
) -> None:
    project = press()
    unit = {"P1 displacement": 1e-6, "V1 flow": 1e-3 / 60}.get(figure, 1e-3)
    try:
        found = project.size([figure], [target])
    except CircuitError as error:
        pytest.fail(str(error))
    if not found.feasible:
        assert found.binding.missed
        return
    written = PRESS.replace(before, after.format(float(found.exact.values[0]) / unit))
    again = parse(written).size([figure], [target])
    assert again.present.results == pytest.approx(found.exact.results, rel=1e-6)
    assert again.present.good


def test_a_figure_that_shapes_a_part_is_tried_one_by_one() -> None:
    """The droop of a drive decides how it is built: from 0 on it falls with the torque."""
    project = parse(PRESS.replace("1450 rpm", "1450 rpm, droop 3 %"))
    found = project.size({"E1 droop": "0 to 8 %"}, ["E1 speed 1480 rpm, in out"])
    assert found.feasible
    speed = parse(
        PRESS.replace("1450 rpm", f"1450 rpm, droop {100 * found.exact.values[0]} %")
    ).point("out")["E1"].values["speed"]  # fmt: skip
    assert speed * 30 / math.pi == pytest.approx(1480, rel=1e-5)


# ---- limits, ranges, several targets ---------------------------------------------------------


def test_at_most_and_at_least_give_a_stretch_and_sizes_inside_it() -> None:
    found = press().size(
        ["C1 bore"],
        ["P1 P pressure 120 bar, in out, at most", "C1 speed 50 mm/s, in out, at least"],
    )
    ((low, high),) = found.within
    assert 0.06 < low < high < 0.12
    for end in (low, high):
        text = PRESS.replace("bore 80 mm", f"bore {1000 * end} mm")
        point = parse(text).point("out")
        pressure = point["P1"].ports["P"].pressure / 120e5
        speed = point["C1"].values["speed"] / 0.05
        assert pressure == pytest.approx(1.0, abs=1e-4) or speed == pytest.approx(1.0, abs=1e-4)
    assert found.chosen.sizes
    assert low <= found.chosen.values[0] <= high
    assert found.chosen.good


def test_motor_power_follows_from_its_load() -> None:
    found = press().size(["E1 power"], ["E1 load share 100 %, at most"])
    most = max(point["E1"].values["power"] for point in press().solve())
    assert found.exact.values[0] == pytest.approx(most, rel=1e-4)
    # IEC 60072-1: the first of the preferred outputs that is not below it
    assert found.chosen.sizes[0].value == min(x for x in (5.5e3, 7.5e3, 11e3) if x >= most)


def test_a_cooler_is_sized_for_the_temperature_at_which_the_oil_settles() -> None:
    # the oil of the relief must go through the cooler, too: it cools only what flows
    text = PRESS.replace("from R1 T to T1", "from R1 T to V1 T")
    found = parse(text).size({"K1 heat": "0.2 to 10 kW"}, ["oil temperature 50 degC, at most"])
    assert found.feasible
    heat = found.exact.values[0] / 1e3
    # at 50 degC, what walls and cooler take over the cycle is what the cycle loses
    solved = parse(text.replace("2 kW at 30", f"{heat} kW at 30")).solve()
    lasts = [point.duration or 0.0 for point in solved]
    stays = [point.totals.loss - point.totals.cooled for point in solved]
    mean = sum(t * q for t, q in zip(lasts, stays, strict=True)) / sum(lasts)
    lost = sum(t * p.totals.loss for t, p in zip(lasts, solved, strict=True)) / sum(lasts)
    assert abs(mean) < 0.02 * lost


def test_two_figures_meet_two_targets_and_standard_sizes_are_combined() -> None:
    found = press().size(
        ["C1 bore", "P1 displacement"],
        ["P1 P pressure 100 bar, in out", "C1 speed 80 mm/s, in out, within 12 %"],
    )
    assert found.feasible
    assert found.exact.results == pytest.approx([100e5, 0.08], rel=1e-4)
    assert len(found.standard) >= 4
    values = {round(float(a.values[0]) * 1e3, 3) for a in found.standard}
    assert values <= {63.0, 70.0, 80.0, 90.0}


def test_one_target_and_two_figures_stay_near_the_text() -> None:
    found = press().size(["C1 bore", "P1 displacement"], ["C1 speed 80 mm/s, in out"])
    assert found.feasible
    assert found.exact.values[0] == pytest.approx(0.08, rel=0.15)
    assert found.exact.values[1] == pytest.approx(16e-6, rel=0.15)


def test_what_cannot_be_is_said_with_what_limits_it() -> None:
    found = press().size(["C1 bore"], ["C1 speed 200 mm/s, in out, at least"])
    assert not found.feasible
    (missed,) = found.binding.missed
    assert missed.result < 0.2
    assert "R1 open" in missed.limits
    levers = {lever.figure: lever.share for lever in missed.levers}
    # and a figure that is named does move the result as it says
    at = found.exact.values[0] * 1e3
    text = PRESS.replace("bore 80 mm", f"bore {at} mm")
    before = parse(text).point("out")["C1"].values["speed"]
    after = parse(text.replace("16 cc", "16.0016 cc")).point("out")["C1"].values["speed"]
    assert (after / before - 1.0) / 1e-4 == pytest.approx(levers["P1 displacement"], rel=0.05)


def test_the_end_of_a_range_and_a_part_that_cannot_be_are_said() -> None:
    found = press().size({"P1 displacement": "8 to 12 cc/rev"}, ["C1 speed 90 mm/s, in out"])
    assert not found.feasible
    assert found.binding.ends == (("P1 displacement", pytest.approx(12e-6)),)
    found = press().size(["C1 rod"], ["T1 swing 3 L, in rest, at least"])
    assert not found.feasible
    assert "not smaller than the bore" in found.binding.barred
    # the oil of a rod nearly as thick as its piston, and what pressure takes up
    assert 0.9 < found.exact.results[0] / (math.pi / 4 * 0.08**2 * 0.3) < 1.02


@pytest.mark.parametrize(
    ("figures", "targets", "said"),
    [
        (["C1 boar"], ["C1 speed 1 m/s, in out"], "did you mean 'bore'"),
        (["C1 bore"], ["C1 speed 1 m/s"], "in which step?"),
        (["C1 bore"], ["C1 sped 1 m/s, in out"], "did you mean 'speed'"),
        (["C1 bore"], ["C1 speed 1 L/min, in out"], "speed is not given in L/min"),
        (["C1 bore"], ["C1 speed, in out"], "what is claimed of C1?"),
        (["C1 bore"], ["C1 speed 1 m/s, in ut"], "did you mean 'out'?"),
        (["C1 bore"], [], "no target is given"),
        (["C1 angle"], ["C1 speed 1 m/s, in out"], "C1 angle"),
        ({"C1 bore": "60 bar to 80 bar"}, ["C1 speed 1 m/s, in out"], "bar"),
        ({"C1 bore": "60 mm"}, ["C1 speed 1 m/s, in out"], "needs a range"),
    ],
)
def test_bad_input_is_said_in_words(figures: list[str], targets: list[str], said: str) -> None:
    with pytest.raises(CircuitError) as refused:
        press().size(figures, targets)
    assert said in str(refused.value)


def test_what_else_changes_with_the_size_is_told() -> None:
    project = press()
    found = project.size(["C1 bore"], ["P1 P pressure 60 bar, in out, at most"])
    other = project.compared_with(found, found.chosen)
    back = next(m for m in other.moves if (m.name, m.what, m.step) == ("C1", "speed", "back"))
    assert abs(back.after) < abs(back.before)


def test_a_figure_that_moves_nothing_is_told() -> None:
    found = press().size({"R1 set": "150 to 200 bar"}, ["C1 speed 90 mm/s, in out, at least"])
    assert not found.feasible
    assert found.binding.missed[0].deaf


def test_an_order_begins_at_what_the_step_of_the_target_orders() -> None:
    found = press().size(["C1 load"], ["P1 P pressure 120 bar, in back, within 1 %"])
    assert found.present.values[0] == 5e3
    assert found.feasible
    text = PRESS.replace("load 5 kN", f"load {found.exact.values[0] / 1e3} kN")
    assert parse(text).point("back")["P1"].ports["P"].pressure == pytest.approx(120e5, rel=1e-4)


def test_throttle_from_a_speed() -> None:
    """14.5 in/s behind a throttle of 1.0 gpm/psi^0.5 at specific gravity 0.9, relief 1400 psi,
    4000 lbf on 3.14 in2. Fluid Power with Applications, 6th ed., ex. 9-4, backwards."""
    project = parse("""\
oil     32 cSt at 50 degC, 900 kg/m3
parts
  T1  tank
  P1  pump, fixed, 4.62 cu in/rev, 1000 rpm, volumetric 100 %
  R1  relief, set 1400 psi, override 0.2 %, 8.35 gpm
  TH1 throttle, 5 gpm at 100 psi
  C1  cylinder, bore 1.999493 in, rod 1 in, stroke 20 in, efficiency 100 %
lines
  from T1 to P1 S
  from P1 P to TH1 in and R1 P
  from TH1 out to C1 cap
  from C1 rod and R1 T to T1
cycle
  step extend,  C1 load 4000 lbf
""")
    found = project.size(["TH1 flow"], ["C1 speed 14.5 in/s, in extend"])
    # at 100 psi that throttle passes 10 gpm of specific gravity 1, of oil of 870 kg/m3:
    assert found.exact.values[0] / GPM == pytest.approx(10.0 / math.sqrt(0.87), rel=5e-3)
    assert found.feasible
