"""Checks that a pilot opens, shuttles in a row, valves that pass the lower pressure."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from circuitcheck.solver.operating import OperatingPoint
from tests.components.bench import bar, bench, flow, sources
from tests.components.refusals import refusals


def pilot_check(back: float, load: float, pilot: float, said: str, drain: float = 0.0) -> str:
    lines = "from TI to PC1 in\nfrom PC1 out to TO\nfrom TX to PC1 X"
    if "drained" in said:
        lines += "\nfrom PC1 Y to TY"
    tanks = sources(TI=back, TO=load, TX=pilot, TY=drain)
    return bench(f"{tanks}\nPC1 pilot check, {said}", lines)["PC1"].state


@pytest.mark.parametrize(("back", "drain"), [(0.0, 0.0), (30.0, 0.0), (30.0, 5.0)])
def test_a_drained_pilot_piston_knows_no_back_pressure(back: float, drain: float) -> None:
    """4 (X - Y) > out - in + cracking."""
    needed = drain + (200.0 - back + 0.5) / 4.0
    said = "4:1, drained, cracking 0.5 bar"
    assert pilot_check(back, 200.0, needed - 0.1, said, drain) == "seated"
    assert pilot_check(back, 200.0, needed + 0.2, said, drain) == "released"


def test_published_pilot_pressure_of_a_pilot_check() -> None:
    """4:1 against 3000 psi, no back pressure: just over 750 psi (51.71 bar); case WE-73."""
    said = "4:1, cracking 0 bar"
    assert pilot_check(0.0, 206.843, 51.69, said) == "seated"
    assert pilot_check(0.0, 206.843, 51.85, said) == "released"


def test_a_decompression_poppet_opens_first_and_passes_little() -> None:
    """Ratio 20: from (200 + 0.5)/20 = 10.03 bar on; the seat from 66.8 bar on."""
    said = "3:1, cracking 0.5 bar, decompression 20:1, decompression flow 2 L/min"
    assert pilot_check(0.0, 200.0, 9.9, said) == "seated"
    assert pilot_check(0.0, 200.0, 12.0, said) == "decompressing"
    assert pilot_check(0.0, 200.0, 67.2, said) == "released"
    tanks = sources(TI=0, TO=200, TX=30)
    lines = "from TI to PC1 in\nfrom PC1 out to TO\nfrom TX to PC1 X"
    point = bench(f"{tanks}\nPC1 pilot check, {said}", lines)
    assert flow(point, "PC1", "out") == pytest.approx(2.0 * math.sqrt(2.0), rel=1e-3)


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ("3:1, decompression 2:1", "would not open before"),
        ("3:1, decompression flow 2 L/min", "no decompression poppet"),
    ],
)
def test_pilot_checks_that_cannot_be(said: str, words: str) -> None:
    assert any(words in message for message in refusals(f"PC1 pilot check, {said}"))


DOUBLE = "from SA1 to X1 A1\nfrom SB1 to X1 B1\nfrom SA2 to X1 A2\nfrom SB2 to X1 B2"


def double(a1: float, b1: float, a2: float, b2: float) -> OperatingPoint:
    tanks = sources(SA1=a1, SB1=b1, SA2=a2, SB2=b2)
    said = "X1 double pilot check, 3:1, cracking 0.5 bar, 60 L/min at 2 bar"
    return bench(f"{tanks}\n{said}", DOUBLE)


def test_a_double_pilot_check_feeds_one_line_and_releases_the_other() -> None:
    """3 (A1 - B1) > B2 - B1 + 0.5."""
    assert double(42.0, 0.0, 40.0, 100.0)["X1"].state == "A open, B released"
    assert double(33.0, 0.0, 31.0, 100.0)["X1"].state == "A open, B seated"
    mirrored = double(0.0, 42.0, 100.0, 40.0)
    assert mirrored["X1"].state == "A released, B open"
    assert flow(mirrored, "X1", "B1") == pytest.approx(60.0, rel=0.01)


def test_it_locks_both_lines_where_both_valve_sides_are_let_down() -> None:
    point = double(0.0, 0.0, 150.0, 80.0)
    assert point["X1"].state == "both seated"
    assert flow(point, "X1", "A2") == pytest.approx(150e-6, rel=1e-6)


def test_a_blocked_centre_under_pressure_keeps_it_from_locking() -> None:
    """60 bar left at both valve sides: 3 (60 - 60) cannot release A2, but B2 runs full."""
    point = double(60.0, 60.0, 100.0, 50.0)
    assert point["X1"].state == "A seated, B open"
    assert flow(point, "X1", "B1") > 60.0


def test_a_check_without_spring_opens_by_its_ball_alone() -> None:
    lines = "from TP to CV1 in\nfrom CV1 out to TT"
    for said, least in (("without spring", 0.02), ("spring loaded", 0.3), ("5 bar", 5.0)):
        for drop, opened in ((least - 0.015, False), (least + 0.03, True)):
            parts = f"{sources(TP=10 + drop, TT=10)}\nCV1 check, {said}, 60 L/min at 8 bar"
            assert (bench(parts, lines)["CV1"].state == "open") is opened


def test_a_check_without_spring_holds_no_back_pressure() -> None:
    (message,) = refusals("CV1 check, without spring, 3 bar, 60 L/min at 6 bar")
    assert "has no spring" in message


def chain(pressures: list[float], bleed: str = "") -> OperatingPoint:
    """Shuttles in a row: each passes the higher of its source and of the one before it."""
    tanks = sources(**{f"S{i}": p for i, p in enumerate(pressures)})
    count = len(pressures) - 1
    shuttles = "\n".join(f"SH{i + 1} shuttle" for i in range(count))
    parts = f"{tanks}\n{shuttles}\nG1 gauge"
    lines = ["from S0 to SH1 1"]
    for i in range(count):
        lines.append(f"from S{i + 1} to SH{i + 1} 2")
        end = f"SH{i + 2} 1" if i + 1 < count else "G1"
        lines.append(f"from SH{i + 1} out to {end}")
    if bleed:
        parts += f"\nTT tank, 100 L\nTH1 throttle, {bleed}"
        lines += [f"from SH{count} out to TH1 in", "from TH1 out to TT"]
    return bench(parts, "\n".join(lines))


@given(st.lists(st.floats(0.0, 350.0), min_size=3, max_size=7))
@settings(max_examples=30, deadline=None)
def test_shuttles_in_a_row_pass_the_highest(pressures: list[float]) -> None:
    """Dead-ended: between equal sides a shuttle stands midway, so 0.1 bar may be missing."""
    point = chain(pressures)
    assert bar(point, f"SH{len(pressures) - 1}", "out") == pytest.approx(max(pressures), abs=0.11)


@pytest.mark.parametrize(
    "pressures", [[0, 0, 0, 0, 0, 0], [80, 80, 80, 80], [200, 20, 20, 20, 20, 20], [5, 10, 200, 90]]
)
def test_shuttles_in_a_row_feed_a_bleed(pressures: list[float]) -> None:
    point = chain(pressures, "1 L/min at 200 bar")
    found = bar(point, f"SH{len(pressures) - 1}", "out")
    assert max(pressures) - 1.0 <= found <= max(pressures)


def test_a_signal_comes_down_through_a_shuttle() -> None:
    """Oil pressed into its outlet leaves on the higher side: 5 L/min at 2 bar."""
    lines = "from T1 to SH1 1\nfrom T2 to SH1 2\nfrom SH1 out to T3"
    point = bench(f"{sources(T1=10, T2=0, T3=12)}\nSH1 shuttle", lines)
    assert flow(point, "SH1", "1") == pytest.approx(-5.0, rel=6e-3)
    assert abs(flow(point, "SH1", "2")) < 1e-3


@pytest.mark.parametrize(("one", "two"), [(100, 30), (30, 100), (5, 0), (0, 250), (40, 40)])
def test_a_two_pressure_valve_passes_the_lower_side(one: float, two: float) -> None:
    point = bench(
        f"{sources(T1=one, T2=two)}\nX1 two-pressure valve\nG1 gauge",
        "from T1 to X1 1\nfrom T2 to X1 2\nfrom X1 out to G1",
    )
    assert bar(point, "X1", "out") == pytest.approx(min(one, two), abs=0.01)
    if one != two:
        assert point["X1"].state == ("passes 1" if one < two else "passes 2")


def test_two_pressure_valves_and_shuttles_make_any_logic() -> None:
    """(1 and 2) or 3."""
    for one, two, three in ((50, 0, 0), (50, 50, 0), (0, 50, 0), (0, 0, 50), (50, 50, 50)):
        point = bench(
            f"{sources(T1=one, T2=two, T3=three)}\nX1 two-pressure valve\nX2 shuttle\nG1 gauge",
            "from T1 to X1 1\nfrom T2 to X1 2\nfrom X1 out to X2 1\nfrom T3 to X2 2\n"
            "from X2 out to G1",
        )
        assert bar(point, "X2", "out") == pytest.approx(max(min(one, two), three), abs=0.2)
