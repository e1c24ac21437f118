"""Throttles, flow controls, filters, coolers, lines and what only shows or stores."""

from __future__ import annotations

import math

import pytest
from scipy.optimize import brentq

from tests.components.bench import L_MIN, bench, flow, sources

RUN = "from TP to X1 in\nfrom X1 out to TT"


def passed(part: str, front: float, behind: float = 0.0, step: str = "", **more: str) -> float:
    point = bench(f"{sources(TP=front, TT=behind)}\nX1 {part}", RUN, step, **more)
    return flow(point, "X1", "in")


def test_orifice_is_the_textbook_formula() -> None:
    """Q = 0.62 A root(2 dp/rho), Merritt 1967, from memory."""
    q = 0.62 * math.pi / 4 * 1.2e-3**2 * math.sqrt(2 * 80e5 / 870)
    assert passed("orifice, 1.2 mm", 80) == pytest.approx(q / L_MIN, rel=1e-4)
    assert passed("orifice, 1.2 mm", 0, 80) == pytest.approx(-q / L_MIN, rel=1e-4)


def test_throttle_passes_its_flow_at_its_drop_and_less_when_closed_further() -> None:
    assert passed("throttle, 10 L/min at 10 bar", 10) == pytest.approx(10, rel=1e-4)
    assert passed("throttle, 10 L/min at 10 bar, open 40 %", 10) == pytest.approx(4, rel=1e-4)
    at_step = passed("throttle, 10 L/min at 10 bar", 10, step="X1 open 25 %")
    assert at_step == pytest.approx(2.5, rel=1e-4)


def test_free_flow_check_opens_backwards() -> None:
    """60 L/min over the check at its 2 bar, beside what the throttle passes there."""
    shut = passed("throttle, 10 L/min at 10 bar", 0, 2)
    free = passed("throttle, 10 L/min at 10 bar, free-flow check", 0, 2)
    assert shut == pytest.approx(-10 * (2 / 10) ** 0.5, rel=1e-4)
    assert free == pytest.approx(shut - 60, rel=1e-4)


@pytest.mark.parametrize("behind", [0, 40, 92, 192])
def test_flow_control_keeps_its_flow(behind: float) -> None:
    """2 to 5 % is usual; from the least drop of 8 bar up to 200 bar."""
    assert passed("flow control, 12 L/min", 200, behind) == pytest.approx(12, rel=0.03)


def test_flow_control_short_of_drop_and_backwards() -> None:
    assert passed("flow control, 12 L/min", 4) < 11
    assert passed("flow control, 12 L/min, free-flow check", 0, 10) < -60
    assert passed("flow control, 12 L/min", 100, step="X1 flow 6 L/min") == pytest.approx(
        6, rel=0.03
    )


@pytest.mark.parametrize("front", [8.5, 12, 20, 29, 60, 100, 300])
def test_flow_control_meets_its_setting_in_the_middle_of_its_band(front: float) -> None:
    """Closed form: the drop over the edge is 4.8 bar x (1 + 5 % (1/2 - y)), its flow goes with
    the root of it, and the compensator passes that flow at the opening y. Of 8 bar least drop
    0.6 stand over the edge. Half open at 4.8 + 4 x 3.2 = 17.6 bar: there it is the setting.
    """
    kept, rest, band = 4.8, 3.2, 0.05

    def passes(y: float) -> float:
        drop = kept * (1.0 + band * (0.5 - y))
        return math.sqrt(drop / kept) - y * math.sqrt((front - drop) / rest)

    y = brentq(passes, 0.0, 1.0)
    wanted = 12.0 * math.sqrt(1.0 + band * (0.5 - y))
    assert passed("flow control, 12 L/min", front) == pytest.approx(wanted, rel=2e-4)


def test_flow_control_passes_its_setting_where_its_compensator_is_half_open() -> None:
    assert passed("flow control, 12 L/min", 17.6) == pytest.approx(12.0, rel=2e-4)


@pytest.mark.parametrize(("nu", "share"), [(32, 1.0), (64, 1.7)])
def test_filter_drop_grows_with_viscosity(nu: float, share: float) -> None:
    """70 % of the drop is that of the element and in proportion to viscosity."""
    parts = f"{sources(TT=0)}\nP1 pump, fixed, 60 cc/rev, 1000 rpm\nX1 filter, 60 L/min at 0.5 bar"
    lines = "from TT to P1 S\nfrom P1 P to X1 in\nfrom X1 out to TT"
    point = bench(parts, lines, oil=f"{nu} cSt at 50 degC, 870 kg/m3")
    assert point["X1"].values["drop"] == pytest.approx(0.5e5 * share, rel=2e-3)


def test_bypass_opens_at_its_drop() -> None:
    part = "filter, 60 L/min at 0.5 bar, bypass 1.7 bar"
    for front, past in ((1.6, False), (1.9, True)):
        point = bench(f"{sources(TP=front, TT=0)}\nX1 {part}", RUN)
        assert (point["X1"].values["bypass flow"] > 1e-9) is past


@pytest.mark.parametrize("part", ["cooler, 5 kW", "flowmeter", "strainer", "filter"])
def test_resistors_pass_their_rated_flow_at_their_rated_drop(part: str) -> None:
    assert passed(f"{part}, 40 L/min at 0.4 bar", 0.4) == pytest.approx(40, rel=1e-6)


# ---- lines ---------------------------------------------------------------------------


def line(size: str, front: float, behind: float = 0.0, oil: str = "") -> tuple[float, str]:
    parts = sources(TP=front, TT=behind)
    oil = oil or "32 cSt at 50 degC, 870 kg/m3"
    point = bench(parts, f"L1 from TP to TT, {size}", oil=oil)
    return point["L1"].values["flow"] / L_MIN, point["L1"].state


def test_hose_is_laminar_at_low_speed() -> None:
    """Hagen-Poiseuille: Q = pi d^4 dp/(128 mu L)."""
    q = math.pi * 10e-3**4 * 0.05e5 / (128 * 32e-6 * 870 * 2)
    found, state = line("hose 10 mm, 2 m", 0.05)
    assert state == "laminar"
    assert found == pytest.approx(q / L_MIN, rel=1e-9)


def test_height_of_the_far_end_costs_its_column() -> None:
    column = 870 * 9.80665 * 3 / 1e5
    assert line("hose 10 mm, 4 m, rise 3 m", column)[0] == pytest.approx(0.0, abs=1e-9)
    up, down = (line("hose 10 mm, 4 m, rise 3 m", column + d)[0] for d in (0.1, -0.1))
    assert up == pytest.approx(-down, rel=1e-9)


@pytest.mark.parametrize(
    ("more", "factor"),
    [("3 bends", 0.9), ("loss factor 2.5", 2.5), ("2 bends, loss factor 1", 1.6)],
)
def test_loss_factors_add_up(more: str, factor: float) -> None:
    """In a short wide line nearly all the drop is that of the factors."""
    q, _ = line(f"hose 20 mm, 1 mm, {more}", 0.2)
    v = math.sqrt(2 * 0.2e5 / 870 / factor)
    assert q == pytest.approx(v * math.pi / 4 * 0.02**2 / L_MIN, rel=0.01)


def test_fittings_take_their_drop_at_their_flow() -> None:
    q, _ = line("hose 20 mm, 1 mm, fittings 0.4 bar at 40 L/min", 0.4)
    assert q == pytest.approx(40, rel=0.01)


@pytest.mark.parametrize(("nu", "state"), [(300, "laminar"), (1.5, "turbulent")])
def test_regime_is_named(nu: float, state: str) -> None:
    oil = f"{nu} cSt at 20 degC, {nu / 2} cSt at 60 degC, 870 kg/m3, at 20 degC"
    assert line("tube 10 mm, 1 m", 1.0, oil=oil)[1] == state


def test_steel_pipe_is_rougher_than_tube() -> None:
    thin = "2 cSt at 20 degC, 1 cSt at 60 degC, 870 kg/m3, at 20 degC"
    assert line("pipe 10 mm, 2 m", 5, oil=thin)[0] < line("tube 10 mm, 2 m", 5, oil=thin)[0]


# ---- what shows or stores ------------------------------------------------------------


@pytest.mark.parametrize(
    ("part", "port"), [("gauge", "M"), ("test point", "M"), ("accumulator, 4 L", "P")]
)
def test_what_only_stands_on_a_line_takes_its_pressure_and_no_oil(part: str, port: str) -> None:
    parts = f"{sources(TP=100, TT=0)}\nTH1 throttle, 10 L/min at 50 bar\nTH2 throttle, 10 L/min"
    lines = "from TP to TH1 in\nMID from TH1 out to TH2 in\nfrom TH2 out to TT\nfrom MID to X1"
    point = bench(f"{parts} at 50 bar\nX1 {part}", lines)
    assert point["X1"].values["pressure"] == pytest.approx(50e5, rel=1e-6)
    assert point["X1"].ports[port].flow == 0.0


def test_thermometer_shows_the_oil_of_the_step() -> None:
    parts = f"{sources(TP=1, TT=0)}\nX1 thermometer"
    point = bench(parts, "from TP to TT, hose 10 mm, 1 m\nfrom TP to X1", "oil at 63 degC")
    assert point["X1"].values["temperature"] == pytest.approx(63.0)
