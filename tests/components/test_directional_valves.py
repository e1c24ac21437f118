"""Directional valves: which paths are open, what they pass, what leaks."""

from __future__ import annotations

import math

import pytest
from scipy.optimize import brentq

from tests.components.bench import bench, flow, sources

LINES = "from TP to V1 P\nfrom TA to V1 A\nfrom TB to V1 B\nfrom V1 T to TT"
TANKS = sources(TP=6, TA=0, TB=0, TT=0)
SIZE = "60 L/min at 6 bar, leakage 0 L/min"


def passed(valve: str, position: str, tanks: str = TANKS) -> dict[str, float]:
    point = bench(f"{tanks}\nV1 valve {valve}, {SIZE}", LINES, f"V1 at {position}")
    return {port: flow(point, "V1", port) for port in "PATB"}


@pytest.mark.parametrize(
    ("position", "out"), [("a", {"A": -60.0, "B": 0.0}), ("b", {"A": 0.0, "B": -60.0})]
)
def test_a_path_passes_its_rated_flow_at_its_rated_drop(
    position: str, out: dict[str, float]
) -> None:
    """The law starts as a straight line, which costs 0.01 % at 6 bar."""
    found = passed("4/3, closed centre", position)
    assert found["P"] == pytest.approx(60.0, rel=2e-4)
    for port, expected in out.items():
        assert found[port] == pytest.approx(expected, rel=2e-4, abs=1e-9)


@pytest.mark.parametrize(
    ("centre", "joined"),
    [
        ("closed centre", ""),
        ("tandem centre", "PT"),
        ("open centre", "PATB"),
        ("float centre", "ATB"),
        ("regenerative centre", "PAB"),
    ],
)
def test_centres_join_what_their_names_say(centre: str, joined: str) -> None:
    found = passed(f"4/3, {centre}", "centre", sources(TP=6, TA=1, TB=1, TT=0))
    assert {port for port, q in found.items() if abs(q) > 1e-6} == set(joined)


def test_opening_of_a_proportional_spool_scales_its_flow() -> None:
    half = passed("4/3, proportional", "a 50 %")
    assert half["P"] == pytest.approx(30.0, rel=2e-4)


def test_written_positions_take_the_place_of_the_usual_ones() -> None:
    found = passed("4/3, at a P-B A-T, at centre closed, at b P-A B-T", "a")
    assert found["B"] == pytest.approx(-60.0, rel=2e-4)


def test_rated_flow_holds_at_870_and_scales_with_the_root_of_density() -> None:
    point = bench(
        f"{TANKS}\nV1 valve 4/3, {SIZE}", LINES, "V1 at a", "32 cSt at 50 degC, 1000 kg/m3"
    )
    assert flow(point, "V1", "P") == pytest.approx(60 * (870 / 1000) ** 0.5, rel=2e-4)


def test_shut_edges_leak_in_proportion_to_pressure() -> None:
    leaking = "60 L/min at 6 bar, leakage 0.05 L/min at 100 bar"
    tanks = sources(TP=200, TA=0, TB=0, TT=0)
    point = bench(f"{tanks}\nV1 valve 4/3, {leaking}", LINES, "V1 at centre")
    assert flow(point, "V1", "P") == pytest.approx(0.2, rel=1e-6)
    assert flow(point, "V1", "A") == pytest.approx(-0.1, rel=1e-6)


@pytest.mark.parametrize(
    ("text", "at", "open_"),
    [
        ("2/2", "rest", False),
        ("2/2", "a", True),
        ("2/2, open at rest", "rest", True),
        ("2/2, open at rest", "a", False),
    ],
)
def test_two_way_valve(text: str, at: str, open_: bool) -> None:
    point = bench(
        f"{sources(TP=6, TA=0)}\nV1 valve {text}, {SIZE}",
        "from TP to V1 P\nfrom V1 A to TA",
        f"V1 at {at}",
    )
    assert flow(point, "V1", "P") == pytest.approx(60.0 if open_ else 0.0, rel=2e-4, abs=1e-9)


@pytest.mark.parametrize(("at", "other"), [("rest", "T"), ("a", "P")])
def test_three_way_valve_joins_its_work_port(at: str, other: str) -> None:
    point = bench(
        f"{sources(TP=6, TA=3, TT=0)}\nV1 valve 3/2, {SIZE}",
        "from TP to V1 P\nfrom V1 A to TA\nfrom V1 T to TT",
        f"V1 at {at}",
    )
    assert flow(point, "V1", "A") == pytest.approx(-flow(point, "V1", other), rel=1e-9)
    assert abs(flow(point, "V1", other)) == pytest.approx(60 * 0.5**0.5, rel=1e-3)


def test_shut_off_valve() -> None:
    parts = f"{sources(TP=0.5, TA=0)}\nV1 shut-off, 100 L/min at 0.5 bar"
    lines = "from TP to V1 in\nfrom V1 out to TA"
    assert flow(bench(parts, lines), "V1", "in") == pytest.approx(100.0, rel=0.011)
    assert flow(bench(parts, lines, "V1 closed"), "V1", "in") < 1e-5


# ---- sections of a load-sensing bank ---------------------------------------------------

BANK = "from TP to S1 P\nfrom TA to S1 A\nfrom TB to S1 B\nfrom S1 T to TT\nfrom S1 LS to G1"


@pytest.mark.parametrize(("supply", "load"), [(60, 20), (200, 20), (200, 150), (320, 0)])
def test_section_keeps_its_flow_whatever_stands_before_and_behind_it(
    supply: float, load: float
) -> None:
    """Closed form: kept drop = 7 bar + 2 bar x (1/2 - y), y the opening of the compensator,
    which passes twice the flow at 7 bar. The rated flow is that of 7 bar, y = 1/2."""

    def passes(y: float) -> float:
        drop = 7 + 2 * (0.5 - y)
        return math.sqrt(drop / 7) - 2 * y * math.sqrt((supply - load - drop) / 7)

    kept = 7 + 2 * (0.5 - brentq(passes, 0.0, 1.0))
    tanks = sources(TP=supply, TA=load, TB=0, TT=0)
    point = bench(f"{tanks}\nS1 section, 40 L/min, leakage 0 L/min\nG1 gauge", BANK, "S1 at a")
    assert -flow(point, "S1", "A") == pytest.approx(40.0 * math.sqrt(kept / 7), rel=1e-3)
    assert -flow(point, "S1", "A") == pytest.approx(40.0, rel=0.07)
    assert point["S1"].values["pressure"] / 1e5 == pytest.approx(load, abs=0.05)
    assert point["S1"].state == "at a, metering"


def test_section_meters_its_rated_flow_at_its_setting() -> None:
    """With 14 bar from P to A the compensator stands half open over 7 bar: exactly 40 L/min."""
    tanks = sources(TP=114, TA=100, TB=0, TT=0)
    point = bench(f"{tanks}\nS1 section, 40 L/min\nG1 gauge", BANK, "S1 at a")
    assert -flow(point, "S1", "A") == pytest.approx(40.0, rel=1e-3)


def test_section_at_centre_shows_no_load() -> None:
    tanks = sources(TP=200, TA=150, TB=0, TT=0)
    point = bench(f"{tanks}\nS1 section, 40 L/min\nG1 gauge", BANK, "S1 at centre")
    assert point["G1"].values["pressure"] < 1e4
    assert abs(flow(point, "S1", "A")) < 0.1
