"""Flow dividers: how well a spool shares, what gears on one shaft do to pressures."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.components.bench import bar, bench, flow, sources
from tests.components.refusals import refusals

SHARED = "from TT to P1 S\nfrom P1 P to X1 P\nfrom X1 A to TA\nfrom X1 B to TB"
PSI = 6894.757 / 1e5


def pump(litres: float) -> str:
    return f"P1 pump, fixed, {litres!r} cc/rev, 1000 rpm, volumetric 100 %"


def shared(part: str, a: float, b: float, litres: float = 40.0) -> tuple[float, float]:
    """Flow to A and B [L/min] at these outlet pressures [bar]."""
    point = bench(f"{sources(TT=0, TA=a, TB=b)}\n{pump(litres)}\nX1 {part}", SHARED)
    return -flow(point, "X1", "A"), -flow(point, "X1", "B")


# ---- spool ---------------------------------------------------------------------------

DIVIDER = "flow divider, 40 L/min at 8 bar, error 4 % at 200 bar, leakage 0 L/min"


@settings(max_examples=40, deadline=None)
@given(a=st.floats(0.0, 300.0), b=st.floats(0.0, 300.0), part=st.floats(20.0, 80.0))
def test_split_error_at_rated_flow_stays_under_its_figure(a: float, b: float, part: float) -> None:
    """At rated flow the measured drops differ by 4 e of themselves at 200 bar between the
    outlets: q_A = s q (1 + d), q_B = (1 - s) q (1 - d s/(1 - s)), a quadratic in d. The band
    of the spool adds 0.4 % at most.
    """
    to_a, to_b = shared(f"{DIVIDER}, share A {part!r} %", a, b)
    assert to_a + to_b == pytest.approx(40.0, rel=1e-6)
    share = part / 100
    wanted = 4 * 0.04 * (a - b) / 200
    odds = share / (1 - share)

    def differ(d: float) -> float:
        return (1 + d) ** 2 - (1 - d * odds) ** 2 - wanted

    low, high = -0.5, 0.5
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if differ(middle) < 0 else (low, middle)
    assert to_a / (40 * share) - 1 == pytest.approx(low, abs=0.012 + 0.02 * abs(low))


def test_equal_pressures_give_equal_parts_and_the_rated_drop() -> None:
    point = bench(f"{sources(TT=0, TA=50, TB=50)}\n{pump(40.0)}\nX1 {DIVIDER}", SHARED)
    assert flow(point, "X1", "A") == pytest.approx(-20, rel=1e-9)
    assert bar(point, "X1", "P") == pytest.approx(58, abs=0.02)
    assert point["X1"].state == "dividing"


def test_the_error_grows_as_flow_falls() -> None:
    """The band of the spool is a drop, which falls with the square of flow: at half the flow
    four times the error, at 30 % a poor split."""
    full = shared(DIVIDER, 200, 0)
    half = shared(DIVIDER, 200, 0, 20.0)
    of = [abs(x - y) / (x + y) for x, y in (full, half)]
    assert of[0] == pytest.approx(0.04, rel=0.15)
    assert of[1] == pytest.approx(4 * of[0], rel=0.2)
    point = bench(f"{sources(TT=0, TA=200, TB=0)}\n{pump(10.0)}\nX1 {DIVIDER}", SHARED)
    assert point["X1"].state == "dividing, flow too small to share well"


def test_a_blocked_outlet_stops_the_other() -> None:
    """With no flow at A the spool shuts B: what passes is its leakage."""
    parts = f"{sources(TP=100, TB=0)}\nX1 flow divider, leakage 0.1 L/min at 100 bar\nG1 gauge"
    point = bench(parts, "from TP to X1 P\nfrom X1 A to G1 M\nfrom X1 B to TB")
    assert abs(flow(point, "X1", "B")) == pytest.approx(0.1, rel=0.05)
    assert point["X1"].state == "stopped, one side blocked"


@pytest.mark.parametrize(("a", "b"), [(60, 60), (60, 40), (40, 55)])
def test_a_combiner_takes_equal_flows_from_unequal_pressures(a: float, b: float) -> None:
    """Measured: 4 % of each flow at the rated flow."""
    parts = (
        f"{sources(TA=a, TB=b, TT=0)}\nX1 flow divider, divides and combines, 40 L/min at 8 bar\n"
        "FC1 flow control, 40 L/min"
    )
    lines = "from TA to X1 A\nfrom TB to X1 B\nfrom X1 P to FC1 in\nfrom FC1 out to TT"
    point = bench(parts, lines)
    from_a, from_b = flow(point, "X1", "A"), flow(point, "X1", "B")
    assert abs(from_a - from_b) / (from_a + from_b) < 0.045
    assert point["X1"].state == "combining"


def test_without_combining_the_lower_pressure_gives_nothing() -> None:
    parts = f"{sources(TA=60, TB=40, TT=0)}\nX1 flow divider\nFC1 flow control, 20 L/min"
    lines = "from TA to X1 A\nfrom TB to X1 B\nfrom X1 P to FC1 in\nfrom FC1 out to TT"
    point = bench(parts, lines)
    assert flow(point, "X1", "A") == pytest.approx(20, rel=0.05)
    assert flow(point, "X1", "B") < 0.1
    assert point["X1"].state == "passing back, not shared"


# ---- gears ---------------------------------------------------------------------------

IDEAL = "volumetric 100 %, mechanical 100 %"


def test_published_inlet_of_a_gear_divider() -> None:
    """WE-40: outlets at 1500 and 300 psi, inlet 900 psi (HPB1-13, figure 13-18)."""
    tanks = sources(TT=0, TA=1500 * PSI, TB=300 * PSI)
    point = bench(f"{tanks}\n{pump(40.0)}\nX1 gear divider, 10 cc/rev, {IDEAL}", SHARED)
    assert bar(point, "X1", "P") / PSI == pytest.approx(900, rel=1e-3)
    assert flow(point, "X1", "A") == pytest.approx(-20, rel=1e-6)


def test_published_intensified_outlet_of_a_gear_divider() -> None:
    """WE-41: inlet 2000 psi, one outlet to tank: the other up to 4000 psi (HPB1-13)."""
    parts = (
        f"{sources(TP=2000 * PSI, TB=0)}\nX1 gear divider, 10 cc/rev, {IDEAL}\n"
        "TH1 throttle, 0.1 L/min at 4000 psi\nTH2 throttle, 0.1 L/min at 10 bar"
    )
    lines = "from TP to X1 P\nfrom X1 A to TH1 in\nfrom X1 B to TB\nfrom TH1 out to TB\n"
    point = bench(parts.replace("\nTH2 throttle, 0.1 L/min at 10 bar", ""), lines)
    assert bar(point, "X1", "A") / PSI == pytest.approx(4000, rel=2e-3)
    assert point["X1"].values["rise"] / 1e5 / PSI == pytest.approx(2000, rel=4e-3)
    assert point["X1"].state == "dividing, pressing up A"


@settings(max_examples=25, deadline=None)
@given(sizes=st.tuples(*[st.floats(4.0, 30.0)] * 3), loads=st.tuples(*[st.floats(0.0, 250.0)] * 3))
def test_ideal_sections_share_by_displacement_and_average_pressure(
    sizes: tuple[float, ...], loads: tuple[float, ...]
) -> None:
    """Torque balance: p_P = sum D_i p_i / sum D_i; flows in the ratio of D (closed form)."""
    tanks = sources(TT=0, **dict(zip(("TA", "TB", "TC"), loads, strict=True)))
    own = ", ".join(f"section {x} {d!r} cc/rev" for x, d in zip("ABC", sizes, strict=True))
    point = bench(
        f"{tanks}\n{pump(60.0)}\nX1 gear divider, 10 cc/rev, 3 sections, {own}, {IDEAL}",
        f"{SHARED}\nfrom X1 C to TC",
    )
    mean = sum(d * p for d, p in zip(sizes, loads, strict=True)) / sum(sizes)
    assert bar(point, "X1", "P") == pytest.approx(mean, abs=0.2)
    for x, d in zip("ABC", sizes, strict=True):
        assert -flow(point, "X1", x) == pytest.approx(60 * d / sum(sizes), rel=1e-6)


@pytest.mark.parametrize(("one", "other"), [(120, 40), (40, 120), (80, 80)])
def test_gears_combine_two_flows_in_the_ratio_of_their_sections(one: float, other: float) -> None:
    """Backwards the same balance: p_P = (2 p_A + p_B)/3 and q_A = 2 q_B (closed form); the
    throttle behind P takes 30 L/min at 50 bar, so q = 30 root(p_P/50)."""
    parts = (
        f"{sources(TA=one, TB=other, TT=0)}\nX1 gear divider, 10 cc/rev, section A 20 cc/rev, "
        f"{IDEAL}\nTH1 throttle, 30 L/min at 50 bar"
    )
    lines = "from TA to X1 A\nfrom TB to X1 B\nfrom X1 P to TH1 in\nfrom TH1 out to TT"
    point = bench(parts, lines)
    joined = (2 * one + other) / 3
    assert bar(point, "X1", "P") == pytest.approx(joined, rel=1e-3)
    assert -flow(point, "X1", "P") == pytest.approx(30 * (joined / 50) ** 0.5, rel=2e-3)
    assert flow(point, "X1", "A") == pytest.approx(2 * flow(point, "X1", "B"), rel=1e-6)


def test_losses_cost_pressure_and_slip_costs_sharing() -> None:
    """Volumetric 90 % at 175 bar, 32 cSt: slip 1/0.9 - 1 of D w there, in proportion to dp."""
    part = "gear divider, 10 cc/rev, volumetric 90 %, mechanical 85 %, test pressure 175 bar"
    point = bench(f"{sources(TT=0, TA=200, TB=0)}\n{pump(40.0)}\nX1 {part}", SHARED)
    inlet = bar(point, "X1", "P")
    assert inlet > 100
    slip = (1 / 0.9 - 1) * 10 * 1500 / 1000 / 175
    turning = point["X1"].values["speed"] * 60 / (2 * 3.141592653589793) * 10 / 1000
    assert -flow(point, "X1", "A") == pytest.approx(turning + slip * (inlet - 200), rel=1e-4)
    assert -flow(point, "X1", "B") == pytest.approx(turning + slip * inlet, rel=1e-4)


@pytest.mark.parametrize(
    ("part", "words"),
    [
        ("flow divider, 40 L/min at 40 bar, error 20 % at 20 bar", "off by"),
        ("gear divider, 8 cc/rev, section C 10 cc/rev", "no section C"),
        ("gear divider, 8 cc/rev, 2.5 sections", "whole"),
    ],
)
def test_what_cannot_be_is_refused(part: str, words: str) -> None:
    found = refusals(f"X1 {part}")
    assert any(words in message for message in found), found
