"""Pressure valves against their force balance, every port that acts on it tried."""

from __future__ import annotations

import math

import pytest
from scipy.optimize import brentq

from tests.components.bench import bar, bench, flow, sources


@pytest.mark.parametrize(("build", "share"), [("direct", 0.10), ("piloted", 0.05)])
def test_relief_cracks_below_its_setting(build: str, share: float) -> None:
    """10 % direct, 5 % piloted: the usual figures that the dictionary gives."""
    crack = 200 * (1 - share)
    lines = "from TP to R1 P\nfrom R1 T to TT"

    def passed(p: float, back: float = 0.0) -> float:
        parts = f"{sources(TP=p, TT=back)}\nR1 relief, {build}, set 200 bar, 80 L/min"
        return flow(bench(parts, lines), "R1", "P")

    assert passed(crack - 1) < 1e-3
    middle = (crack + 200) / 2
    # the whole opening is 0.5 % larger, so that the rounded end of the band meets the rating
    assert passed(middle) == pytest.approx(40 * (middle / 200) ** 0.5, rel=6e-3)
    assert passed(200) == pytest.approx(80, rel=6e-3)
    # pressure behind it adds to its setting
    assert passed(crack + 29, 30) < 1e-3
    assert passed(crack + 32, 30) > 1.0


def test_relief_cracking_as_given() -> None:
    parts = f"{sources(TP=150, TT=0)}\nR1 relief, set 200 bar, cracks 140 bar, 80 L/min"
    point = bench(parts, "from TP to R1 P\nfrom R1 T to TT")
    assert point["R1"].state == "open"
    assert point["R1"].values["cracking"] == pytest.approx(140e5)


def test_check_valve() -> None:
    lines = "from TP to CV1 in\nfrom CV1 out to TT"

    def passed(front: float, behind: float) -> float:
        parts = f"{sources(TP=front, TT=behind)}\nCV1 check, 0.3 bar, 60 L/min at 1.5 bar"
        return flow(bench(parts, lines), "CV1", "in")

    assert passed(1.5, 0.0) == pytest.approx(60, rel=1e-6)
    assert passed(0.28, 0.0) < 1e-3
    assert passed(0.55, 0.0) == pytest.approx(0.5 * 60 * (0.55 / 1.5) ** 0.5, rel=0.03)
    assert passed(0.0, 250.0) == pytest.approx(-250e-6, rel=1e-6)  # 1e-6 L/min per bar


@pytest.mark.parametrize(("ratio", "back"), [(3, 0), (4, 0), (4, 20), (10, 5)])
def test_pilot_check_opens_by_the_balance_of_its_pistons(ratio: float, back: float) -> None:
    """ratio (X - in) > out - in + cracking."""
    load, cracking = 200.0, 0.5
    needed = back + (load - back + cracking) / ratio
    for pilot, state in ((needed - 0.1, "seated"), (needed + 0.2, "released")):
        tanks = sources(TI=back, TO=load, TX=pilot)
        point = bench(
            f"{tanks}\nPC1 pilot check, {ratio}:1, cracking {cracking} bar",
            "from TI to PC1 in\nfrom PC1 out to TO\nfrom TX to PC1 X",
        )
        assert point["PC1"].state == state


def test_pilot_check_passes_freely_towards_the_load() -> None:
    tanks = sources(TI=12, TO=10, TX=0)
    lines = "from TI to PC1 in\nfrom PC1 out to TO\nfrom TX to PC1 X"
    point = bench(f"{tanks}\nPC1 pilot check, 3:1, 60 L/min at 2 bar", lines)
    assert flow(point, "PC1", "in") == pytest.approx(60, rel=5e-3)


@pytest.mark.parametrize(("back", "vented"), [(0, ""), (10, ""), (10, ", vented")])
def test_counterbalance_opens_by_its_force_balance(back: float, vented: str) -> None:
    """load + R pilot = setting + (1 + R) back pressure; a vented spring knows no back."""
    load, ratio, setting = 100.0, 4.0, 180.0
    needed = (setting - load + (0.0 if vented else (1 + ratio) * back)) / ratio
    for pilot, opened in ((needed - 0.2, False), (needed + 0.2, True)):
        tanks = sources(TC=load, TV=back, TX=pilot)
        point = bench(
            f"{tanks}\nCB1 counterbalance, set {setting} bar, pilot {ratio}:1{vented}",
            "from TV to CB1 V\nfrom CB1 C to TC\nfrom TX to CB1 X",
        )
        assert (point["CB1"].state == "lowering") is opened


def test_counterbalance_lifts_through_its_check() -> None:
    tanks = sources(TC=100, TV=108, TX=0)
    lines = "from TV to CB1 V\nfrom CB1 C to TC\nfrom TX to CB1 X"
    point = bench(f"{tanks}\nCB1 counterbalance, set 180 bar, 60 L/min at 8 bar", lines)
    assert point["CB1"].state == "check open"
    assert flow(point, "CB1", "V") == pytest.approx(60, rel=2e-3)


@pytest.mark.parametrize("drain", [0, 15])
def test_sequence_valve_adds_its_drain_pressure_to_its_setting(drain: float) -> None:
    for inlet, opened in ((59.5 + drain, False), (61 + drain, True)):
        point = bench(
            f"{sources(TP=inlet, TA=10, TY=drain)}\nSV1 sequence, set 60 bar",
            "from TP to SV1 P\nfrom SV1 A to TA\nfrom SV1 Y to TY",
        )
        assert (point["SV1"].state != "closed") is opened


def test_unloading_valve_is_worked_by_its_pilot_only() -> None:
    for inlet, pilot, opened in ((200, 49, False), (3, 51, True)):
        point = bench(
            f"{sources(TP=inlet, TX=pilot, TT=0)}\nU1 unloading valve, set 50 bar",
            "from TP to U1 P\nfrom TX to U1 X\nfrom U1 T to TT",
        )
        assert (point["U1"].state != "closed") is opened


@pytest.mark.parametrize("inlet", [60, 120, 300])
def test_reducing_valve_keeps_its_outlet_whatever_stands_before_it(inlet: float) -> None:
    """10 L/min into a throttle; the outlet stands within its band of 4 bar under 40 bar."""
    parts = f"{sources(TP=inlet, TT=0)}\nRV1 reducing valve, set 40 bar\nTH1 throttle, 10 L/min"
    lines = "from TP to RV1 P\nfrom RV1 A to TH1 in\nfrom RV1 T and TH1 out to TT"
    point = bench(parts + " at 40 bar", lines)
    assert 36 <= bar(point, "RV1", "A") <= 40


def test_reducing_valve_relieves_what_is_pressed_back() -> None:
    tanks = sources(TP=120, TA=50, TT=0)
    lines = "from TP to RV1 P\nfrom RV1 A to TA\nfrom RV1 T to TT"
    point = bench(f"{tanks}\nRV1 reducing valve, set 40 bar", lines)
    assert flow(point, "RV1", "T") < -10
    assert abs(flow(point, "RV1", "P")) < 1e-3


@pytest.mark.parametrize("supply", [90, 100, 150, 300])
@pytest.mark.parametrize("flow", [5, 20, 45])
def test_compensator_keeps_the_drop_over_a_metering_edge(supply: float, flow: float) -> None:
    """Closed form: drop = 7 bar + 2 bar x (1/2 - y); the edge passes its flow at 7 bar, the
    compensator 60 L/min at 5 bar fully open. So its setting is kept half open, as it is
    measured, and its margin stands 1 bar above it where nothing flows."""
    parts = (
        f"{sources(TP=supply, TL=80)}\nPC1 compensator, set 7 bar\n"
        f"TH1 throttle, {flow} L/min at 7 bar"
    )
    lines = "from TP to PC1 P\nfrom PC1 A to TH1 in\nfrom TH1 out to TL\nfrom TL to PC1 X"

    def passes(y: float) -> float:
        drop = 7 + 2 * (0.5 - y)
        return flow * math.sqrt(drop / 7) - y * 60 * math.sqrt((supply - 80 - drop) / 5)

    point = bench(parts, lines)
    wanted = 7 + 2 * (0.5 - brentq(passes, 0.0, 1.0))
    assert point["TH1"].values["drop"] / 1e5 == pytest.approx(wanted, rel=1e-3)
    assert 6 <= wanted <= 8
    assert point["PC1"].state == "regulating"


def test_compensator_keeps_its_setting_half_open() -> None:
    """20 L/min at 7 bar through the edge; half of 60 L/min at 5 bar is 30: 2.2 bar over it."""
    parts = f"{sources(TP=7 + 20 / 9, TT=0)}\nPC1 compensator, set 7 bar\n"
    lines = "from TP to PC1 P\nfrom PC1 A to TH1 in\nfrom TH1 out and PC1 X to TT"
    point = bench(parts + "TH1 throttle, 20 L/min at 7 bar", lines)
    assert point["TH1"].values["drop"] / 1e5 == pytest.approx(7, rel=1e-3)


@pytest.mark.parametrize(("one", "two"), [(100, 30), (30, 100), (5, 0), (0, 250)])
def test_shuttle_passes_the_higher_side(one: float, two: float) -> None:
    point = bench(
        f"{sources(T1=one, T2=two)}\nSH1 shuttle\nG1 gauge",
        "from T1 to SH1 1\nfrom T2 to SH1 2\nfrom SH1 out to G1",
    )
    assert point["G1"].values["pressure"] / 1e5 == pytest.approx(max(one, two), abs=0.01)
    assert point["SH1"].state == ("passes 1" if one > two else "passes 2")


def test_shuttle_between_equal_sides_is_open_to_both() -> None:
    """Oil is drawn through it from either side; it does not jam in the middle."""
    parts = f"{sources(T1=100, T2=100, TT=0)}\nSH1 shuttle\nTH1 throttle, 1 L/min at 100 bar"
    lines = "from T1 to SH1 1\nfrom T2 to SH1 2\nfrom SH1 out to TH1 in\nfrom TH1 out to TT"
    point = bench(parts, lines)
    assert bar(point, "SH1", "out") > 95
    assert flow(point, "SH1", "1") == pytest.approx(flow(point, "SH1", "2"), rel=1e-6)
