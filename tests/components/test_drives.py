"""Motors, engines, gearboxes, belts, clutches: closed forms and the rms of a cycle."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from circuitcheck.pipeline import parse
from circuitcheck.solver.operating import OperatingPoint
from tests.components.bench import BAR, TEST_OIL, bench, sources
from tests.components.refusals import refusals

TURN = 2 * math.pi
RPM = TURN / 60
IDEAL = "volumetric 100 %, mechanical 100 %"
LINES = "from TT to P1 S\nfrom P1 P to TP"


def driven(
    drive: str, front: float, step: str = "", between: str = "", by: str = "E1"
) -> OperatingPoint:
    """A drive E1 turns an ideal pump of 50 cc/rev against a pressure [bar]."""
    parts = f"{sources(TT=0, TP=front)}\n{drive}\n{between}\n"
    return bench(f"{parts}P1 pump, fixed, 50 cc/rev, driven by {by}, {IDEAL}", LINES, step)


def load_of(front: float) -> float:
    return 50e-6 * front * BAR / TURN


INDUCTION = "E1 electric motor, 15 kW, 1455 rpm, poles 4, breakdown 2.6"
RATED = 15e3 / (1455 * RPM)


@pytest.mark.parametrize("share", [0.0, 0.5, 1.0, 2.0, -0.5])
def test_induction_motor_slips_by_the_formula_of_kloss(share: float) -> None:
    """M = 2 M_b/(s/s_b + s_b/s), solved for s; at rated torque the rated speed."""
    torque = share * RATED
    front = torque * TURN / 50e-6 / BAR
    parts = f"{sources(TT=max(-front, 0), TP=max(front, 0))}\n{INDUCTION}\n"
    point = bench(f"{parts}P1 pump, fixed, 50 cc/rev, driven by E1, {IDEAL}", LINES)
    critical = 0.03 * (2.6 + math.sqrt(2.6**2 - 1))
    m = 2.6 * RATED / torque if torque else math.inf
    slip = critical * (m - math.copysign(math.sqrt(m * m - 1), m)) if torque else 0.0
    found = point["E1"].values
    assert found["speed"] / RPM == pytest.approx(1500 * (1 - slip), rel=1e-7)
    assert found["slip"] == pytest.approx(slip, abs=1e-7)
    if share == 1.0:
        assert found["speed"] / RPM == pytest.approx(1455, rel=1e-7)
    if share < 0.0:
        assert point["E1"].state == "driven by the load"
        assert found["power"] < 0.0


def test_induction_motor_on_a_converter_keeps_its_slip() -> None:
    found = driven(INDUCTION, RATED * TURN / 50e-6 / BAR, "E1 at 900 rpm")["E1"].values
    assert found["speed"] / RPM == pytest.approx(900, rel=1e-7)


def test_electrical_power_of_a_published_drive() -> None:
    """14.8 kW from the supply, 4.3 kW lost: FPA, example 5-10 (motor 85 %, pump 83.5 %)."""
    parts = f"{sources(TT=0, TP=70)}\nE1 electric motor, 15 kW, 1000 rpm, efficiency 85 %\n"
    parts += "P1 pump, fixed, 100 cc/rev, driven by E1, volumetric 90 %, mechanical 92.84 %,"
    point = bench(f"{parts} test pressure 70 bar", LINES)
    electrical = point["E1"].values["electrical power"]
    assert electrical / 1e3 == pytest.approx(14.8, rel=3e-3)
    oil = point["P1"].values["flow"] * 70 * BAR
    assert (electrical - oil) / 1e3 == pytest.approx(4.3, abs=0.05)  # as printed


@pytest.mark.parametrize(
    ("duty", "share", "state"),
    [("S1", 1.0, "over its duty"), ("S6", 0.4, "over its duty"), ("S6, duty factor 60 %", 0.6, "")],
)
def test_rms_of_a_cycle_against_the_duty(duty: str, share: float, state: str) -> None:
    """10 s at the full load and 30 s idle: rms = sqrt(10/40) of it."""
    full = 1.9 * 15e3 / (1500 * RPM)
    front = full * TURN / 50e-6 / BAR
    text = f'circuit "t"\noil {TEST_OIL}\nparts\n{sources(TT=0, TP=front)}\n'
    text += f"E1 electric motor, 15 kW, 1500 rpm, {duty}\nV1 valve 2/2, 500 L/min at 0.1 bar\n"
    text += f"P1 pump, fixed, 50 cc/rev, driven by E1, {IDEAL}\nCV1 check, 0.01 bar\n"
    text += "lines\nfrom TT to P1 S\nfrom P1 P to V1 P and CV1 in\nfrom V1 A to TT\n"
    text += "from CV1 out to TP\ncycle\nstep work, 10 s\nstep idle, V1 at a, 30 s\n"
    work, _ = parse(text).solve()
    rms = full * math.sqrt(10 / 40)
    rated = 15e3 / (1500 * RPM)
    asked = rms / (rated * math.sqrt(share if share < 1 else 1))
    assert work["E1"].values["duty load"] == pytest.approx(asked, rel=0.03)
    if asked > 1.05 and state:
        assert work["E1"].state in (state, "overloaded")


def cautioned(drive: str, share: float, cycle: str) -> list[str]:
    """Slugs of what a motor says of a cycle in which V1 at a takes the load away."""
    front = share * 15e3 / (1500 * RPM) * TURN / 50e-6 / BAR
    text = f'circuit "t"\noil {TEST_OIL}\nparts\n{sources(TT=0, TP=front)}\n'
    text += f"E1 {drive}\nV1 valve 2/2, 500 L/min at 0.1 bar\n"
    text += f"P1 pump, fixed, 50 cc/rev, driven by E1, {IDEAL}\nCV1 check, 0.01 bar\n"
    text += "lines\nfrom TT to P1 S\nfrom P1 P to V1 P and CV1 in\nfrom V1 A to TT\n"
    text += f"from CV1 out to TP\ncycle\n{cycle}\n"
    solution = parse(text).solve()
    assert solution.solved
    return [f.slug for f in solution.findings if f.slug.startswith("motor-")]


MOTOR = "electric motor, 15 kW, 1500 rpm"


@pytest.mark.parametrize(
    ("duty", "share", "cycle", "says"),
    [
        # 40 % of 10 minutes are 240 s; two steps of one load are one stretch
        ("S6", 0.9, "step work, 239 s\nstep idle, V1 at a, 361 s", []),
        ("S6", 0.9, "step work, 241 s\nstep idle, V1 at a, 361 s", ["motor-duty-too-long"]),
        ("S3", 0.9, "step one, 130 s\nstep two, 130 s", ["motor-duty-too-long"]),
        ("S3, duty factor 60 %", 0.9, "step one, 130 s\nstep two, 130 s", []),
        ("S1", 0.9, "step work, 3600 s", []),
        # 1.6 times the rated torque for 15 s
        ("S1", 1.7, "step peak, 14 s\nstep idle, V1 at a, 100 s", []),
        ("S1", 1.7, "step peak, 16 s\nstep idle, V1 at a, 100 s", ["motor-peak-too-long"]),
    ],
)
def test_loads_longer_than_the_duty_are_named(
    duty: str, share: float, cycle: str, says: list[str]
) -> None:
    assert cautioned(f"{MOTOR}, {duty}", share, cycle) == says


ENGINE = "E1 engine, 60 kW, 2200 rpm, droop 5 %, low torque 230 Nm at 1000 rpm,"
ENGINE += " peak torque 330 Nm at 1500 rpm"
ENGINE_RATED = 60e3 / (2200 * RPM)


@pytest.mark.parametrize("share", [0.0, 0.4, 0.9])
def test_engine_falls_along_its_governor_line(share: float) -> None:
    """No load: 5 % over the rated speed; the fall goes with the torque."""
    point = driven(ENGINE, share * ENGINE_RATED * TURN / 50e-6 / BAR)
    expected = 2200 * (1 + 0.05 * (1 - share))
    assert point["E1"].values["speed"] / RPM == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize("torque", [280.0, 310.0])
def test_engine_lugs_down_along_its_torque_curve(torque: float) -> None:
    """Between peak (1500, 330) and rated (2200, M_r) the curve is a straight line."""
    point = driven(ENGINE, torque * TURN / 50e-6 / BAR)
    speed = 2200 - (torque - ENGINE_RATED) / (330 - ENGINE_RATED) * 700
    assert point["E1"].values["speed"] / RPM == pytest.approx(speed, rel=2e-3)
    assert point["E1"].state in ("lugged down", "overloaded")
    assert point["E1"].values["torque reserve"] == pytest.approx(0.0, abs=0.01 * torque)


def test_engine_at_part_throttle_has_its_rated_torque_at_the_speed_set() -> None:
    point = driven(ENGINE, ENGINE_RATED * 0.99 * TURN / 50e-6 / BAR, "E1 at 1800 rpm")
    assert point["E1"].values["speed"] / RPM == pytest.approx(1800 * 1.0005, rel=1e-4)


def test_engine_driven_beyond_its_braking_is_named() -> None:
    rated = ENGINE_RATED * TURN / 50e-6 / BAR
    for share, word in ((0.2, "driven by the load"), (0.3, "driven beyond its braking")):
        parts = f"{sources(TT=share * rated, TP=0)}\n{ENGINE}\n"
        point = bench(f"{parts}P1 pump, fixed, 50 cc/rev, driven by E1, {IDEAL}", LINES)
        assert point["E1"].state == word


@settings(max_examples=30, deadline=None)
@given(st.floats(0.051, 20), st.floats(5, 100), st.floats(0, 300))
def test_gearbox_turns_by_its_ratio_and_loses_its_share(
    ratio: float, percent: float, front: float
) -> None:
    """w2 = w1/i, M1 = M2/(i eta): over the whole range of ratio and efficiency."""
    gear = f"GB1 gearbox, driven by E1, ratio {ratio!r}, efficiency {percent!r} %"
    point = driven("E1 electric motor, 15 kW, 1500 rpm", front, between=gear, by="GB1")
    found, eta = point["GB1"].values, percent / 100
    assert found["speed"] == pytest.approx(1500 * RPM / ratio, rel=1e-3)
    assert found["torque"] == pytest.approx(load_of(front), rel=1e-6, abs=1e-3)
    # about zero torque the change of direction is rounded over 0.02 N m
    corner = 0.006 / ratio / eta
    taken = found["torque"] / ratio / eta
    assert found["input torque"] == pytest.approx(taken, rel=1e-6, abs=corner)
    given_ = found["input torque"] * found["input speed"]
    assert point["GB1"].loss == pytest.approx(given_ - found["power"], rel=1e-6, abs=1e-2)
    assert point["GB1"].loss >= -1e-3
    # the account has the losses alone; what it misses is a share of all that passes through
    assert point.power_error < 1e-8 * max(100.0, given_)


def test_pump_behind_a_gearbox_has_its_losses_at_its_own_speed() -> None:
    """95 % at 750 rpm, which is its speed: the test point follows the gear."""
    parts = f"{sources(TT=0, TP=200)}\nE1 electric motor, 15 kW, 1500 rpm\n"
    parts += "GB1 gearbox, driven by E1, ratio 2\n"
    parts += "P1 pump, fixed, 50 cc/rev, driven by GB1, volumetric 95 %, test pressure 200 bar"
    found = bench(parts, LINES)["P1"].values
    assert found["flow"] == pytest.approx(50e-6 * 750 / 60 * 0.95, rel=1e-4)


def test_belt_by_its_pulleys() -> None:
    belt = "B1 belt, driven by E1, driving pulley 100 mm, driven pulley 150 mm, creep 2 %"
    point = driven("E1 engine, 60 kW, 1500 rpm", 100, between=belt, by="B1")
    assert point["B1"].values["speed"] == pytest.approx(1500 * RPM / 1.5 * 0.98, rel=1e-4)
    taken = load_of(100) / (1.5 / 0.98) / 0.95
    assert point["E1"].values["torque"] == pytest.approx(taken, rel=1e-6)


CLUTCH = "C1 clutch, driven by E1, torque limit 60 Nm"


def test_clutch_carries_slips_and_lets_go() -> None:
    """Under its limit it turns with the drive, over it the torque is the limit."""
    drive = "E1 electric motor, 15 kW, 1500 rpm"
    held = driven(drive, 50, between=CLUTCH, by="C1")
    assert held["C1"].state == "engaged"
    assert held["P1"].values["speed"] == pytest.approx(1500 * RPM, rel=1e-3)
    parts = f"{sources(TT=0)}\n{drive}\n{CLUTCH}\nR1 relief, set 150 bar, 10 L/min\n"
    parts += f"P1 pump, fixed, 50 cc/rev, driven by C1, {IDEAL}"
    lines = "from TT to P1 S\nfrom P1 P to R1 P\nfrom R1 T to TT"
    over = bench(parts, lines)
    assert over["C1"].state == "slips"
    assert over["C1"].values["torque"] == pytest.approx(60, rel=1e-3)
    lost = 60 * over["C1"].values["slip"]
    assert over["C1"].loss == pytest.approx(lost, rel=1e-3)
    apart = bench(parts, lines, "C1 open")
    assert apart["C1"].state == "open"
    assert apart["E1"].values["torque"] == pytest.approx(0.0, abs=1e-6)
    assert apart["P1"].values["speed"] == pytest.approx(0.0, abs=0.03)


CHAIN_DRIVES = (
    "electric motor, {power!r} kW, 1500 rpm",
    "engine, {power!r} kW, 1500 rpm, droop 5 %, low torque {low!r} Nm at 800 rpm,"
    " peak torque {peak!r} Nm at 1100 rpm",
    "electric motor, {power!r} kW, 1455 rpm, poles 4, breakdown 2.6",
)


@settings(max_examples=60, deadline=None)
@given(
    st.sampled_from(CHAIN_DRIVES),
    st.floats(0, 2.5).map(lambda x: 10**x),
    st.floats(-1.3, 2).map(lambda x: 10**x),
    st.floats(-1, 1).map(lambda x: 10**x),
    st.floats(0.01, 0.95),
    st.one_of(st.none(), st.floats(1.1, 30)),
)
def test_chain_of_gearbox_clutch_and_belt_over_decades(
    drive: str, power: float, gear: float, belt: float, share: float, grip: float | None
) -> None:
    """Speed over both ratios, torque by both ratios and efficiencies: closed form."""
    rated = power * 1e3 / (1500 * RPM)
    torque = share * rated * gear * 0.98 * belt * 0.95  # at the pump
    front, size = 150.0, torque / (150 * BAR) * TURN * 1e6
    if not 0.1 < size < 1e4:
        size = min(max(size, 0.1), 1e4)
        front = torque / (size * 1e-6) * TURN / BAR
        if not 1.0 < front < 1000.0:
            return
    most = None if grip is None else max(grip * share * rated * gear, 0.1)
    limit = "" if most is None else f", torque limit {most!r} Nm"
    parts = f"{sources(TT=0, TP=front)}\n"
    parts += f"E1 {drive.format(power=power, low=0.9 * rated, peak=1.3 * rated)}\n"
    parts += f"GB1 gearbox, driven by E1, ratio {gear!r}\nC1 clutch, driven by GB1{limit}\n"
    parts += f"B1 belt, driven by C1, ratio {belt!r}, efficiency 95 %\n"
    parts += f"P1 pump, fixed, {size!r} cc/rev, driven by B1, {IDEAL}"
    point = bench(parts, LINES)
    assert point["C1"].state == "engaged"
    turned = point["E1"].values["speed"] / gear / belt
    assert point["P1"].values["speed"] == pytest.approx(turned, rel=2e-4)
    corner = 0.02 * (1 + 1 / gear)  # about zero torque the change of direction is rounded
    assert point["E1"].values["torque"] == pytest.approx(share * rated, rel=1e-5, abs=corner)
    assert point.method == "direct"
    assert point.power_error < 1e-6


def test_a_clutch_without_a_limit_never_slips() -> None:
    """At 26,700 rpm its speeds differ by what the stiffness of the solver leaves."""
    parts = f"{sources(TT=0, TP=150)}\nE1 electric motor, 100 kW, 1500 rpm\n"
    parts += "GB1 gearbox, driven by E1, ratio 0.05623413251903491\nC1 clutch, driven by GB1\n"
    parts += f"P1 pump, fixed, 6.980530316696199 cc/rev, driven by C1, {IDEAL}"
    point = bench(parts, LINES)
    assert point["C1"].state == "engaged"
    assert point["C1"].values["slip"] == 0.0


def test_clutch_slips_behind_a_gearbox_of_an_engine() -> None:
    """The clutch gives its limit, the engine feels it through the ratio."""
    parts = f"{sources(TT=0)}\n{ENGINE}\nGB1 gearbox, driven by E1, ratio 0.5\n"
    parts += "C1 clutch, driven by GB1, torque limit 60 Nm\nR1 relief, set 150 bar, 10 L/min\n"
    parts += f"P1 pump, fixed, 50 cc/rev, driven by C1, {IDEAL}"
    point = bench(parts, "from TT to P1 S\nfrom P1 P to R1 P\nfrom R1 T to TT")
    assert point["C1"].state == "slips"
    assert point["C1"].values["torque"] == pytest.approx(60, rel=1e-3)
    assert point["E1"].values["torque"] == pytest.approx(60 / 0.5 / 0.98, rel=1e-3)
    assert point.power_error < 1e-6


def test_shaft_end_carries_the_pumps_behind() -> None:
    """Torque at a shaft end is that of the pump and all behind it."""
    parts = f"{sources(TT=0, TP=160)}\nE1 electric motor, 11 kW, 1450 rpm\n"
    for i, size in enumerate((30, 20, 10), 1):
        parts += f"P{i} pump, fixed, {size} cc/rev, driven by E1, {IDEAL}\n"
    lines = "from TT to P1 S and P2 S and P3 S\nfrom P1 P and P2 P and P3 P to TP"
    point = bench(parts, lines)
    for name, size in (("P1", 60), ("P2", 30), ("P3", 10)):
        expected = size * 1e-6 * 160 * BAR / TURN
        assert point[name].values["through torque"] == pytest.approx(expected, rel=1e-6)
    assert point["E1"].values["torque"] == pytest.approx(60e-6 * 160 * BAR / TURN, rel=1e-6)


def test_shaft_end_carries_a_gearbox_behind() -> None:
    parts = f"{sources(TT=0, TP=160)}\nE1 electric motor, 11 kW, 1450 rpm\n"
    parts += f"P1 pump, fixed, 30 cc/rev, driven by E1, {IDEAL}\n"
    parts += "GB1 gearbox, driven by E1, ratio 2, efficiency 96 %\n"
    parts += f"P2 pump, fixed, 20 cc/rev, driven by GB1, {IDEAL}\n"
    lines = "from TT to P1 S and P2 S\nfrom P1 P and P2 P to TP"
    point = bench(parts, lines)
    expected = (30e-6 + 20e-6 / 2 / 0.96) * 160 * BAR / TURN
    assert point["P1"].values["through torque"] == pytest.approx(expected, rel=1e-4)
    assert point["P2"].values["through torque"] == pytest.approx(20e-6 * 160 * BAR / TURN)


@pytest.mark.parametrize(
    ("said", "message"),
    [
        ("electric motor, 11 kW, 1600 rpm, poles 4", "turns a little under 1500 rpm"),
        ("electric motor, 11 kW, 1450 rpm, poles 3", "they come in pairs"),
        ("electric motor, 1450 rpm, poles 4", "no rated power"),
        ("electric motor, 11 kW, 1450 rpm, poles 4, droop 3 %", "poles and a droop"),
        ("electric motor, 11 kW, 1450 rpm, poles 4, breakdown 0.9", "breakdown"),
        ("engine, 60 kW, 2200 rpm, peak torque 330 Nm at 2400 rpm", "out of order"),
        ("engine, 2200 rpm, peak torque 330 Nm at 1400 rpm", "no rated power"),
        ("engine, 60 kW, 2200 rpm, peak torque 330 Nm", "at what speed"),
        ("engine, 60 kW, 2200 rpm, droop 0 %, peak torque 330 Nm at 1400 rpm", "no droop"),
        ("belt", "diameters of both pulleys"),
        ("gearbox, ratio 0", "ratio"),
        ("gearbox, ratio 2, efficiency 120 %", "efficiency"),
        ("clutch, torque limit 0 Nm", "torque limit"),
    ],
)
def test_what_cannot_be_is_refused(said: str, message: str) -> None:
    assert any(message in found for found in refusals(f"E1 {said}")), refusals(f"E1 {said}")


@pytest.mark.parametrize(
    ("figures", "expected"),
    [
        ("ratio 1.5, driven pulley 150 mm", "a driven pulley alone says nothing of B1"),
        ("driving pulley 100 mm, ratio 1.5", "a driving pulley alone says nothing of B1"),
        (
            "ratio 2, driving pulley 100 mm, driven pulley 150 mm",
            "the pulleys of B1 have a ratio of 1.5, not 2",
        ),
        ("driving pulley 100 mm", "B1 needs 'ratio', or the diameters of both pulleys"),
    ],
)
def test_belt_with_figures_that_do_not_fit(figures: str, expected: str) -> None:
    assert refusals(f"E1 engine, 60 kW, 1500 rpm\nB1 belt, driven by E1, {figures}") == [expected]
