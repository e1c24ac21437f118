"""Filters, couplings, galleries, fittings, walls, intensifiers."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from circuitcheck.pipeline import parse
from circuitcheck.solver.operating import OperatingPoint
from tests.components.bench import BAR, L_MIN, TEST_OIL, bench, sources
from tests.components.refusals import refusals

RUN = "from TP to X1 in\nfrom X1 out to TT"
PUMPED = "from TT to P1 S\nfrom P1 P to X1 in\nfrom X1 out to TT"
PSI = 6894.757


def fed(part: str, flow: float, step: str = "", oil: str = TEST_OIL) -> OperatingPoint:
    """A part in the flow of an ideal pump [L/min]."""
    parts = f"{sources(TT=0)}\nP1 pump, fixed, {flow!r} cc/rev, 1000 rpm, volumetric 100 %\n"
    return bench(f"{parts}X1 {part}", PUMPED, step, oil)


# ---- filter --------------------------------------------------------------------------


@pytest.mark.parametrize("clogged", [1, 2, 5])
def test_clogging_multiplies_the_drop_of_the_element_only(clogged: float) -> None:
    point = fed("filter, 60 L/min at 0.5 bar", 60, f"X1 clogged {clogged}")
    assert point["X1"].values["drop"] == pytest.approx(0.5 * BAR * (0.7 * clogged + 0.3), rel=2e-3)


def test_filter_tells_by_indicator_bypass_and_collapse() -> None:
    said = "filter, 60 L/min at 0.5 bar, indicator 1.2 bar, bypass 1.7 bar"
    states = [fed(said, 60, f"X1 clogged {c}")["X1"].state for c in (1, 3, 20)]
    assert states == ["filtering", "indicator shows", "bypassing"]
    alone = fed("filter, 60 L/min at 0.5 bar, collapse 5 bar", 60, "X1 clogged 20")
    assert alone["X1"].state == "element collapses"


def test_published_beta_ratio() -> None:
    """36 815 particles before, 6347 behind: beta 5.8, 82.76 %; textbook example."""
    beta = 36815 / 6347
    assert beta == pytest.approx(5.8, rel=1e-3)
    found = fed(f"filter, 10 um, beta {beta!r}", 30)["X1"].values
    assert found["efficiency"] == pytest.approx(0.8276, abs=5e-5)
    assert found["held back"] == pytest.approx(found["efficiency"], rel=1e-12)


def test_oil_past_the_element_is_not_filtered() -> None:
    found = fed("filter, 60 L/min at 0.5 bar, bypass 1.7 bar, beta 100", 60, "X1 clogged 20")
    values = found["X1"].values
    share = values["bypass flow"] / values["flow"]
    assert 0.1 < share < 0.95
    assert values["held back"] == pytest.approx(0.99 * (1 - share), rel=1e-9)


# ---- couplings, unions, galleries ----------------------------------------------------


def test_quick_coupling_passes_its_flow_or_nothing() -> None:
    point = fed("quick coupling, 40 L/min at 2 bar", 40)
    assert point["X1"].values["drop"] == pytest.approx(2 * BAR, rel=2e-3)
    parts = f"{sources(TP=50, TT=0)}\nX1 quick coupling"
    parted = bench(parts, RUN, "X1 parted")
    assert parted["X1"].values["flow"] == 0.0
    assert parted["X1"].state == "parted"


def test_rotary_union_leaks_to_its_drain() -> None:
    parts = f"{sources(TP=200, TT=199.5, TL=0)}\nX1 rotary union, leak 0.02 L/min at 100 bar"
    point = bench(parts, f"{RUN}\nfrom X1 L to TL")
    assert point["X1"].values["leakage"] / L_MIN == pytest.approx(0.04, rel=1e-9)
    assert point["X1"].values["flow"] / L_MIN == pytest.approx(60 / math.sqrt(2), rel=0.1)


def test_gallery_is_a_pipe_with_corners() -> None:
    """Wide and short: 4 corners of 1.1 take 4.4 rho v2/2."""
    point = fed("gallery, 12 mm, length 1 mm, corners 4", 60)
    speed = 60 * L_MIN / (math.pi / 4 * 0.012**2)
    assert point["X1"].values["speed"] == pytest.approx(speed, rel=1e-9)
    assert point["X1"].values["drop"] == pytest.approx(4.4 * 0.5 * 870 * speed**2, rel=0.01)


# ---- fittings and walls of lines -----------------------------------------------------


def line(size: str, flow: float) -> dict[str, float]:
    parts = f"{sources(TT=0)}\nP1 pump, fixed, {flow!r} cc/rev, 1000 rpm, volumetric 100 %"
    point = bench(parts, f"from TT to P1 S\nL1 from P1 P to TT, {size}")
    assert point.power_error < 1e-6
    return point["L1"].values


@pytest.mark.parametrize("flow", [0.5, 5, 60])
@pytest.mark.parametrize(
    ("said", "k1", "k_inf"),
    [
        ("2 elbows", 1600, 0.8),
        ("welded elbows 3", 2400, 0.75),
        ("1 tees, branches 1", 700, 0.8),
        ("globe valves 1, swing checks 1", 3000, 5.5),
    ],
)
def test_fittings_by_the_two_constant_form(said: str, k1: float, k_inf: float, flow: float) -> None:
    """K = k1/Re + k_inf (1 + 1 in/d), beside the drop of the plain line; Hooper 1981."""
    with_them, plain = line(f"tube 16 mm, 1 m, {said}", flow), line("tube 16 mm, 1 m", flow)
    v = flow * L_MIN / (math.pi / 4 * 0.016**2)
    k = k1 / (v * 0.016 / 32e-6) + k_inf * (1 + 25.4 / 16)
    assert with_them["drop"] - plain["drop"] == pytest.approx(k * 0.5 * 870 * v**2, rel=1e-5)


@pytest.mark.parametrize(
    ("said", "k"),
    [
        ("wide start 40 mm", 0.5 * (1 - 0.16)),
        ("wide end 40 mm", (1 - 0.16) ** 2),
        ("rounded entries 1, exits 1", 1.05),
    ],
)
def test_entries_exits_and_steps_of_bore(said: str, k: float) -> None:
    """Borda and Carnot for widening, half of it for narrowing; textbook."""
    with_them, plain = line(f"tube 16 mm, 1 m, {said}", 60), line("tube 16 mm, 1 m", 60)
    v = 60 * L_MIN / (math.pi / 4 * 0.016**2)
    assert with_them["drop"] - plain["drop"] == pytest.approx(k * 0.5 * 870 * v**2, rel=1e-5)


def test_a_wide_end_is_wider_than_the_line() -> None:
    project = parse(
        'circuit "b"\noil 32 cSt at 50 degC\nparts\nT1 tank\nT2 tank\nlines\n'
        "L1 from T1 to T2, tube 16 mm, 1 m, wide end 12 mm\n"
    )
    assert any("widens to 12 mm" in finding.message for finding in project.mistakes)


def test_published_working_pressure_of_a_tube() -> None:
    """Outside 1.250 in, inside 1.060 in, 55 000 psi, safety 8: 1232 psi; textbook example."""
    said = f"tube 1.060 in, 1 m, wall 0.095 in, tensile {55000 * PSI / 1e6!r} MPa, safety 8"
    assert line(f"{said}, thin wall", 60)["wall pressure"] / PSI == pytest.approx(1232, rel=1e-3)
    barlow = 2 * 55000 * 0.095 / 1.250 / 8
    assert line(said, 60)["wall pressure"] / PSI == pytest.approx(barlow, rel=1e-6)


def test_hose_grows_with_pressure() -> None:
    parts = sources(TP=100, TT=100)
    point = bench(parts, "L1 from TP to TT, hose 20 mm, 4 m, expansion 3 % at 200 bar")
    oil = math.pi / 4 * 0.02**2 * 4
    assert point["L1"].values["swelling"] == pytest.approx(oil * 0.015, rel=1e-6)


# ---- intensifier ---------------------------------------------------------------------


def test_published_intensifier_ratio_in_pressure_and_flow() -> None:
    """p2 = p1 A1/A2 eta, q2 = q1 A2/A1."""
    parts = f"{sources(TP=50, TT=0)}\nX1 intensifier, ratio 4:1, efficiency 90 %\n"
    parts += "TH1 throttle, 5 L/min at 100 bar"
    lines = "from TP to X1 P\nfrom X1 H to TH1 in\nfrom TH1 out to TT\nfrom X1 T to TT"
    point = bench(parts, lines, "1 s")
    found = point["X1"].values
    assert found["pressure"] / BAR == pytest.approx(50 * 4 * 0.9, rel=1e-3)
    assert found["flow taken"] == pytest.approx(4 * found["flow"], rel=1e-9)
    assert point["X1"].ports["T"].flow == pytest.approx(-3 * found["flow"], rel=1e-9)
    assert point.power_error < 1e-6
    assert point["X1"].state == "boosting"


def test_filling_check_passes_oil_while_pressure_is_low() -> None:
    parts = f"{sources(TP=50, TT=0)}\nX1 intensifier, ratio 4:1, filling check\n"
    parts += "TH1 throttle, 30 L/min at 10 bar"
    lines = "from TP to X1 P\nfrom X1 H to TH1 in\nfrom TH1 out to TT\nfrom X1 T to TT"
    assert bench(parts, lines, "1 s")["X1"].state == "boosting"
    wide = parts.replace("30 L/min at 10 bar", "60 L/min at 5 bar").replace("TP tank", "TQ tank")
    wide += f"\n{sources(TP=200)}\nTH2 throttle, 20 L/min at 100 bar"
    more = lines.replace("TP to X1", "TP to TH2 in\nfrom TH2 out to X1")
    assert bench(wide, more, "X1 at end stop")["X1"].ports["H"].flow < -10 * L_MIN


def test_single_stroke_tells_its_oil() -> None:
    said = "X1 intensifier, single stroke, bore 100 mm, plunger 40 mm, stroke 300 mm"
    parts = f"{sources(TP=50, TT=0)}\n{said}\nTH1 throttle, 5 L/min at 100 bar"
    lines = "from TP to X1 P\nfrom X1 H to TH1 in\nfrom TH1 out to TT\nfrom X1 T to TT"
    found = bench(parts, lines, "1 s")["X1"].values
    oil = math.pi / 4 * 0.04**2 * 0.3
    assert found["oil a stroke"] == pytest.approx(oil, rel=1e-9)
    assert found["time"] == pytest.approx(oil / found["flow"], rel=1e-6)


@pytest.mark.parametrize(
    ("said", "part_of"),
    [
        ("filter, indicator 3 bar, bypass 2 bar", "its bypass opens at"),
        ("filter, clogged 0.5", "clogged"),
        ("gallery, 10 mm", "length"),
        ("gallery, 60 mm, length 2 mm", "no passage"),
        ("intensifier", "needs its ratio"),
        ("intensifier, ratio 4:1, plunger 20 mm", "has a ratio and a plunger"),
        ("intensifier, bore 20 mm, plunger 40 mm", "are the two swapped|not smaller"),
        ("intensifier, ratio 0.5", "ratio"),
        ("intensifier, single stroke, ratio 4:1", "needs 'bore' and 'stroke'"),
    ],
)
def test_what_cannot_be_is_refused(said: str, part_of: str) -> None:
    messages = refusals(f"X1 {said}")
    assert any(one in message for message in messages for one in part_of.split("|")), messages


# ---- conservation --------------------------------------------------------------------


@settings(max_examples=30, deadline=None)
@given(
    part=st.sampled_from(
        ["filter, bypass 1.7 bar,", "strainer,", "cooler, 3 kW, bypass 2 bar,", "heater, 2 kW,",
         "quick coupling,", "rotary union,"]
    ),
    flow=st.floats(0.5, 500), drop=st.floats(0.02, 20),
    front=st.floats(-0.5, 300), behind=st.floats(-0.5, 300),
)  # fmt: skip
def test_what_goes_in_comes_out_and_heat_is_the_drop_times_flow(
    part: str, flow: float, drop: float, front: float, behind: float
) -> None:
    parts = f"TP tank, gas {front!r} bar\nTT tank, gas {behind!r} bar\n"
    point = bench(f"{parts}X1 {part} {flow!r} L/min at {drop!r} bar", RUN)
    found = point["X1"]
    q = found.ports["in"].flow
    assert found.ports["out"].flow == pytest.approx(-q, abs=1e-12)
    lost = found.values["heat"] - (found.values["power"] if part == "heater, 2 kW," else 0.0)
    assert lost == pytest.approx((front - behind) * BAR * q, rel=1e-9, abs=1e-9)
    assert found.values["heat"] >= 0.0


@settings(max_examples=25, deadline=None)
@given(
    ratio=st.floats(1.01, 50), efficiency=st.floats(30, 100), front=st.floats(0, 300),
    flow=st.floats(0.1, 100), check=st.booleans(),
)  # fmt: skip
def test_intensifier_balances_oil_and_power(
    ratio: float, efficiency: float, front: float, flow: float, check: bool
) -> None:
    parts = f"{sources(TP=front, TT=0)}\nX1 intensifier, ratio {ratio!r}, efficiency"
    parts += f" {efficiency!r} %{', filling check' if check else ''}\n"
    parts += f"TH1 throttle, {flow!r} L/min at 100 bar"
    lines = "from TP to X1 P\nfrom X1 H to TH1 in\nfrom TH1 out to TT\nfrom X1 T to TT"
    point = bench(parts, lines, "1 s")
    total = sum(point["X1"].ports[port].flow for port in "PHT")
    assert total == pytest.approx(0.0, abs=1e-9)
    assert point.power_error < 1e-6
    assert point["X1"].values["heat"] >= -1e-6
