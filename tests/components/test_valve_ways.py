"""Directional valves of further ways, what they do in transit, what flow forces allow."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from circuitcheck.components import kinds
from circuitcheck.components._parts import Part
from circuitcheck.pipeline import parse
from circuitcheck.solver.operating import OperatingPoint
from circuitcheck.symbols import Look, all_symbols
from tests.components.bench import BAR, L_MIN, TEST_OIL, bench, flow, sources
from tests.components.conservation import conserves

SIZE = "60 L/min at 6 bar, leakage 0 L/min"
FIVE = ("P", "T1", "T2", "A", "B")
SIX = ("A", "B", "A1", "B1", "A2", "B2")


def between(ports: tuple[str, ...], valve: str, at: str, **pressures: float) -> dict[str, float]:
    """Flow into every port, each joined to a tank under a pressure [bar]."""
    tanks = sources(**{f"S{port}": pressures.get(port, 0.0) for port in ports})
    lines = "\n".join(f"from S{port} to V1 {port}" for port in ports)
    point = bench(f"{tanks}\nV1 valve {valve}, {SIZE}", lines, f"V1 at {at}")
    return {port: flow(point, "V1", port) for port in ports}


def joined(found: dict[str, float]) -> set[str]:
    return {port for port, q in found.items() if abs(q) > 1e-6}


# ---- five ways: a tank port for each work port ----------------------------------------


@pytest.mark.parametrize(
    ("at", "fed", "tank", "emptied"), [("a", "A", "T2", "B"), ("b", "B", "T1", "A")]
)
@pytest.mark.parametrize("valve", ["5/2", "5/3"])
def test_five_ways_empty_each_work_port_to_its_own_tank(
    valve: str, at: str, fed: str, tank: str, emptied: str
) -> None:
    """Each path passes 60 L/min at 6 bar; the other tank port is shut."""
    at = "rest" if (valve, at) == ("5/2", "b") else at
    found = between(FIVE, valve, at, P=12, **{fed: 6.0, emptied: 6.0})
    assert joined(found) == {"P", fed, tank, emptied}
    assert found["P"] == pytest.approx(60, rel=3e-4)
    assert found[tank] == pytest.approx(-60, rel=3e-4)


@pytest.mark.parametrize(
    ("centre", "ports"),
    [
        ("closed centre", ""),
        ("float centre", "A T1 B T2"),
        ("regenerative centre", "P A B"),
        ("tandem centre", "P T1 T2"),
        ("open centre", "P A B T1 T2"),
    ],
)
def test_centres_of_five_ways(centre: str, ports: str) -> None:
    found = between(FIVE, f"5/3, {centre}", "centre", P=6, A=4, B=2)
    assert joined(found) == set(ports.split())


def test_rated_flows_of_paths_hold_for_both_tank_ports() -> None:
    found = between(FIVE, "5/3, B-T 30 L/min at 6 bar", "a", P=6, B=6)
    assert found["T2"] == pytest.approx(-30, rel=3e-4)


# ---- six ways: a selector; four positions: float -----------------------------------------


@pytest.mark.parametrize(
    ("valve", "at", "pair"),
    [("6/2", "rest", "1"), ("6/2", "a", "2"), ("6/3", "a", "1"), ("6/3", "b", "2")],
)
def test_a_selector_leads_a_pair_of_lines_to_one_of_two_others(
    valve: str, at: str, pair: str
) -> None:
    found = between(SIX, valve, at, A=6, **{f"B{pair}": 6.0})
    assert joined(found) == {"A", "B", f"A{pair}", f"B{pair}"}
    assert found["A"] == pytest.approx(60, rel=3e-4)
    assert found["B"] == pytest.approx(-60, rel=3e-4)


def test_a_selector_shuts_all_in_its_middle() -> None:
    assert joined(between(SIX, "6/3", "centre", A=200, B1=100)) == set()


def test_the_fourth_position_floats() -> None:
    ports = ("P", "T", "A", "B")
    found = between(ports, "4/4, lever, detent", "float", P=200, A=6, B=6)
    assert joined(found) == {"A", "B", "T"}
    assert joined(between(ports, "4/4", "centre", P=200, A=6)) == set()


@pytest.mark.parametrize("ways", [(5, 2), (5, 3), (6, 2), (6, 3), (4, 4)])
def test_the_symbol_has_a_lead_for_every_port(ways: tuple[int, int]) -> None:
    part = Part("V1", kinds()["valve"], ways=ways)
    letters = tuple(port.letter for port in part.ports)
    look = Look(ports=letters, positions=dict(part.positions), rest=part.rest)
    symbol = all_symbols()["valve"](look)
    assert set(symbol.anchors) == set(letters)
    places = {(anchor.x, anchor.y) for anchor in symbol.anchors.values()}
    assert len(places) == len(letters)


@settings(max_examples=30, deadline=None)
@given(
    ways=st.sampled_from([(4, 4), (5, 2), (5, 3), (6, 2), (6, 3)]),
    pressures=st.lists(st.floats(0.0, 350.0), min_size=6, max_size=6),
    place=st.integers(0, 3),
    share=st.integers(0, 100),
    transit=st.sampled_from(["", ", open in transit", ", closed in transit"]),
)
def test_flow_and_energy_balance_along_the_travel(
    ways: tuple[int, int], pressures: list[float], place: int, share: int, transit: str
) -> None:
    part = Part("X1", kinds()["valve"], ways=ways)
    letters = [port.letter for port in part.ports]
    positions = list(part.positions)
    tanks = sources(**{f"S{x}": p for x, p in zip(letters, pressures, strict=False)})
    lines = "\n".join(f"from S{x} to X1 {x}" for x in letters)
    conserves(
        f'circuit "b"\noil {TEST_OIL}\nparts\n{tanks}\nX1 valve {ways[0]}/{ways[1]}{transit}\n'
        f"lines\n{lines}\ncycle\n  step test, X1 at {positions[place % ways[1]]} {share} %\n"
    )


# ---- in transit ------------------------------------------------------------------------


@pytest.mark.parametrize("valve", ["4/2", "5/2", "3/2"])
def test_closed_in_transit_shuts_all_ports_half_way(valve: str) -> None:
    ports = {"4": ("P", "T", "A", "B"), "5": FIVE, "3": ("P", "T", "A")}[valve[0]]
    shut = between(ports, f"{valve}, closed in transit", "a 50 %", P=100, A=50)
    assert joined(shut) == set()
    moved = between(ports, f"{valve}, closed in transit", "a", P=100, A=50)
    assert "P" in joined(moved)


def test_open_in_transit_joins_all_ports_half_way() -> None:
    """Straight openings that cross: half of each path. P to A and B, both to T."""
    found = between(("P", "T", "A", "B"), "4/2, open in transit", "a 50 %", P=6)
    assert joined(found) == {"P", "A", "B"}
    assert found["P"] == pytest.approx(2 * 30, rel=3e-4)


# ---- switching limit -----------------------------------------------------------------------


def limited(pressure: float, sent: float, limit: str) -> OperatingPoint:
    """A valve with a pump's flow through it against a load, at the limit or not."""
    text = (
        f'circuit "b"\noil {TEST_OIL}\nparts\n{sources(TT=0, TL=pressure)}\n'
        f"P1 pump, fixed, {sent!r} cc/rev, 1000 rpm, volumetric 100 %\n"
        f"V1 valve 4/3, 200 L/min at 6 bar, leakage 0 L/min{limit}\n"
        "lines\nfrom TT to P1 S\nfrom P1 P to V1 P\nfrom V1 A to TL\nfrom V1 B and V1 T to TT\n"
        "cycle\n  step test, V1 at a\n"
    )
    solution = parse(text).solve()
    (point,) = solution
    assert point.success
    found = [f for f in solution.findings if f.slug == "switching-limit-exceeded"]
    share = point["V1"].values.get("switching limit used")
    assert bool(found) is (share is not None and share > 1.0)
    return point


@settings(max_examples=15, deadline=None)
@given(pressure=st.floats(5.0, 350.0), sent=st.floats(5.0, 150.0))
def test_flow_force_goes_with_flow_and_root_of_pressure(pressure: float, sent: float) -> None:
    """Closed form: F = 2 C_d A dp cos 69 deg and q = C_d A root(2 dp/rho), so F ~ q root(dp)."""
    point = limited(pressure, sent, ", switching limit 80 L/min at 200 bar")
    over = point["V1"].ports["P"].pressure / BAR
    wanted = point["V1"].values["flow"] / (80 * L_MIN) * math.sqrt(over / 200)
    assert point["V1"].values["switching limit used"] == pytest.approx(wanted, rel=1e-9)
    assert point["V1"].values["flow"] / L_MIN == pytest.approx(sent, rel=1e-6)


def test_a_limit_without_pressure_is_that_of_315_bar() -> None:
    point = limited(315, 80, ", switching limit 80 L/min")
    assert point["V1"].values["switching limit used"] == pytest.approx(1.0, abs=0.01)


def test_no_limit_is_said_of_a_valve_without_data() -> None:
    assert "switching limit used" not in limited(300, 150, "")["V1"].values
