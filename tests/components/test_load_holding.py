"""Load-holding valves: force balances with back pressure, brake valves, shocks and make-up."""

from __future__ import annotations

import pytest

from circuitcheck.solver.operating import OperatingPoint
from tests.components.bench import bar, bench, flow, sources
from tests.components.refusals import refusals

FACTORS = {"": 5.0, ", standard": 5.0, ", balanced": 4.0, ", vented": 0.0, ", back factor 1.5": 1.5}


@pytest.mark.parametrize(("said", "factor"), FACTORS.items())
@pytest.mark.parametrize("back", [0.0, 12.0])
def test_back_pressure_holds_each_build_shut_by_its_own_factor(
    said: str, factor: float, back: float
) -> None:
    """load + 4 pilot = setting + factor x back pressure."""
    load, setting = 100.0, 180.0
    needed = (setting - load + factor * back) / 4.0
    for pilot, opened in ((needed - 0.2, False), (needed + 0.2, True)):
        point = bench(
            f"{sources(TC=load, TV=back, TX=pilot)}\n"
            f"CB1 counterbalance, set {setting} bar, pilot 4:1{said}",
            "from TV to CB1 V\nfrom CB1 C to TC\nfrom TX to CB1 X",
        )
        assert (point["CB1"].state == "lowering") is opened


def test_fact_twelve_pilot_of_a_counterbalance() -> None:
    """Load 150, set 195, ratio 4: 11.25 bar; 10 bar behind it: 23.75 bar (own computation)."""
    for back, needed in ((0.0, 11.25), (10.0, 23.75)):
        for pilot, opened in ((needed - 0.1, False), (needed + 0.1, True)):
            point = bench(
                f"{sources(TC=150, TV=back, TX=pilot)}\nCB1 counterbalance, set 195 bar, pilot 4:1",
                "from TV to CB1 V\nfrom CB1 C to TC\nfrom TX to CB1 X",
            )
            assert (point["CB1"].state == "lowering") is opened


def test_the_build_settles_the_back_factor() -> None:
    (message,) = refusals("CB1 counterbalance, set 180 bar, vented, back factor 2")
    assert "settles its back factor" in message


BRAKE = "BV1 brake valve, set 180 bar, pilot 4:1, 60 L/min at 8 bar"
BRAKE_LINES = "from SA1 to BV1 A1\nfrom SB1 to BV1 B1\nfrom SA2 to BV1 A2\nfrom SB2 to BV1 B2"


def braked(
    a1: float, b1: float, a2: float, b2: float, more: str = "", tank: float = 0.0
) -> OperatingPoint:
    tanks = sources(SA1=a1, SB1=b1, SA2=a2, SB2=b2, ST=tank)
    lines = BRAKE_LINES + ("\nfrom ST to BV1 T" if "anti-cavitation" in more else "")
    return bench(f"{tanks}\n{BRAKE}{more}", lines)


def test_a_brake_valve_feeds_one_line_and_meters_the_other() -> None:
    """Supply at A1 feeds the motor and, 4:1, opens the line back at B: 4 x 22 + 100 > 180."""
    point = braked(22.0, 0.0, 20.0, 100.0)
    assert point["BV1"].state == "A check open, B braking"
    assert flow(point, "BV1", "A2") < -10.0
    assert flow(point, "BV1", "B2") > 1.0
    shut = braked(18.0, 0.0, 17.0, 100.0)
    assert shut["BV1"].state == "A check open, B closed"


def test_a_brake_valve_is_the_same_both_ways_round() -> None:
    one, other = braked(22.0, 0.0, 20.0, 100.0), braked(0.0, 22.0, 100.0, 20.0)
    for a, b in (("A1", "B1"), ("A2", "B2"), ("B1", "A1"), ("B2", "A2")):
        assert flow(one, "BV1", a) == pytest.approx(flow(other, "BV1", b), rel=1e-9)


def test_its_crossport_reliefs_pass_a_shock_to_the_other_side() -> None:
    shock = braked(0.0, 0.0, 270.0, 20.0, ", back factor 50, crossport reliefs, relief 250 bar")
    # 60 L/min at the setting of 250 bar over the other side
    assert shock["BV1"].values["crossport flow"] * 60e3 == pytest.approx(60.0, rel=6e-3)
    low = braked(0.0, 0.0, 240.0, 20.0, ", crossport reliefs, relief 250 bar")
    assert abs(low["BV1"].values["crossport flow"]) * 60e3 < 1e-3


def test_its_make_up_checks_feed_the_side_that_runs_short() -> None:
    point = braked(0.0, 0.0, -0.4, 20.0, ", anti-cavitation", tank=0.6)
    assert point["BV1"].values["feed"] * 60e3 == pytest.approx(60.0, rel=0.03)


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ("crossport reliefs", "need a setting"),
        ("relief 250 bar", "no crossport reliefs"),
        ("crossport reliefs, relief 150 bar", "not set above"),
        ("anti-cavitation, feed drop 1 bar, feed cracking 2 bar", "open only"),
    ],
)
def test_brake_valves_that_cannot_be(said: str, words: str) -> None:
    assert any(words in message for message in refusals(f"{BRAKE}, {said}"))


@pytest.mark.parametrize("back", [0.0, 30.0])
def test_a_crossport_relief_adds_the_pressure_of_the_other_line(back: float) -> None:
    for one, other in (("A", "B"), ("B", "A")):
        lines = f"from T1 to X1 {one}\nfrom T2 to X1 {other}"

        def passed(p: float, lines: str = lines, one: str = one) -> float:
            parts = f"{sources(T1=p, T2=back)}\nX1 crossport relief, set 200 bar, 60 L/min"
            return flow(bench(parts, lines), "X1", one)

        assert passed(179.0 + back) < 1e-3
        assert passed(200.0 + back) == pytest.approx(60.0, rel=6e-3)


def test_a_motor_coasts_over_crossport_reliefs_with_make_up() -> None:
    """Lines shut off; the load drives on: what it pushes comes round, the heat is all of it."""
    parts = """TT tank, 100 L, gas 0.5 bar
M1 electric motor, 500 rpm
P1 pump, 60 cc/rev, driven by M1, volumetric 100 %
X1 crossport relief, set 150 bar, anti-cavitation, 60 L/min"""
    lines = "from P1 P to X1 A\nfrom P1 S to X1 B\nfrom X1 T to TT"
    point = bench(parts, lines)
    flow_round = flow(point, "X1", "A")
    assert flow_round == pytest.approx(30.0, rel=1e-4)
    # half the rated flow: y (p/150)^0.5 = 0.5 with y = (p - 135)/15
    drop = bar(point, "X1", "A") - bar(point, "X1", "B")
    assert (drop - 135) / 15 * (drop / 150) ** 0.5 == pytest.approx(0.5, rel=0.01)
    assert point["X1"].state == "A to B"


def test_a_port_relief_guards_and_feeds_its_line() -> None:
    def port(a: float, t: float) -> OperatingPoint:
        parts = f"{sources(TA=a, TT=t)}\nX1 port relief, set 200 bar, 60 L/min, feed drop 1 bar"
        return bench(parts, "from TA to X1 A\nfrom X1 T to TT")

    assert flow(port(200, 0), "X1", "A") == pytest.approx(60.0, rel=6e-3)
    assert port(200, 0)["X1"].state == "relieving"
    assert abs(flow(port(170, 0), "X1", "A")) < 1e-3
    assert flow(port(210, 20), "X1", "A") == pytest.approx(flow(port(190, 0), "X1", "A"), rel=1e-9)
    fed = port(-0.5, 0.5)
    assert flow(fed, "X1", "A") == pytest.approx(-60.0, rel=6e-3)
    assert fed["X1"].state == "feeding"


def test_anti_cavitation_checks_feed_both_lines_and_hold_pressure() -> None:
    tanks = sources(TT=1, TA=0, TB=200)
    lines = "from TT to X1 T\nfrom X1 A to TA\nfrom X1 B to TB"
    point = bench(f"{tanks}\nX1 anti-cavitation, 60 L/min, feed drop 1 bar", lines)
    assert flow(point, "X1", "A") == pytest.approx(-60.0, rel=6e-3)
    assert flow(point, "X1", "B") == pytest.approx(199e-6, rel=1e-6)
    assert point["X1"].state == "feeding A"
