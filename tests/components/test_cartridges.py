"""Two-way cartridge valves: the poppet's balance, and what its port X makes of it."""

from __future__ import annotations

import pytest
from scipy.optimize import brentq

from tests.components.bench import bar, bench, flow, sources

LINES = "from TA to X1 A\nfrom X1 B to TB\nfrom TX to X1 X"


@pytest.mark.parametrize("area", [50.0, 60.0, 90.0, 100.0])
@pytest.mark.parametrize(("at_a", "at_b"), [(100.0, 0.0), (0.0, 100.0), (80.0, 40.0)])
def test_it_opens_by_the_balance_of_its_areas(area: float, at_a: float, at_b: float) -> None:
    """a A + (1 - a) B > X + spring."""
    share = area / 100.0
    needed = share * at_a + (1 - share) * at_b - 2.0
    for pilot, opened in ((needed + 0.1, False), (needed - 0.1, True)):
        if pilot < 0.0:
            continue
        parts = (
            f"{sources(TA=at_a, TB=at_b, TX=pilot)}\nX1 cartridge, area A {area} %, spring 2 bar"
        )
        assert (bench(parts, LINES)["X1"].state != "closed") is opened


def test_it_passes_its_rated_flow_both_ways() -> None:
    for one, other, sign in ((5.0, 0.0, 1.0), (0.0, 5.0, -1.0)):
        parts = f"{sources(TA=50 + one, TB=50 + other, TX=0)}\nX1 cartridge, 100 L/min at 5 bar"
        point = bench(parts, LINES)
        assert flow(point, "X1", "A") == pytest.approx(sign * 100.0, rel=6e-3)


@pytest.mark.parametrize(("at_a", "at_b"), [(60.0, 40.0), (40.0, 60.0), (41.0, 40.0)])
def test_joined_to_b_it_is_a_check_from_a_to_b(at_a: float, at_b: float) -> None:
    """a A + (1 - a) B - B > spring: it opens 2/0.6 bar above B."""
    parts = f"{sources(TA=at_a, TB=at_b)}\nX1 cartridge, area A 60 %, spring 2 bar"
    point = bench(parts, "from TA to X1 A\nfrom X1 B to TB\nfrom TB to X1 X")
    assert (flow(point, "X1", "A") > 1.0) is (at_a - at_b > 2.0 / 0.6)
    assert flow(point, "X1", "A") > -1e-3


def test_with_a_pilot_relief_at_x_it_is_a_relief() -> None:
    """Area A 100 %: 100 L/min at A, pilot 150 bar; main y = (A - X - 2)/1, no rounding."""
    parts = """TT tank, 100 L
M1 electric motor, 1000 rpm
P1 pump, 100 cc/rev, driven by M1, volumetric 100 %
X1 cartridge, area A 100 %, spring 2 bar, band 1 bar, 100 L/min at 5 bar
O1 throttle, 1 L/min at 2 bar
R1 relief, direct, set 150 bar, 1.05 L/min"""
    lines = """from TT to P1 S
from P1 P to X1 A
from X1 B to TT
from P1 P to O1 in
from O1 out to X1 X
from X1 X to R1 P
from R1 T to TT"""
    point = bench(parts, lines)
    chamber = bar(point, "X1", "X")
    assert chamber == pytest.approx(150.0, rel=0.01)

    def miss(p: float) -> float:
        opening = p - chamber - 2.0
        return opening * 100 * (p / 5) ** 0.5 + ((p - chamber) / 2) ** 0.5 - 100

    assert bar(point, "X1", "A") == pytest.approx(brentq(miss, chamber + 2, chamber + 3), rel=1e-3)


def test_with_pressure_at_x_it_is_shut_off_and_without_it_is_open() -> None:
    for pilot, state in ((120.0, "closed"), (0.0, "open")):
        parts = f"{sources(TA=100, TB=95, TX=pilot)}\nX1 cartridge"
        assert bench(parts, LINES)["X1"].state == state
