"""Passages: closed forms, one-way valves, and that no passage makes power."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuitcheck.laws.library import LAWS
from circuitcheck.laws.smoothing import EXACT, Array

BAR, L_MIN = 1e5, 1e-3 / 60


def evaluate(word: str, x: list[float], **given_: float) -> Array:
    law = LAWS[word]
    c = {name: np.asarray(value) for name, value in law.coefficients.items()}
    c |= {name: np.asarray(value, dtype=float) for name, value in given_.items()}
    value, _ = law.evaluate(np.array(x, dtype=float).reshape(law.terminals, 1, 1), c, EXACT)
    return value[:, 0, 0]


def relief(p: float, crack: float, setting: float, rated: float, leak: float = 0.0) -> float:
    k = rated / np.sqrt(setting)
    found = evaluate(
        "modulated", [p, 0, p, p, p], k=k, c0=1, c1=-1, offset=-crack, band=setting - crack,
        leak=leak,
    )  # fmt: skip
    return float(found[0])


@given(st.floats(1, 400), st.floats(1, 400))
def test_gap_is_in_proportion(high: float, low: float) -> None:
    flow = evaluate("gap", [high * BAR, low * BAR], g=2e-12)[0]
    assert flow == pytest.approx(2e-12 * (high - low) * BAR, rel=1e-12, abs=1e-20)


@given(st.floats(-300, 300), st.floats(1e6, 1e10), st.floats(0, 1e12))
def test_resistor_solves_its_two_terms(drop: float, r1: float, r2: float) -> None:
    q = evaluate("resistor", [drop * BAR, 0], r1=r1, r2=r2)[0]
    assert r1 * q + r2 * q * abs(q) == pytest.approx(drop * BAR, rel=1e-9, abs=1e-6)


@given(st.floats(1, 400), st.floats(0.3e-3, 30e-3), st.floats(800, 1000))
def test_orifice_is_the_textbook_root_from_one_bar_on(bar: float, d: float, rho: float) -> None:
    """Q = 0.62 A root(2 dp/rho); the straight start costs a quarter of (0.1 bar/dp)^2."""
    area = np.pi / 4 * d * d
    flow = evaluate("orifice", [bar * BAR, 0], k=0.62 * area * np.sqrt(2 / rho))[0]
    book = 0.62 * area * np.sqrt(2 * bar * BAR / rho)
    assert flow == pytest.approx(book, rel=0.26 * (0.1 / bar) ** 2 + 1e-12)
    assert flow < book


def test_orifice_is_odd_and_smooth_at_rest() -> None:
    forth = evaluate("orifice", [30e5, 10e5], k=1e-7)[0]
    assert evaluate("orifice", [10e5, 30e5], k=1e-7)[0] == -forth
    assert evaluate("orifice", [10e5, 10e5], k=1e-7)[0] == 0.0


@given(st.floats(-0.9, 400), st.floats(0, 400), st.floats(-50, 50))
def test_modulated_passes_one_way_only(inlet: float, more: float, command: float) -> None:
    """Whatever holds it open, nothing flows from the second terminal to the first."""
    x = [inlet * BAR, (inlet + more) * BAR, command * BAR, 0, 0]
    assert evaluate("modulated", x, k=1e-6, c2=10.0, band=BAR)[0] == 0.0


def test_relief_follows_its_override_line() -> None:
    """Nothing below cracking, in proportion between, rated flow at the setting."""
    crack, setting, rated = 190 * BAR, 200 * BAR, 100 * L_MIN
    assert relief(189 * BAR, crack, setting, rated) == 0.0
    half = relief(195 * BAR, crack, setting, rated)
    assert half == pytest.approx(0.5 * rated * np.sqrt(195 / 200), rel=1e-4)
    assert relief(setting, crack, setting, rated) == pytest.approx(rated, rel=0.006)
    assert relief(230 * BAR, crack, setting, rated) == pytest.approx(
        rated * np.sqrt(230 / 200), rel=1e-4
    )


@given(st.floats(0, 400), st.floats(0, 400))
def test_relief_passes_more_at_more_pressure(one: float, other: float) -> None:
    low, high = sorted((one, other))
    flows = [relief(p * BAR, 190 * BAR, 200 * BAR, 100 * L_MIN, 1e-13) for p in (low, high)]
    assert flows[0] <= flows[1]


def test_closed_relief_only_leaks() -> None:
    leak = 1e-6 * L_MIN / BAR
    assert relief(100 * BAR, 190 * BAR, 200 * BAR, 1e-3, leak) == pytest.approx(leak * 100 * BAR)


POWER_TAKERS = {
    "gap": {"g": 1e-12},
    "resistor": {"r1": 1e9, "r2": 1e11},
    "orifice": {"k": 1e-7, "leak": 1e-13},
    "modulated": {"k": 1e-7, "leak": 1e-13, "c0": 1.0, "c1": -1.0, "offset": -1e5},
    "pipe": {"d": 0.012, "length": 2.0, "minor": 1.5, "nu": 46e-6},
}


@pytest.mark.parametrize("word", POWER_TAKERS)
@given(st.floats(-0.9, 400), st.floats(-0.9, 400))
def test_no_passage_makes_power(word: str, a: float, b: float) -> None:
    rest = [0.0] * (LAWS[word].terminals - 2)
    flow = evaluate(word, [a * BAR, b * BAR, *rest], **POWER_TAKERS[word])[0]
    assert flow * (a - b) >= 0.0


@pytest.mark.parametrize("word", [*POWER_TAKERS, "rotary"])
def test_what_leaves_one_port_enters_the_other(word: str) -> None:
    """Stamps of the flow of a passage or unit add up to nothing."""
    assert sum(stamp.sign for stamp in LAWS[word].stamps if stamp.value == 0) == 0.0


def test_void_fills_only_below_its_floor() -> None:
    assert evaluate("void", [0.0])[0] == 0.0
    assert evaluate("void", [-0.8 * BAR])[0] == 0.0
    assert evaluate("void", [-1.0 * BAR])[0] > 0.0
