"""Orifices by length and Reynolds number, throttles by their edge."""

from __future__ import annotations

import math

import pytest

from tests.components.bench import L_MIN, bench, flow, sources
from tests.components.refusals import refusals

RUN = "from TP to X1 in\nfrom X1 out to TT"
RHO = 870.0


def oil(nu: float) -> str:
    """Oil that has this viscosity [mm2/s] at the temperature of the bench."""
    return f"{nu!r} cSt at 50 degC, 870 kg/m3"


def passed(part: str, front: float, behind: float = 0.0, nu: float = 32.0) -> float:
    point = bench(f"{sources(TP=front, TT=behind)}\nX1 {part}", RUN, oil=oil(nu))
    return flow(point, "X1", "in")


def state(part: str, front: float, nu: float = 32.0) -> str:
    return bench(f"{sources(TP=front, TT=0)}\nX1 {part}", RUN, oil=oil(nu))["X1"].state


# ---- orifices ------------------------------------------------------------------------


def test_published_check_value_of_an_orifice() -> None:
    """1 mm, C 0.62, 870 kg/m3: 4.43 L/min at 100 bar, 2.21 at 25 bar (C A root(2 dp/rho))."""
    assert passed("orifice, 1 mm", 100) == pytest.approx(4.43, abs=0.005)
    assert passed("orifice, 1 mm", 25) == pytest.approx(2.21, abs=0.005)


def test_hot_oil_leaves_a_sharp_hole_alone_and_cold_oil_makes_it_viscous() -> None:
    """At Re far below 9 the coefficient is 0.2 root(Re): Merritt 1967, from memory.

    Closed form of that line: q = 2 C' d A dp/(rho nu) with C' = 0.2^2.
    """
    assert passed("orifice, 1 mm", 20, nu=64) == pytest.approx(
        passed("orifice, 1 mm", 20, nu=16), rel=1e-5
    )
    d, nu, dp = 1e-3, 5000e-6, 0.2e5
    q = 2 * 0.2**2 * d * math.pi / 4 * d * d * dp / (RHO * nu)
    assert passed("orifice, 1 mm", 0.2, nu=5000) == pytest.approx(q / L_MIN, rel=2e-3)
    assert state("orifice, 1 mm", 0.2, nu=5000) == "viscous"
    assert state("orifice, 1 mm", 20) == "turbulent"


@pytest.mark.parametrize(("length", "word"), [(6.0, "developing"), (200.0, "laminar")])
def test_short_tube_against_a_fixed_point_of_the_published_formulas(
    length: float, word: str
) -> None:
    """Independent computation: iterate C and Re of Rabie, pages 50 and 51."""
    d, dp, nu = 1.2e-3, 30e5, 32e-6
    slim, area = length * 1e-3 / d, math.pi / 4 * d * d
    c = 0.5
    for _ in range(200):
        re = c * math.sqrt(2 * dp / RHO) * d / nu
        u = re / slim
        c = (1.5 + 13.74 * u**-0.5) ** -0.5 if u > 50 else (2.28 + 64 / u) ** -0.5
    q = c * area * math.sqrt(2 * dp / RHO)
    part = f"orifice, 1.2 mm, length {length} mm"
    assert passed(part, 30) == pytest.approx(q / L_MIN, rel=1e-6)
    assert state(part, 30) == word


def test_a_capillary_depends_on_viscosity_and_a_hole_does_not() -> None:
    thin, thick = (passed("orifice, 0.5 mm, length 300 mm", 5, nu=nu) for nu in (40, 80))
    assert thin / thick == pytest.approx(2.0, rel=1e-2)


@pytest.mark.parametrize(
    ("part", "part_of_message"),
    [
        ("orifice, 2 mm, length 1 mm", "shorter"),
        ("orifice, 2 mm, length 10 mm, coefficient 0.7", "gives its flow coefficient"),
        ("throttle, 5 L/min at 10 bar, diameter 1 mm", "by its flow and by an equal hole"),
        ("throttle, diameter 1 mm, long gap", "part viscous"),
        ("throttle, free flow 40 L/min at 2 bar", "no check"),
    ],
)
def test_what_cannot_be_is_refused(part: str, part_of_message: str) -> None:
    assert any(part_of_message in message for message in refusals(f"X1 {part}"))


# ---- throttles -----------------------------------------------------------------------


@pytest.mark.parametrize("edge", ["sharp edge", "notch", "long gap", "viscous 40 %"])
def test_every_edge_passes_its_rated_flow(edge: str) -> None:
    assert passed(f"throttle, 10 L/min at 10 bar, {edge}", 10) == pytest.approx(10, rel=1e-6)


@pytest.mark.parametrize(("edge", "share"), [("notch", 0.1), ("long gap", 0.7)])
def test_thick_oil_takes_flow_from_a_long_edge(edge: str, share: float) -> None:
    """dp = s dp_r n (q/q_r) + (1 - s) dp_r (q/q_r)^2 with n = 4: a quadratic, solved here."""
    b = 4 * share
    y = (-b + math.sqrt(b * b + 4 * (1 - share))) / (2 * (1 - share))
    found = passed(f"throttle, 10 L/min at 10 bar, {edge}", 10, nu=128)
    assert found == pytest.approx(10 * y, rel=1e-5)
    assert passed("throttle, 10 L/min at 10 bar", 10, nu=128) == pytest.approx(10, rel=1e-4)


@pytest.mark.parametrize("edge", ["sharp edge", "long gap"])
def test_an_edge_opens_in_proportion(edge: str) -> None:
    for share in (5, 30, 80):
        found = passed(f"throttle, 10 L/min at 10 bar, {edge}, open {share} %", 10)
        assert found == pytest.approx(share / 10, rel=1e-4)


def test_a_throttle_check_has_its_check_without_saying_so() -> None:
    """Free flow at its drop beside the throttle: 60 L/min at 2 bar, unless given."""
    part = "throttle-check, 10 L/min at 10 bar"
    assert passed(part, 0, 2) == pytest.approx(-(60 + 10 * 0.2**0.5), rel=1e-3)
    assert passed(f"{part}, free flow 25 L/min at 3 bar", 0, 3) == pytest.approx(
        -(25 + 10 * 0.3**0.5), rel=1e-3
    )
    assert passed(part, 10) == pytest.approx(10, rel=1e-4)


def test_a_throttle_by_its_bore_opens_its_area_in_proportion() -> None:
    """4 mm at 25 % has the area of 2 mm."""
    lines = "from TA to N1 in\nfrom N1 out to TB"
    tanks = sources(TA=60, TB=10)
    part_open = bench(f"{tanks}\nN1 throttle, diameter 4 mm", lines, "N1 open 25 %")
    hole = bench(f"{tanks}\nN1 orifice, diameter 2 mm", lines)
    assert flow(part_open, "N1", "in") > 1.0
    assert flow(part_open, "N1", "in") == pytest.approx(flow(hole, "N1", "in"), rel=1e-9)
