"""Flow controls of two and three ports and priority valves: what they keep, and from what on."""

from __future__ import annotations

import math

import pytest

from tests.components.bench import TEST_OIL, bar, bench, flow, sources
from tests.components.refusals import refusals

RUN = "from TP to X1 in\nfrom X1 out to TT"
PUMP = "P1 pump, fixed, 40 cc/rev, 1000 rpm, volumetric 100 %"


def passed(part: str, front: float, behind: float = 0.0, nu: float = 32.0) -> float:
    oil = f"{nu!r} cSt at 50 degC, 870 kg/m3"
    point = bench(f"{sources(TP=front, TT=behind)}\nX1 {part}", RUN, oil=oil)
    return flow(point, "X1", "in")


# ---- two ports -----------------------------------------------------------------------


def test_a_sharp_edge_compensates_temperature_and_a_long_one_does_not() -> None:
    """At viscosity n times 32 the long edge gives (root(s2 n2 + 4(1-s)) - s n)/(2(1-s))."""
    kept, share = 12.0, 0.2
    compensated = [passed("flow control, 12 L/min", 100, nu=nu) for nu in (16, 160)]
    assert compensated[0] == pytest.approx(compensated[1], rel=1e-4)
    plain = "flow control, 12 L/min, not temperature compensated"
    b = share * 5
    y = (-b + math.sqrt(b * b + 4 * (1 - share))) / (2 * (1 - share))
    assert passed(plain, 100, nu=160) == pytest.approx(kept * y, rel=0.03)
    assert passed(plain, 100) == pytest.approx(kept, rel=0.03)


def test_without_check_it_is_a_throttle_backwards() -> None:
    """Compensator open: 0.6 of its least drop over the edge, 0.4 over the compensator."""
    back = passed("flow control, 12 L/min, least 10 bar", 0, 40)
    assert back == pytest.approx(-12 * math.sqrt(40 / 10), rel=0.01)


@pytest.mark.parametrize(("front", "behind"), [(150, 20), (20, 150)])
def test_controlled_both_ways(front: float, behind: float) -> None:
    found = passed("flow control, 12 L/min, controlled both ways", front, behind)
    assert found == pytest.approx(math.copysign(12, front - behind), rel=0.03)


# ---- three ports ---------------------------------------------------------------------

PAST = "from TT to P1 S\nfrom P1 P to X1 in\nfrom X1 out to TL\nfrom X1 T to TT"


@pytest.mark.parametrize("load", [0, 5, 80, 250])
def test_three_ports_take_the_load_and_the_spring_from_the_pump(load: float) -> None:
    """p_in = p_load + spring; the set flow to the load, the rest to tank. Band 8 % of drop."""
    point = bench(
        f"{sources(TT=0, TL=load)}\n{PUMP}\nX1 bypass flow control, 15 L/min, spring 8 bar", PAST
    )
    assert -flow(point, "X1", "out") == pytest.approx(15, rel=0.025)
    assert -flow(point, "X1", "T") == pytest.approx(25, rel=0.015)
    assert bar(point, "X1", "in") == pytest.approx(load + 8, abs=0.35)
    assert point["X1"].state == "regulating"


def test_three_ports_short_of_flow_give_all_they_have() -> None:
    parts = f"{sources(TT=0, TL=50)}\n{PUMP}\nX1 bypass flow control, 60 L/min"
    point = bench(parts, PAST)
    assert -flow(point, "X1", "out") == pytest.approx(40, rel=1e-4)
    assert point["X1"].state == "short of flow"


@pytest.mark.parametrize("back", [0, 20])
def test_three_ports_limit_the_pressure_of_a_blocked_load(back: float) -> None:
    """Its pilot opens 3 % below the limit, over the pressure at T; inlet stands the spring
    above the chamber."""
    parts = (
        f"{sources(TT=0, TB=back)}\n{PUMP}\nX1 bypass flow control, 15 L/min, limit 120 bar\n"
        "TH1 throttle, 0.001 L/min at 200 bar"
    )
    lines = (
        "from TT to P1 S\nfrom P1 P to X1 in\nfrom X1 out to TH1 in\nfrom TH1 out to TT\n"
        "from X1 T to TB"
    )
    point = bench(parts, lines)
    assert point["X1"].state == "at its limit"
    assert 0.97 * 120 < bar(point, "X1", "in") - back < 120 + 6 + 1


# ---- priority ------------------------------------------------------------------------

SERVED = (
    "from TT to P1 S\nfrom P1 P to X1 P\nfrom X1 CF to TH1 in\nload from TH1 out to TL\n"
    "from load to X1 LS\nfrom X1 EF to TE"
)


def served(load: float, other: float, asked: float, more: str = "") -> tuple[float, float, str]:
    """Flow to CF and EF [L/min] with 40 L/min coming in, and the state."""
    parts = (
        f"{sources(TT=0, TL=load, TE=other)}\n{PUMP}\nX1 priority valve, set 7 bar{more}\n"
        f"TH1 throttle, {asked} L/min at 7 bar"
    )
    point = bench(parts, SERVED)
    return -flow(point, "X1", "CF"), -flow(point, "X1", "EF"), point["X1"].state


@pytest.mark.parametrize(
    ("load", "other", "word"),
    [(50, 0, "throttling EF"), (0, 50, "throttling CF"), (200, 190, "throttling EF"),
     (20, 250, "throttling CF")],
)  # fmt: skip
def test_priority_flow_comes_first_whichever_stands_higher(
    load: float, other: float, word: str
) -> None:
    """Asked flow at the set margin, up to two bands (1 bar) above: at most 7 % more."""
    first, rest, state = served(load, other, 12)
    assert 12 * 0.999 <= first <= 12 * math.sqrt(8 / 7)
    assert first + rest == pytest.approx(40, rel=1e-6)
    assert state == word


def test_excess_gets_nothing_while_the_first_consumer_is_short() -> None:
    first, rest, state = served(50, 0, 60)
    assert first == pytest.approx(40, rel=1e-4)
    assert abs(rest) < 1e-2
    assert state == "all to CF"


def test_set_priority_flow_needs_no_signal() -> None:
    parts = (
        f"{sources(TT=0, TL=30, TE=150)}\n{PUMP}\n"
        "X1 priority valve, set priority flow, priority 12 L/min"
    )
    lines = "from TT to P1 S\nfrom P1 P to X1 P\nfrom X1 CF to TL\nfrom X1 EF to TE"
    point = bench(parts, lines)
    assert -flow(point, "X1", "CF") == pytest.approx(12, rel=0.07)
    assert -flow(point, "X1", "EF") == pytest.approx(28, rel=0.03)


def test_dynamic_signal_flows_through_the_signal_line() -> None:
    """1 L/min at the set margin goes from CF to the signal."""
    parts = f"{sources(TT=0, TL=30, TE=0)}\n{PUMP}\nX1 priority valve, dynamic, set 7 bar"
    lines = (
        "from TT to P1 S\nfrom P1 P to X1 P\nfrom X1 LS to TL\nfrom X1 CF to X2 M\nfrom X1 EF to TE"
    )
    point = bench(f"{parts}\nX2 gauge", lines)
    assert -flow(point, "X1", "LS") == pytest.approx(1.0, rel=0.07)


@pytest.mark.parametrize(
    ("part", "words"),
    [
        ("priority valve, set priority flow", "how much flow"),
        ("priority valve, priority 12 L/min", "load signal"),
        ("priority valve, signal flow 1 L/min", "static signal"),
        ("priority valve, set priority flow, priority 9 L/min, dynamic", "no load signal"),
        ("flow control, 9 L/min, temperature compensated, viscous 30 %", "viscous"),
    ],
)
def test_what_cannot_be_is_refused(part: str, words: str) -> None:
    assert any(words in message for message in refusals(f"X1 {part}"))


def test_load_sensing_at_part_load_by_a_bypass() -> None:
    """C-08's load on a fixed pump behind a three-port flow control: loss 20 gpm times the
    spring over the load, less what is useful (closed form, psi gpm/1714 = hp)."""
    psi, gpm = 6894.757 / 1e5, 3.785411784
    parts = (
        f"{sources(TT=0, TL=1300 * psi)}\nP1 pump, fixed, 4.62 cu in/rev, 1000 rpm, "
        "volumetric 100 %, mechanical 100 %\n"
        f"X1 bypass flow control, 9 gpm, spring 200 psi, bypass 100 gpm"
    )
    point = bench(parts, PAST, oil=TEST_OIL)
    assert -flow(point, "X1", "out") / gpm == pytest.approx(9, rel=0.025)
    hp = 745.7
    power = point["P1"].values["shaft power"] / hp
    assert power == pytest.approx(20 * 1500 / 1714, rel=0.01)
    lost = (20 * 1500 - 9 * 1300) / 1714
    assert point["X1"].loss / hp == pytest.approx(lost, rel=0.025)
