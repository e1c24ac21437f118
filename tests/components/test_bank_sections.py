"""Sections of open-centre banks: galleries, load check, metering by bleed."""

from __future__ import annotations

import itertools
import math

import pytest

from circuitcheck.pipeline import parse
from circuitcheck.solver.operating import OperatingPoint
from tests.components.bench import TEST_OIL, bar, flow, sources
from tests.components.refusals import refusals

PUMP = "P1 pump, fixed, 40 cc/rev, 1000 rpm, volumetric 100 %\nR1 relief, set 250 bar"
SIZE = "60 L/min at 6 bar, through flow 60 L/min at 2 bar, leakage 0 L/min"


def steps(parts: str, lines: str, *orders: str) -> list[OperatingPoint]:
    cycle = "\n".join(f"  step s{i}, {order}" for i, order in enumerate(orders))
    text = f'circuit "b"\noil {TEST_OIL}\nparts\n{parts}\nlines\n{lines}\ncycle\n{cycle}\n'
    points = list(parse(text).solve())
    assert all(point.success for point in points), [point.message for point in points]
    return points


def bank(gallery: str, loads: tuple[float, float], *orders: str) -> list[OperatingPoint]:
    """Two sections on one pump, work ports A loaded [bar], B to tank."""
    parts = (
        f"{sources(TT=0, L1=loads[0], L2=loads[1])}\n{PUMP}\n"
        f"S1 bank section, {gallery}, {SIZE}\nS2 bank section, {gallery}, {SIZE}"
    )
    lines = (
        "from TT to P1 S\nfrom R1 T to TT\nthrough from S1 NO to S2 N\nfrom S2 NO to TT\n"
        "from S1 A to L1\nfrom S2 A to L2\n"
    )
    if gallery == "parallel gallery":
        lines += "from P1 P to R1 P and S1 N and S1 P and S2 P\n"
    else:
        lines += "from P1 P to R1 P and S1 N\n"
    if gallery == "series gallery":
        lines += "from S1 B to TB\nfrom S2 B to TB\n"
        parts += f"\n{sources(TB=0)}"
    else:
        lines += "from S1 B and S1 T and S2 B and S2 T to TT\n"
    return steps(parts, lines, *orders)


@pytest.mark.parametrize("gallery", ["parallel gallery", "tandem gallery", "series gallery"])
def test_at_centre_the_pump_runs_through_all_sections(gallery: str) -> None:
    """Two through passages in series at 40 L/min: 2 x 2 bar (40/60)^2; closed form."""
    (point,) = bank(gallery, (100, 100), "S1 at centre, S2 at centre")
    assert bar(point, "P1", "P") == pytest.approx(2 * 2 * (40 / 60) ** 2, rel=0.01)
    assert flow(point, "S2", "NO") == pytest.approx(-40, rel=1e-5)
    assert point["S1"].state == "at centre"


def test_full_travel_sends_all_the_oil_to_the_load() -> None:
    """Pump = load + check + edge 6 bar (40/60)^2."""
    (point,) = bank("parallel gallery", (100, 0), "S1 at a, S2 at centre")
    assert -flow(point, "S1", "A") == pytest.approx(40, rel=1e-4)
    assert bar(point, "P1", "P") == pytest.approx(100 + 6 * (40 / 60) ** 2, abs=1.5)


def test_parallel_sections_feed_the_lighter_load_and_the_check_holds_the_heavier() -> None:
    (point,) = bank("parallel gallery", (150, 60), "S1 at a, S2 at a")
    assert -flow(point, "S2", "A") == pytest.approx(40, rel=1e-3)
    assert abs(flow(point, "S1", "A")) < 1e-3
    assert point["S1"].state == "at a, load check shut"


def test_in_tandem_the_section_before_goes_first() -> None:
    first, second = bank("tandem gallery", (60, 150), "S1 at a, S2 at a", "S1 at centre, S2 at a")
    assert -flow(first, "S1", "A") == pytest.approx(40, rel=1e-3)
    assert abs(flow(first, "S2", "A")) < 1e-3
    assert -flow(second, "S2", "A") == pytest.approx(40, rel=1e-3)


@pytest.mark.parametrize("first", ["at a", "at centre"])
def test_galleries_may_be_mixed_in_a_bank(first: str) -> None:
    """A tandem section goes before two parallel ones behind it, which share as loads ask."""
    parts = (
        f"{sources(TT=0, L1=90, L2=150, L3=60)}\n{PUMP}\nS1 bank section, tandem gallery, {SIZE}\n"
        f"S2 bank section, parallel gallery, {SIZE}\nS3 bank section, parallel gallery, {SIZE}"
    )
    lines = (
        "from TT to P1 S\nfrom P1 P to R1 P and S1 N\nfrom R1 T to TT\n"
        "from S1 NO to S2 N and S2 P and S3 P\nfrom S2 NO to S3 N\nfrom S3 NO to TT\n"
        "from S1 A to L1\nfrom S2 A to L2\nfrom S3 A to L3\n"
        "from S1 B and S1 T and S2 B and S2 T and S3 B and S3 T to TT\n"
    )
    (point,) = steps(parts, lines, f"S1 {first}, S2 at a, S3 at a")
    fed = {name: -flow(point, name, "A") for name in ("S1", "S2", "S3")}
    taker = "S1" if first == "at a" else "S3"
    assert fed.pop(taker) == pytest.approx(40, rel=1e-3)
    # from where the section is fed to its work port
    fed_at = {"S1": "N", "S3": "P"}[taker]
    drop = point[taker].ports[fed_at].pressure - point[taker].ports["A"].pressure
    assert point[taker].values["drop"] == pytest.approx(drop)
    assert drop > 1e4
    assert max(map(abs, fed.values())) < 1e-3


def test_in_series_loads_add_up_and_both_move() -> None:
    """Return of the first feeds the second: p = p1 + p2 + drops, with equal areas."""
    parts = (
        f"{sources(TT=0)}\n{PUMP}\n"
        "M1 motor, 20 cc/rev, mechanical 100 %, volumetric 100 %\n"
        "M2 motor, 20 cc/rev, mechanical 100 %, volumetric 100 %\n"
        f"S1 bank section, series gallery, {SIZE}\nS2 bank section, series gallery, {SIZE}"
    )
    lines = (
        "from TT to P1 S\nfrom P1 P to R1 P and S1 N\nfrom S1 NO to S2 N\n"
        "from S2 NO and R1 T and M1 L and M2 L to TT\nfrom S1 A to M1 A\nfrom S1 B to M1 B\n"
        "from S2 A to M2 A\nfrom S2 B to M2 B"
    )
    (point,) = steps(parts, lines, "S1 at a, S2 at a, M1 load 40 Nm, M2 load 20 Nm")
    torque = 2 * math.pi / 20e-6 / 1e5
    loads = (40 + 20) * torque
    edges = 4 * 6 * (40 / 60) ** 2
    assert bar(point, "P1", "P") == pytest.approx(loads + edges, abs=4.0)
    for name in ("M1", "M2"):
        assert point[name].values["flow"] * 60e3 == pytest.approx(40, rel=1e-3)


def test_metering_by_bleed_follows_the_load() -> None:
    """At half travel the through passage is open by 1 - 50/80 and the port by (50 - 20)/80:
    the pressure in front is that of the load, and the flow is what the bleed leaves over."""
    light, heavy = (
        bank("parallel gallery", (load, 0), "S1 at a 50 %, S2 at centre")[0] for load in (2, 30)
    )
    front = bar(light, "S1", "N")
    past = 60 * (1 - 50 / 80) * math.sqrt((front - bar(light, "S1", "NO")) / 2)
    assert light["S1"].values["through flow"] * 60e3 == pytest.approx(past, rel=2e-3)
    assert -flow(light, "S1", "A") == pytest.approx(40 - past, rel=3e-3)
    assert -flow(heavy, "S1", "A") < -flow(light, "S1", "A")
    assert heavy["S1"].state in ("at a, metering", "at a, load check shut")


@pytest.mark.parametrize("gallery", ["parallel gallery", "tandem gallery", "series gallery"])
def test_flow_is_continuous_along_the_travel(gallery: str) -> None:
    orders = [f"S1 at a {share} %, S2 at centre" for share in range(0, 101, 2)]
    points = bank(gallery, (5, 0), "S1 at centre, S2 at centre", *orders)
    found = [-flow(point, "S1", "A") for point in points]
    assert abs(found[0] - found[1]) < 1e-6
    assert max(abs(b - a) for a, b in itertools.pairwise(found)) < 6.0
    assert found[-1] == pytest.approx(40, rel=1e-3)


def test_float_position_joins_both_ports_to_tank() -> None:
    parts = f"{sources(TT=0, TP=50, TN=2, TA=6, TB=6)}\nS1 bank section, float position, {SIZE}"
    lines = (
        "from TP to S1 P\nfrom TN to S1 N\nfrom S1 NO and S1 T to TT\nfrom TA to S1 A\n"
        "from TB to S1 B"
    )
    floating, centre = steps(parts, lines, "S1 at float", "S1 at centre")
    assert flow(floating, "S1", "A") == pytest.approx(60, rel=1e-3)
    assert flow(floating, "S1", "B") == pytest.approx(60, rel=1e-3)
    assert flow(floating, "S1", "N") == pytest.approx(60, rel=2e-3)
    assert abs(flow(centre, "S1", "A")) < 1e-6


def test_a_section_that_shuts_before_it_opens_is_refused() -> None:
    found = refusals("S1 bank section, opens 60 %, shuts 50 %")
    assert any("shuts its through passage" in message for message in found)
