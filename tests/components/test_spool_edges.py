"""Spools along their travel: lap, ratio, rating, signal, pilot pressure, detent."""

from __future__ import annotations

import itertools
import math

import pytest

from circuitcheck.pipeline import parse
from circuitcheck.solver.operating import OperatingPoint
from tests.components.bench import TEST_OIL, bench, flow, sources
from tests.components.refusals import refusals

LINES = "from TP to V1 P\nfrom TA to V1 A\nfrom TB to V1 B\nfrom V1 T to TT"
SIZE = "60 L/min at 6 bar, leakage 0 L/min"


def steps(parts: str, lines: str, *orders: str) -> list[OperatingPoint]:
    cycle = "\n".join(f"  step s{i}, {order}" for i, order in enumerate(orders))
    text = f'circuit "b"\noil {TEST_OIL}\nparts\n{parts}\nlines\n{lines}\ncycle\n{cycle}\n'
    points = list(parse(text).solve())
    assert all(point.success for point in points)
    return points


def sweep(valve: str, shares: list[float], tanks: str, port: str = "P") -> list[float]:
    """Flow into a port over the travel towards a [L/min]."""
    orders = [f"V1 at a {share!r} %" for share in shares]
    found = steps(f"{tanks}\nV1 valve {valve}", LINES, *orders)
    return [flow(point, "V1", port) for point in found]


AT_6 = sources(TP=6, TA=0, TB=0, TT=0)


# ---- along the travel ----------------------------------------------------------------


@pytest.mark.parametrize(
    "valve",
    ["4/3, closed centre", "4/3, tandem centre", "4/3, open centre", "4/3, float centre",
     "4/3, regenerative centre", "4/3, half-open centre", "4/3, overlap 15 %",
     "4/3, underlap 10 %", "4/3, LS vented at centre"],
)  # fmt: skip
def test_flow_is_continuous_from_the_centre_to_the_end(valve: str) -> None:
    """No step of more than the opening of 1 % of travel over the steepest lap (2 %)."""
    lines = f"{LINES}\nfrom V1 LS to G1" if "LS" in valve else LINES
    tanks = sources(TP=6, TA=2, TB=3, TT=0) + ("\nG1 gauge" if "LS" in valve else "")
    orders = ["V1 at centre", *(f"V1 at a {s} %" for s in range(101))]
    points = steps(f"{tanks}\nV1 valve {valve}, proportional, {SIZE}", lines, *orders)
    for port in "PATB":
        found = [flow(point, "V1", port) for point in points]
        jumps = [abs(b - a) for a, b in itertools.pairwise(found)]
        assert max(jumps) < 0.05 * 60, (port, jumps.index(max(jumps)))
        assert jumps[0] < 1e-6


def test_overlap_is_a_dead_zone() -> None:
    """o = (s - s0)/(1 - s0): closed form."""
    found = sweep(f"4/3, proportional, overlap 20 %, {SIZE}", [10, 20, 60, 100], AT_6)
    assert found == pytest.approx([0, 0, 30, 60], rel=3e-4, abs=1e-6)


def test_underlap_doubles_the_flow_gain_at_the_centre() -> None:
    """Load blocked by equal pressures: both edges of a port change, against one when lapped.

    Ports at half the supply: q_A = K root(3 bar) (o_PA - o_AT); o_PA grows and o_AT falls.
    """
    tanks = sources(TP=6, TA=3, TB=3, TT=0)
    shares = [0.0, 2.0]
    under = sweep(f"4/3, proportional, underlap 10 %, {SIZE}", shares, tanks, "A")
    lapped = sweep(f"4/3, proportional, {SIZE}", shares, tanks, "A")
    gain_under, gain_lapped = under[1] - under[0], lapped[1] - lapped[0]
    assert gain_under / gain_lapped == pytest.approx(2 / 1.1, rel=1e-3)
    leak = sweep(f"4/3, proportional, underlap 10 %, {SIZE}", [0.0], tanks, "P")[0]
    assert leak == pytest.approx(2 * 60 * math.sqrt(3 / 6) * 0.1 / 1.1, rel=1e-3)


def test_an_asymmetric_spool_is_smaller_at_b() -> None:
    """Spool 2:1 on a cylinder 2:1 at equal drops: half the flow at B."""
    a = bench(f"{AT_6}\nV1 valve 4/3, ratio 2:1, {SIZE}", LINES, "V1 at a")
    b = bench(f"{AT_6}\nV1 valve 4/3, ratio 2:1, {SIZE}", LINES, "V1 at b")
    assert flow(a, "V1", "A") == pytest.approx(-60, rel=3e-4)
    assert flow(b, "V1", "B") == pytest.approx(-30, rel=3e-4)


@pytest.mark.parametrize(("at", "ports"), [("a", ("A", "B")), ("b", ("B", "A"))], ids=["a", "b"])
def test_every_edge_may_have_its_own_rating(at: str, ports: tuple[str, str]) -> None:
    """Four edges of four sizes; each passes its rated flow at its own drop."""
    size = {"P-A": (60, 5), "P-B": (40, 8), "A-T": (30, 6), "B-T": (50, 12)}
    own = ", ".join(f"{edge} {q} L/min at {dp} bar" for edge, (q, dp) in size.items())
    fed, emptied = ports
    feeding, draining = size[f"P-{fed}"], size[f"{emptied}-T"]
    tanks = sources(**{"TP": feeding[1], f"T{fed}": 0, f"T{emptied}": draining[1], "TT": 0})
    point = bench(f"{tanks}\nV1 valve 4/3, {own}, leakage 0 L/min", LINES, f"V1 at {at}")
    assert flow(point, "V1", "P") == pytest.approx(feeding[0], rel=3e-4)
    assert flow(point, "V1", "T") == pytest.approx(-draining[0], rel=3e-4)


@pytest.mark.parametrize(
    ("words", "drop"),
    [("servo", 35), ("proportional", 5), ("servo, rated over two edges", 35),
     ("proportional, rated over two edges", 5), ("lever", 6)],
)  # fmt: skip
def test_rated_flow_at_the_usual_drop_of_an_edge(words: str, drop: float) -> None:
    """Servo 70 bar over both edges, proportional 10: ISO 10770-1, from memory."""
    tanks = sources(TP=drop, TA=0, TB=0, TT=0)
    point = bench(f"{tanks}\nV1 valve 4/3, {words}, 40 L/min, leakage 0 L/min", LINES, "V1 at a")
    assert flow(point, "V1", "P") == pytest.approx(40, rel=1e-3)


def test_rating_over_two_edges_halves_the_drop_given() -> None:
    tanks = sources(TP=5, TA=0, TB=0, TT=0)
    text = "V1 valve 4/3, proportional, rated over two edges, 40 L/min at 10 bar"
    assert flow(bench(f"{tanks}\n{text}", LINES, "V1 at a"), "V1", "P") == pytest.approx(
        40, rel=1e-3
    )


def test_half_open_centre_bleeds_the_work_ports() -> None:
    """8 % of the opening: 60 L/min root(1) 0.08 at 6 bar; P stays shut."""
    tanks = sources(TP=100, TA=6, TB=6, TT=0)
    point = bench(f"{tanks}\nV1 valve 4/3, half-open centre, {SIZE}", LINES, "V1 at centre")
    assert flow(point, "V1", "A") == pytest.approx(4.8, rel=1e-3)
    assert abs(flow(point, "V1", "P")) < 1e-6


# ---- load signal ---------------------------------------------------------------------


@pytest.mark.parametrize(("at", "signal"), [("a", 80), ("b", 30), ("centre", 0)])
def test_the_signal_is_that_of_the_fed_port_and_vented_at_centre(at: str, signal: float) -> None:
    tanks = sources(TP=100, TA=80, TB=30, TT=0)
    point = bench(
        f"{tanks}\nV1 valve 4/3, LS vented at centre\nG1 gauge",
        f"{LINES}\nfrom V1 LS to G1",
        f"V1 at {at}",
    )
    assert point["G1"].values["pressure"] / 1e5 == pytest.approx(signal, abs=0.1)


@pytest.mark.parametrize(
    ("order", "passed"), [("a", {"P": 60, "T": 0}), ("centre", {"P": 0, "T": 0}),
                          ("b", {"P": 0, "T": -60})],
)  # fmt: skip
def test_three_ways_and_three_positions(order: str, passed: dict[str, float]) -> None:
    """Filled at a, held at the centre, emptied at b."""
    tanks = sources(TP=12, TA=6, TT=0)
    lines = "from TP to V1 P\nfrom TA to V1 A\nfrom V1 T to TT"
    point = bench(f"{tanks}\nV1 valve 3/3, {SIZE}", lines, f"V1 at {order}")
    found = {port: flow(point, "V1", port) for port in passed}
    assert found == pytest.approx(passed, rel=1e-3, abs=1e-6)


# ---- pilot pressure ------------------------------------------------------------------

PILOTED = f"{LINES}\nfrom TX to V1 X"


@pytest.mark.parametrize(("pilot", "shifts"), [(3, False), (7.9, False), (8.1, True), (40, True)])
def test_a_valve_short_of_pilot_does_not_shift(pilot: float, shifts: bool) -> None:
    tanks = sources(TP=6, TA=0, TB=0, TT=0, TX=pilot)
    text = f"V1 valve 4/3, external pilot, pilot 8 bar, spring centred, {SIZE}"
    point = bench(f"{tanks}\n{text}", PILOTED, "V1 at a")
    assert flow(point, "V1", "P") == pytest.approx(60 if shifts else 0, rel=1e-3, abs=1e-6)
    assert point["V1"].state == ("at a" if shifts else "not shifted: pilot short")
    assert point["V1"].values["pilot pressure"] == pytest.approx(pilot * 1e5)


def test_pressure_in_the_pilot_drain_counts_against_it() -> None:
    tanks = sources(TP=6, TA=0, TB=0, TT=0, TX=12, TY=5)
    text = f"V1 valve 4/3, external pilot, external drain, pilot 8 bar, {SIZE}"
    point = bench(f"{tanks}\n{text}", f"{PILOTED}\nfrom V1 Y to TY", "V1 at a")
    assert point["V1"].state == "not shifted: pilot short"


def test_tandem_centre_on_internal_pilot_finds_no_pilot_pressure() -> None:
    """The pump runs free at centre: under 6 bar over a check of 4.5 bar it cannot shift, over
    one of 8 bar it can, and then stays shifted."""
    for cracking, word in ((4.5, "not shifted: pilot short"), (8.0, "at a")):
        parts = (
            f"{sources(TT=0)}\nP1 pump, fixed, 20 cc/rev, 1000 rpm\nR1 relief, set 200 bar\n"
            "V1 valve 4/3, tandem centre, internal pilot, external drain, pilot 6 bar\n"
            f"CV1 check, {cracking} bar, 100 L/min at {cracking + 2} bar\n"
            "TH1 throttle, 20 L/min at 50 bar"
        )
        lines = (
            "from TT to P1 S\nfrom P1 P to R1 P and V1 P\nfrom V1 A to TH1 in\n"
            "from TH1 out to V1 B\nfrom V1 T to CV1 in\n"
            "from CV1 out and R1 T and V1 Y to TT"
        )
        _, second, third = steps(parts, lines, "V1 at centre", "V1 at a", "V1 at b")
        assert second["V1"].state == word
        assert third["V1"].state == word.replace("at a", "at b")


def test_hydraulic_pilots_shift_by_the_difference() -> None:
    """X shifts to a, Y to b; a step that orders what the pilots do not give is shown so."""
    text = f"V1 valve 4/3, pilots X and Y, pilot 8 bar, {SIZE}"
    lines = f"{PILOTED}\nfrom TY to V1 Y"
    words = {}
    for x, y in ((20, 0), (0, 20)):
        parts = f"{sources(TP=6, TA=0, TB=0, TT=0, TX=x, TY=y)}\n{text}"
        a, b, rest = steps(parts, lines, "V1 at a", "V1 at b", "V1 at centre")
        words[x, y] = (a["V1"].state, b["V1"].state, rest["V1"].state)
    short = "not shifted: pilot short"
    assert words[20, 0] == ("at a", short, "at centre, but pilot X shifts it")
    assert words[0, 20] == (short, "at b", "at centre, but pilot Y shifts it")


# ---- detent --------------------------------------------------------------------------


def test_kick_out_lets_the_spool_go_and_it_stays_until_moved_again() -> None:
    """Ram at its end: pressure at P passes the kick-out, the spool falls back to centre."""
    parts = (
        f"{sources(TT=0)}\nP1 pump, fixed, 20 cc/rev, 1000 rpm\nR1 relief, set 200 bar\n"
        "V1 valve 4/3, tandem centre, lever, detent, kick-out 150 bar\n"
        "C1 cylinder, bore 63 mm, rod 36 mm, stroke 500 mm"
    )
    lines = (
        "from TT to P1 S\nfrom P1 P to R1 P and V1 P\nfrom V1 A to C1 cap\nfrom V1 B to C1 rod\n"
        "from V1 T and R1 T to TT"
    )
    found = steps(
        parts,
        lines,
        "V1 at a, C1 load 10 kN, C1 travels 500 mm",
        "V1 at a, C1 at end stop",
        "V1 at a, C1 at end stop",
        "V1 at centre, C1 at end stop",
        "V1 at a, C1 load 10 kN, C1 travels 1 mm",
    )
    assert [point["V1"].state for point in found] == [
        "at a", "kicked out, at centre", "kicked out, at centre", "at centre", "at a",
    ]  # fmt: skip
    assert found[1]["P1"].values["pressure"] < 30e5


@pytest.mark.parametrize(
    ("part", "words"),
    [
        ("valve 4/3, overlap 10 %, underlap 10 %", "overlap and underlap"),
        ("valve 3/2, ratio 2:1", "no edges at B"),
        ("valve 2/2, underlap 5 %", "no four edges"),
        ("valve 4/2, LS vented at centre", "no centre"),
        ("valve 4/3, kick-out 150 bar", "no detent"),
        ("valve 4/3, detent, kick-out 150 bar, external pilot", "pilot pressure"),
        ("valve 4/3, external drain", "no pilot stage"),
        ("valve 5/4", "no valve 5/4"),
        ("valve 4/2, tandem centre", "has no tandem centre"),
        ("valve 6/3, open centre", "has no open centre"),
        ("valve 4/3, open at rest", "is not open at rest"),
        ("valve 4/2, spring centred", "no centre"),
        ("valve 4/2, at a P-A B-T, at centre closed, at b P-B A-T", "has 3 positions"),
        ("valve 6/2, detent, kick-out 100 bar", "no port P"),
        ("valve 6/2, internal pilot", "no port P"),
    ],
)
def test_what_cannot_be_is_refused(part: str, words: str) -> None:
    assert any(words in message for message in refusals(f"V1 {part}"))
