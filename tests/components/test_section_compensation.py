"""Load-sensing sections: sharing of short flow, limits per port, float, travel."""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from circuitcheck.pipeline import parse
from circuitcheck.solver.operating import OperatingPoint
from tests.components.bench import TEST_OIL, bar, bench, flow, sources
from tests.components.refusals import refusals

BANK = "from TP to S1 P\nfrom TA to S1 A\nfrom TB to S1 B\nfrom S1 T to TT\nfrom S1 LS to G1"


def steps(parts: str, lines: str, *orders: str) -> list[OperatingPoint]:
    cycle = "\n".join(f"  step s{i}, {order}" for i, order in enumerate(orders))
    text = f'circuit "b"\noil {TEST_OIL}\nparts\n{parts}\nlines\n{lines}\ncycle\n{cycle}\n'
    points = list(parse(text).solve())
    assert all(point.success for point in points), [point.message for point in points]
    return points


def shared(
    pump: float, loads: tuple[float, ...], flows: tuple[float, ...], orders: str
) -> OperatingPoint:
    """Flow-sharing sections on a load-sensing pump of this size [cc/rev at 1000 rpm]."""
    tanks = {f"L{i}": load for i, load in enumerate(loads)}
    parts = [sources(TT=0, **tanks), f"P1 pump, load sensing, {pump!r} cc/rev, 1000 rpm, "
             "volumetric 100 %, margin 20 bar"]  # fmt: skip
    lines = ["from TT to P1 S", "from P1 L to TT"]
    for i, size in enumerate(flows):
        parts.append(f"S{i} section, {size!r} L/min, flow sharing, margin 20 bar, leakage 0 L/min")
        lines += [f"from S{i} A to L{i}", f"from S{i} B and S{i} T to TT"]
    names = [f"S{i}" for i in range(len(flows))]
    lines.append("from P1 P to " + " and ".join(f"{name} P" for name in names))
    lines.append("signal from P1 X to " + " and ".join(f"{name} LS" for name in names))
    (point,) = steps("\n".join(parts), "\n".join(lines), orders)
    return point


@pytest.mark.parametrize("pump", [20.0, 40.0, 60.0])
@pytest.mark.parametrize("loads", [(150, 40), (40, 150), (100, 99)])
def test_short_flow_is_shared_in_the_ratio_of_the_openings(
    pump: float, loads: tuple[float, float]
) -> None:
    """60 and 30 L/min asked for, less comes: both get the same share (2 % of each other,
    which is the band of 0.5 bar over the drop that is left; at deep saturation more)."""
    point = shared(pump, loads, (60, 30), "S0 at a, S1 at a")
    found = [-flow(point, f"S{i}", "A") for i in (0, 1)]
    assert sum(found) == pytest.approx(pump, abs=0.8)
    left = 20 * (pump / 90) ** 2
    assert found[0] / found[1] == pytest.approx(2.0, rel=0.5 / left)
    assert point["S0"].state == "at a, sharing short flow"


def test_half_travel_counts_in_the_ratio() -> None:
    point = shared(40.0, (120, 60), (60, 60), "S0 at a, S1 at a 50 %")
    assert flow(point, "S0", "A") / flow(point, "S1", "A") == pytest.approx(2.0, rel=0.05)


def test_three_sections_share_too() -> None:
    point = shared(45.0, (180, 90, 20), (40, 40, 20), "S0 at a, S1 at a, S2 at a")
    share = [-flow(point, f"S{i}", "A") / size for i, size in enumerate((40, 40, 20))]
    assert max(share) / min(share) == pytest.approx(1.0, abs=0.08)


@pytest.mark.parametrize("loads", [(150, 40), (20, 180)])
def test_with_enough_flow_every_section_gets_its_own(loads: tuple[float, float]) -> None:
    """Pump margin at flow lies up to its band (3 bar) under 20 bar: 8 % of flow."""
    point = shared(120.0, loads, (40, 20), "S0 at a, S1 at a")
    assert -flow(point, "S0", "A") == pytest.approx(40, rel=0.09)
    assert -flow(point, "S1", "A") == pytest.approx(20, rel=0.09)
    assert point["S0"].state == "at a, metering"
    highest = max(loads)
    assert bar(point, "S0", "LS") == pytest.approx(highest, abs=3.0)


def test_pre_compensated_sections_starve_the_highest_load() -> None:
    """The same circuit with compensators before the spools: the lighter load keeps its flow,
    the heavier gets the rest (physics of the two principles; textbook form, from memory)."""
    parts = (
        f"{sources(TT=0, L0=150, L1=40)}\nP1 pump, load sensing, 50 cc/rev, 1000 rpm, "
        "volumetric 100 %, margin 20 bar\nS0 section, 40 L/min\nS1 section, 40 L/min\nH1 shuttle"
    )
    lines = (
        "from TT to P1 S\nfrom P1 L to TT\nfrom P1 P to S0 P and S1 P\nfrom S0 LS to H1 1\n"
        "from S1 LS to H1 2\nfrom H1 out to P1 X\nfrom S0 A to L0\nfrom S1 A to L1\n"
        "from S0 B and S0 T and S1 B and S1 T to TT"
    )
    (point,) = steps(parts, lines, "S0 at a, S1 at a")
    assert -flow(point, "S1", "A") == pytest.approx(40, rel=0.073)
    assert -flow(point, "S0", "A") == pytest.approx(50 + flow(point, "S1", "A"), abs=0.5)
    assert point["S0"].state == "at a, short of flow"


def test_the_common_signal_falls_when_all_stand_at_centre() -> None:
    point = shared(60.0, (150, 40), (40, 20), "S0 at centre, S1 at centre")
    assert bar(point, "S0", "LS") < 1.0
    assert abs(flow(point, "S0", "A")) < 1e-3


# ---- limits, float, travel -------------------------------------------------------------


@pytest.mark.parametrize("back", [0, 20])
@pytest.mark.parametrize(("at", "limit"), [("a", 180), ("b", 90)])
def test_each_port_has_its_own_limit(at: str, limit: float, back: float) -> None:
    """Blocked port: it stands at its limit over the tank line, less 5 % of cracking, plus the
    compensator."""
    parts = (
        f"{sources(TP=250, TT=back)}\nS1 section, 40 L/min, limit A 180 bar, limit B 90 bar\n"
        "G1 gauge\nG2 gauge\nG3 gauge"
    )
    lines = "from TP to S1 P\nfrom S1 A to G2\nfrom S1 B to G3\nfrom S1 T to TT\nfrom S1 LS to G1"
    point = bench(parts, lines, f"S1 at {at}")
    port = "A" if at == "a" else "B"
    assert 0.94 * limit < bar(point, "S1", port) - back < limit + 10
    assert point["S1"].state == f"at {at}, at its limit"


def test_float_position_of_a_section() -> None:
    tanks = sources(TP=200, TA=7, TB=7, TT=0)
    point = bench(f"{tanks}\nS1 section, 40 L/min, float position\nG1 gauge", BANK, "S1 at float")
    assert flow(point, "S1", "A") == pytest.approx(40, rel=0.01)
    assert flow(point, "S1", "B") == pytest.approx(40, rel=0.01)
    assert abs(flow(point, "S1", "P")) < 0.1


@settings(max_examples=15, deadline=None)
@given(load=st.floats(5.0, 200.0), share=st.floats(2.0, 100.0))
def test_flow_is_in_proportion_to_the_travel_at_any_load(load: float, share: float) -> None:
    """Kept drop 7 bar, 1 bar either way from shut to open compensator: root(8.04/7) = 7.2 %."""
    tanks = sources(TP=250, TA=load, TB=0, TT=0)
    point = bench(
        f"{tanks}\nS1 section, 40 L/min, leakage 0 L/min\nG1 gauge", BANK, f"S1 at a {share!r} %"
    )
    assert -flow(point, "S1", "A") == pytest.approx(0.4 * share, rel=0.073)


@pytest.mark.parametrize("more", ["", ", float centre", ", flow sharing", ", overlap 10 %"])
def test_flow_is_continuous_from_the_centre_to_the_end(more: str) -> None:
    tanks = sources(TP=60, TA=30, TB=3, TT=0)
    orders = ["S1 at centre", *(f"S1 at a {share} %" for share in range(0, 101, 2))]
    points = steps(f"{tanks}\nS1 section, 40 L/min{more}\nG1 gauge", BANK, *orders)
    for port in "PAB":
        found = [flow(point, "S1", port) for point in points]
        jumps = [abs(b - a) for a, b in itertools.pairwise(found)]
        assert jumps[0] < 1e-6
        # A and B stand open to tank in the float centre, 30 bar over an edge of 7 bar
        assert max(jumps) < 40 * math.sqrt(30 / 7) * 0.02 * 5 + 2.0, (port, max(jumps))


@pytest.mark.parametrize(
    ("part", "words"),
    [
        ("section, 40 L/min, flow sharing, limit 200 bar", "limit them all"),
        ("section, 40 L/min, margin 20 bar", "not at the margin"),
        ("section, 40 L/min, bleed 1 L/min", "has no bleed"),
        ("section, 40 L/min, flow sharing, margin 5 bar, spring 6 bar", "leaves nothing"),
    ],
)
def test_what_cannot_be_is_refused(part: str, words: str) -> None:
    assert any(words in message for message in refusals(f"S1 {part}"))
