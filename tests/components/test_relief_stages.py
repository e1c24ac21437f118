"""Relief valves of two stages, against the same balances solved apart from the program."""

from __future__ import annotations

import pytest
from scipy.optimize import brentq

from tests.components.bench import bar, bench, flow, sources
from tests.components.refusals import refusals
from tests.components.steps import run

PUMP = """TT tank, 100 L
M1 electric motor, 1000 rpm
P1 pump, 100 cc/rev, driven by M1, volumetric 100 %"""
LINES = "from TT to P1 S\nfrom P1 P to R1 P\nfrom R1 T to TT"
R1 = "R1 relief, piloted, set 200 bar, 100 L/min, vented 8 bar, spring 3 bar, pilot flow 1 L/min"


def inlet_with_chamber_at(chamber: float) -> float:
    """Inlet [bar] at 100 L/min: main stage, y = (p - chamber - 3)/1.5, and control orifice."""

    def miss(p: float) -> float:
        opening = min(max((p - chamber - 3.0) / 1.5, 0.0), 1.0)
        main = opening * 100.0 * (p / 8.0) ** 0.5
        return main + ((p - chamber) / 3.0) ** 0.5 - 100.0

    return float(brentq(miss, chamber + 3.0, chamber + 20.0))


def test_it_stands_at_its_setting_at_rated_flow() -> None:
    point = bench(f"{PUMP}\n{R1}, remote port", LINES)
    assert bar(point, "R1", "P") == pytest.approx(200.0, rel=5e-4)
    assert point["R1"].values["pilot flow"] * 60e3 == pytest.approx(1.05, rel=0.02)
    assert point["R1"].state == "open"
    assert point.power_error < 1e-9


def test_its_pilot_cracks_before_its_main_stage_opens() -> None:
    """5 % of the chamber pressure, 200 - 3 - 1.5 (8/200)^0.5 bar at rated flow."""
    crack = 0.95 * (200.0 - 3.0 - 1.5 * 0.2)
    lines = "from TP to R1 P\nfrom R1 T to TT"

    def passed(p: float) -> tuple[float, float]:
        point = bench(f"{sources(TP=p, TT=0)}\n{R1}, remote port", lines)
        return flow(point, "R1", "P"), point["R1"].values["pilot flow"] * 60e3

    assert passed(crack - 1.0)[0] < 1e-3
    whole, pilot = passed(crack + 4.0)
    assert 0.1 < pilot < 1.0
    assert whole == pytest.approx(pilot, rel=1e-3)  # the main stage is still shut


def test_joined_to_tank_at_x_it_unloads_the_pump() -> None:
    point = bench(f"{PUMP}\n{R1}, remote port", f"{LINES}\nfrom R1 X to TT")
    # the rounded end of the band makes the whole opening 0.5 % larger, the drop 1 % smaller
    assert bar(point, "R1", "P") == pytest.approx(inlet_with_chamber_at(0.0), rel=0.012)
    assert point["R1"].state in ("open, held by port X", "fully open")
    assert point["R1"].loss == pytest.approx(100e-3 / 60 * bar(point, "R1", "P") * 1e5, rel=1e-6)


@pytest.mark.parametrize("remote", [40.0, 120.0])
def test_a_lower_relief_at_x_sets_the_pressure(remote: float) -> None:
    """Remote relief rated for the pilot flow: chamber at its pressure, main drop on top."""
    parts = f"{PUMP}\n{R1}, remote port\nR2 relief, direct, set {remote} bar, 1.1 L/min"
    point = bench(parts, f"{LINES}\nfrom R1 X to R2 P\nfrom R2 T to TT")
    chamber = bar(point, "R1", "X")
    assert chamber == pytest.approx(remote, rel=0.01)
    assert bar(point, "R1", "P") == pytest.approx(inlet_with_chamber_at(chamber), rel=2e-3)


def test_a_higher_relief_at_x_does_not_act() -> None:
    parts = f"{PUMP}\n{R1}, remote port\nR2 relief, direct, set 300 bar, 1 L/min"
    point = bench(parts, f"{LINES}\nfrom R1 X to R2 P\nfrom R2 T to TT")
    assert bar(point, "R1", "P") == pytest.approx(200.0, rel=5e-4)
    assert point["R2"].state == "closed"


@pytest.mark.parametrize(("drain", "added"), [("", 1.0), (", external drain", 0.0)])
def test_back_pressure_adds_to_the_setting_unless_the_pilot_drains_outside(
    drain: str, added: float
) -> None:
    tanks = "\n".join((PUMP, sources(TB=30)))
    lines = "from TT to P1 S\nfrom P1 P to R1 P\nfrom R1 T to TB"
    if drain:
        lines += "\nfrom R1 Y to TT"
    point = bench(f"{tanks}\n{R1}, remote port{drain}", lines)
    assert bar(point, "R1", "P") == pytest.approx(200.0 + 30.0 * added, rel=2e-3)


@pytest.mark.parametrize("build", ["direct", "piloted", "piloted, remote port"])
def test_a_proportional_valve_follows_its_command(build: str) -> None:
    parts = f"{PUMP}\nR1 relief, {build}, proportional, set 200 bar, 100 L/min"
    points = run(
        parts,
        LINES,
        "step low, R1 set 60 bar\nstep high, R1 set 150 bar\nstep most\nstep none, R1 set 0 bar",
    )
    found = [bar(point, "R1", "P") for point in points]
    least = inlet_with_chamber_at(0.0) if "remote" in build else 5.0
    assert found[:3] == pytest.approx([60.0, 150.0, 200.0], rel=6e-3)
    assert found[3] == pytest.approx(least, rel=0.06)


def test_override_of_the_simple_valve_at_part_flow() -> None:
    """Half the rated flow: straight opening over the band, root of the pressure."""
    parts = PUMP.replace("100 cc", "50 cc") + "\nR1 relief, direct, set 200 bar, 100 L/min"
    point = bench(parts, LINES)

    def miss(p: float) -> float:
        return (p - 180.0) / 20.0 * 100.0 * (p / 200.0) ** 0.5 - 50.0

    assert bar(point, "R1", "P") == pytest.approx(brentq(miss, 180.0, 200.0), rel=1e-3)


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ("direct, set 200 bar, remote port", "no pilot stage"),
        ("set 4 bar, remote port", "not above the spring"),
        ("set 200 bar, remote port, vented 4 bar", "cannot pass its rated flow"),
        ("set 200 bar, vented 8 bar", "not computed"),
        ("set 200 bar, cracks 210 bar", "not below its setting"),
    ],
)
def test_what_cannot_be_is_refused(said: str, words: str) -> None:
    assert any(words in message for message in refusals(f"R1 relief, {said}"))
