"""Sequence and reducing valves: every pressure that acts on them, and both their builds."""

from __future__ import annotations

import pytest
from scipy.optimize import brentq

from tests.components.bench import bar, bench, flow, sources
from tests.components.refusals import refusals
from tests.components.steps import run


@pytest.mark.parametrize("outlet", [0.0, 25.0])
def test_a_sequence_valve_drained_inside_adds_its_outlet_pressure(outlet: float) -> None:
    for inlet, opened in ((59.5 + outlet, False), (61.0 + outlet, True)):
        point = bench(
            f"{sources(TP=inlet, TA=outlet)}\nSV1 sequence, internal drain, set 60 bar",
            "from TP to SV1 P\nfrom SV1 A to TA",
        )
        assert (point["SV1"].state != "closed") is opened


@pytest.mark.parametrize("inlet", [5.0, 150.0])
def test_a_remote_pilot_works_it_whatever_its_inlet(inlet: float) -> None:
    for pilot, opened in ((59.0, False), (61.0, True)):
        point = bench(
            f"{sources(TP=inlet, TA=2, TX=pilot, TY=0)}\nSV1 sequence, remote pilot, set 60 bar",
            "from TP to SV1 P\nfrom SV1 A to TA\nfrom TX to SV1 X\nfrom SV1 Y to TY",
        )
        assert (point["SV1"].state != "closed") is opened


def test_a_piloted_sequence_valve_takes_pilot_oil_to_its_drain() -> None:
    def drained(inlet: float) -> float:
        parts = f"{sources(TP=inlet, TA=40, TY=0)}\nSV1 sequence, piloted, set 60 bar, pilot flow "
        lines = "from TP to SV1 P\nfrom SV1 A to TA\nfrom SV1 Y to TY"
        return -flow(bench(f"{parts}0.6 L/min", lines), "SV1", "Y")

    assert drained(57.5) < 1e-6
    assert drained(60.0) == pytest.approx(0.6, rel=0.01)
    assert drained(63.0) == pytest.approx(0.6 * (63 / 60) ** 0.5, rel=1e-3)


def test_case_c_06_a_sequence_holds_the_first_function_at_its_pressure() -> None:
    """Pump 20 L/min, sequence 60 bar, second load 39.79 bar: main line 60 bar (own case)."""
    parts = """TT tank, 100 L
M1 electric motor, 1000 rpm
P1 pump, 20 cc/rev, driven by M1, volumetric 100 %
SV1 sequence, set 60 bar, band 0.1 bar, 60 L/min at 5 bar
TL tank, 100 L, gas 39.79 bar"""
    lines = "from TT to P1 S\nfrom P1 P to SV1 P\nfrom SV1 A to TL\nfrom SV1 Y to TT"
    point = bench(parts, lines)
    assert bar(point, "SV1", "P") == pytest.approx(60.0, rel=2e-3)
    assert point["SV1"].loss == pytest.approx(673.7, rel=5e-3)


def test_a_direct_sequence_valve_has_no_pilot_flow() -> None:
    (message,) = refusals("SV1 sequence, direct, set 60 bar, pilot flow 1 L/min")
    assert "no pilot stage" in message


THREE = "from TP to RV1 P\nfrom RV1 A to TH1 in\nfrom TH1 out and RV1 T to TT"
TWO = "from TP to RV1 P\nfrom RV1 A to TH1 in\nfrom TH1 out to TT\nfrom RV1 Y to TY"
TAP = "TH1 throttle, 10 L/min at 40 bar"


def reduced_over(drain: float) -> float:
    """Reduced pressure [bar] at a tap of 10 L/min at 40 bar: q = y 40 (dp/10)^0.5, no rounding."""

    def miss(p: float) -> float:
        opening = min(max((40.0 + drain - p) / 4.0, 0.0), 1.0)
        bleed = 0.05 * (p - drain) / 40.0
        return opening * 40.0 * ((120.0 - p) / 10.0) ** 0.5 - 10.0 * (p / 40.0) ** 0.5 - bleed

    return float(brentq(miss, 1.0, 40.0 + drain))


@pytest.mark.parametrize("back", [0.0, 15.0])
def test_a_valve_that_does_not_relieve_follows_its_drain(back: float) -> None:
    parts = f"{sources(TP=120, TT=0, TY=back)}\nRV1 reducing valve, not relieving, set 40 bar\n"
    point = bench(parts + TAP, TWO)
    assert bar(point, "RV1", "A") == pytest.approx(reduced_over(back), rel=1e-3)


def test_one_that_does_not_relieve_lets_only_its_drain_out() -> None:
    for said, port, least, most in (("", "T", 10, 500), (", not relieving", "Y", 0.05, 0.1)):
        tanks = sources(TP=120, TA=55, TT=0)
        lines = f"from TP to RV1 P\nfrom RV1 A to TA\nfrom RV1 {port} to TT"
        point = bench(f"{tanks}\nRV1 reducing valve{said}, set 40 bar", lines)
        assert least < -flow(point, "RV1", port) < most
        assert abs(flow(point, "RV1", "P")) < 1e-3


def test_case_c_05_drain_of_a_valve_on_a_stalled_clamp() -> None:
    """The valve stands at 40 bar and drains 1 L/min: 0.2 kW over it from 120 bar (own case)."""
    tanks = sources(TP=120, TT=0)
    parts = f"{tanks}\nRV1 reducing valve, set 40 bar, drain 1 L/min, band 0.1 bar\nG1 gauge"
    point = bench(parts, "from TP to RV1 P\nfrom RV1 A to G1\nfrom RV1 T to TT")
    assert bar(point, "RV1", "A") == pytest.approx(40.0, rel=2e-3)
    assert flow(point, "RV1", "T") == pytest.approx(-1.0, rel=2e-3)
    assert point["RV1"].loss == pytest.approx(200.0, rel=2e-3)


STAGED = "RV1 reducing valve, piloted, remote port, set 40 bar, spring 3 bar, pilot flow 1 L/min"


def test_two_stages_stand_at_the_setting_at_no_flow() -> None:
    """Shut, main drop 3 bar: the pilot stage passes its flow, the chamber stands at 37 bar."""
    tanks = sources(TP=120, TT=0)
    point = bench(
        f"{tanks}\n{STAGED}\nG1 gauge", THREE.replace("TH1 in", "G1 M").replace("TH1 out and ", "")
    )
    assert bar(point, "RV1", "A") == pytest.approx(40.0, rel=2e-3)
    assert flow(point, "RV1", "T") == pytest.approx(-1.0, rel=0.02)


@pytest.mark.parametrize("remote", [10.0, 25.0])
def test_a_relief_at_x_lowers_the_reduced_pressure(remote: float) -> None:
    parts = f"{sources(TP=120, TT=0)}\n{STAGED}\n{TAP}\nR2 relief, direct, set {remote} bar, "
    point = bench(f"{parts}1 L/min", f"{THREE}\nfrom RV1 X to R2 P\nfrom R2 T to TT")
    chamber = bar(point, "RV1", "X")
    assert chamber == pytest.approx(remote, rel=0.03)
    # open by the tap: between shut at chamber + 3 and fully open 2 bar under that
    assert chamber + 1.0 < bar(point, "RV1", "A") < chamber + 3.0


def test_a_vented_two_stage_valve_falls_to_its_spring() -> None:
    parts = f"{sources(TP=120, TT=0)}\n{STAGED}\n{TAP}"
    point = bench(parts, f"{THREE}\nfrom RV1 X to TT")
    assert 1.0 < bar(point, "RV1", "A") < 3.0


@pytest.mark.parametrize("build", ["direct", "piloted", "piloted, remote port"])
def test_a_proportional_reducing_valve_follows_its_command(build: str) -> None:
    parts = (
        f"{sources(TP=120, TT=0)}\nRV1 reducing valve, {build}, proportional, set 50 bar\nG1 gauge"
    )
    lines = "from TP to RV1 P\nfrom RV1 A to G1 M\nfrom RV1 T to TT"
    points = run(parts, lines, "step low, RV1 set 15 bar\nstep middle, RV1 set 30 bar\nstep most")
    found = [bar(point, "RV1", "A") for point in points]
    assert found == pytest.approx([15.0, 30.0, 50.0], rel=0.01)


def test_oil_returns_through_the_free_flow_check() -> None:
    tanks = sources(TP=0, TA=30, TT=0)
    lines = "from TP to RV1 P\nfrom RV1 A to TA\nfrom RV1 T to TT"
    point = bench(f"{tanks}\nRV1 reducing valve, set 40 bar, free-flow check", lines)
    assert flow(point, "RV1", "P") == pytest.approx(-40.0 * 3.0**0.5, rel=0.01)


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ("direct, remote port, set 40 bar", "no pilot stage"),
        ("remote port, set 2 bar", "not above the spring"),
        ("not relieving, gap 5 bar, set 40 bar", "not relieving"),
        ("spring 3 bar, set 40 bar", "not computed"),
    ],
)
def test_what_cannot_be_is_refused(said: str, words: str) -> None:
    assert any(words in message for message in refusals(f"RV1 reducing valve, {said}"))
