"""Every law gives the true derivative of its own values, on every smoothing of the road."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from circuitcheck.laws.library import LAWS
from circuitcheck.laws.smoothing import EXACT, Array, Smoothing

BAR, L_MIN = 1e5, 1e-3 / 60
POINTS = 24
"""Random points evaluated at once, as elements x variants = 6 x 4."""

SMOOTHINGS = {
    "exact": EXACT,
    "creeping": Smoothing(creep=100.0),
    "tails": Smoothing(0.1, tails=True, creep=300.0),
    "wide": Smoothing(0.3, tails=True, widen=100.0, creep=1e3),
}

Draw = Callable[[float, float], Array]


def pressures(draw: Draw, count: int) -> list[Array]:
    """Pressures from suction to 400 bar, half of them within a few bar of each other."""
    base = draw(-0.9 * BAR, 400 * BAR)
    near = [base + draw(-3 * BAR, 3 * BAR) for _ in range(count)]
    far = [draw(-0.9 * BAR, 400 * BAR) for _ in range(count)]
    pick = draw(0, 1) < 0.5
    return [np.where(pick, a, b) for a, b in zip(near, far, strict=True)]


def gap(draw: Draw) -> tuple[list[Array], dict[str, Array]]:
    return pressures(draw, 2), {"g": draw(0, 1e-3) * L_MIN / BAR}


def resistor(draw: Draw) -> tuple[list[Array], dict[str, Array]]:
    return pressures(draw, 2), {"r1": draw(1e7, 1e10), "r2": draw(0, 1e12)}


def orifice(draw: Draw) -> tuple[list[Array], dict[str, Array]]:
    k = draw(1, 100) * L_MIN / np.sqrt(5 * BAR)
    return pressures(draw, 2), {"k": k, "leak": draw(0, 1e-3) * L_MIN / BAR}


def hole(draw: Draw) -> tuple[list[Array], dict[str, Array]]:
    return pressures(draw, 2), {"k": draw(1, 100) * 1e-7, "start": 10.0 ** draw(3, 6)}


def tube(draw: Draw) -> tuple[list[Array], dict[str, Array]]:
    d = 10.0 ** draw(-4, -2)
    c = {"d": d, "length": d * 10.0 ** draw(0, 3), "rho": draw(800, 1000)}
    return pressures(draw, 2), c | {"nu": 10.0 ** draw(-6, -2.5)}


def modulated(draw: Draw) -> tuple[list[Array], dict[str, Array]]:
    x = pressures(draw, 5)
    weights = {f"c{i}": draw(-4, 4) for i in range(5)}
    band = draw(0.1 * BAR, 20 * BAR)
    aim = draw(-0.5, 1.5) * band  # half of the points stand within the band
    offset = aim - sum(weights[f"c{i}"] * x[i] for i in range(5))
    k = draw(1, 100) * L_MIN / np.sqrt(5 * BAR)
    return x, {
        "k": k,
        "leak": draw(0, 1e-5) * L_MIN / BAR,
        "offset": offset,
        "band": band,
    } | weights


def pipe(draw: Draw) -> tuple[list[Array], dict[str, Array]]:
    c = {
        "d": draw(4e-3, 60e-3),
        "length": draw(0.1, 20),
        "minor": draw(0, 10),
        "rough": draw(0, 0.02),
        "rho": draw(800, 1000),
        "nu": 10.0 ** draw(-6, -3),
        "head": draw(-0.5, 0.5) * BAR,
    }
    return pressures(draw, 2), c


def rotary(draw: Draw) -> tuple[list[Array], dict[str, Array]]:
    out, inlet, sensed, partner = pressures(draw, 4)
    shaft = np.where(draw(0, 1) < 0.3, draw(-0.1, 0.1), draw(-300, 300))
    full = draw(1e-7, 2e-5)
    c = {
        "full": full,
        "drag": draw(0, 1e-3),
        "rub": draw(0, 0.1) * full,
        "stick": draw(0, 1),
        "command": np.where(draw(0, 1) < 0.3, 1.0, draw(-1, 1)),
        "cutoff": out + draw(-5, 12) * BAR,
        "cutoff_band": draw(0.5, 10) * BAR,
        "margin": out - sensed + draw(-3, 6) * BAR,
        "margin_band": draw(0.5, 5) * BAR,
        "torque": np.abs(out - inlet) * full * draw(0.2, 2.5) + 1.0,
        "either": np.round(draw(0, 1)),
        "begin": np.where(draw(0, 1) < 0.5, -1e11, sensed + draw(-12, 2) * BAR),
        "begin_band": draw(0.5, 10) * BAR,
        "cross": full * np.round(draw(0, 1)),
        "deviation": np.round(draw(0, 1)) * draw(0.01, 0.1),
        "volumetric": np.where(draw(0, 1) < 0.5, 1.0, draw(0.5, 1)),
        "mechanical": np.where(draw(0, 1) < 0.5, 1.0, draw(0.5, 1)),
        "pressed": np.round(draw(0, 1)) / 1.2e9,
        "dead": draw(0, 0.5),
    }
    return [out, inlet, sensed, shaft, partner], c


def measured(draw: Draw) -> tuple[list[Array], dict[str, Array]]:
    """Points inside the table and beyond its edges, of a grid 4 x 3 x 2."""
    x, c = rotary(draw)

    def grid(*sizes: int) -> Array:
        return np.stack([draw(0, 1) for _ in range(int(np.prod(sizes)))]).reshape(*sizes, 6, 4)

    rises = np.cumsum(0.2 + grid(4), axis=0)
    c["pressures"] = (rises - rises[0]) * draw(20, 150) * BAR
    c["speeds"] = np.cumsum(grid(3), axis=0) * draw(20, 200)
    c["strokes"] = np.cumsum(0.1 + 0.3 * grid(2), axis=0)
    c["slip"] = np.cumsum(grid(4, 3, 2), axis=0) * L_MIN
    c["slip"] -= c["slip"][:1]
    c["torque_lost"] = 10.0 * grid(4, 3, 2)
    c |= {name: draw(0, 1) for name in ("inside", "to_case", "back_to_case")}
    (case,) = pressures(draw, 1)
    return [*x, case], c


def piston(draw: Draw) -> tuple[list[Array], dict[str, Array]]:
    cap, rod = pressures(draw, 2)
    speed = np.where(draw(0, 1) < 0.5, draw(-3e-5, 3e-5), draw(-1, 1))
    area = draw(1e-4, 5e-2)
    c = {"cap_area": area, "rod_area": area * draw(0, 1), "share": draw(0, 0.2)}
    return [cap, rod, speed], c | {"viscous": area * draw(100, 1e4)}


def load(draw: Draw) -> tuple[list[Array], dict[str, Array]]:
    still = 10.0 ** draw(-5, -2)
    c = {"resisting": draw(0, 1e5), "steady": draw(-1e5, 1e5), "viscous": draw(0, 1e4)}
    return [still * draw(-3, 3)], c | {"still": still}


def void(draw: Draw) -> tuple[list[Array], dict[str, Array]]:
    return [draw(-2 * BAR, 2 * BAR)], {}


def slip(draw: Draw) -> tuple[list[Array], dict[str, Array]]:
    c = {"idle": draw(100, 300), "stiffness": draw(0.1, 10)}
    c |= {"breakdown": np.round(draw(0, 1)) * draw(10, 500), "critical": draw(5, 50)}
    c["top"] = np.where(draw(0, 1) < 0.5, 1e12, draw(100, 300))
    for i in range(4):
        c |= {f"w{i}": 60.0 * i + draw(20, 60), f"m{i}": c["top"] * draw(0.5, 1)}
    return [draw(0, 320)], c


def store(draw: Draw) -> tuple[list[Array], dict[str, Array]]:
    c = {"volume": draw(1e-4, 2e-2), "charge": draw(2, 200) * BAR, "exponent": draw(1, 1.6)}
    c |= {"start": draw(0, 1e-3), "rate": draw(0, 2)}
    c |= {f"real{i}": draw(-0.05, 0.3) for i in (1, 2, 3)}
    low = draw(1, 100) * BAR
    return [draw(0, 300 * BAR)], c | {"swept": draw(0, 1e-3), "low": low, "high": low + 50 * BAR}


def warm_store(draw: Draw) -> tuple[list[Array], dict[str, Array]]:
    volume = draw(1e-4, 2e-2)
    c = {"volume": volume, "charge": draw(2, 200) * BAR, "exponent": draw(1, 1.2)}
    c |= {"start": draw(0, 0.8) * volume, "rate": np.round(draw(0, 1)) * draw(0.01, 2)}
    c |= {f"real{i}": draw(-0.05, 0.1) for i in (1, 2, 3)}
    c |= {"kappa": draw(0.3, 0.8), "bend": draw(-0.05, 0.2), "excess": draw(-0.3, 0.6)}
    return [draw(0, 400 * BAR)], c | {"relax": np.round(draw(0, 1)) * draw(0, 10)}


def coupling(draw: Draw) -> tuple[list[Array], dict[str, Array]]:
    ratio, stiffness = draw(0.2, 30), draw(1, 1e4)
    first = draw(-300, 300)
    second = first / ratio + draw(-1.5, 1.5)
    c = {"ratio": ratio, "efficiency": draw(0.5, 1), "stiffness": stiffness}
    return [first, second], c | {"limit": stiffness * draw(0.5, 3)}


def brake(draw: Draw) -> tuple[list[Array], dict[str, Array]]:
    begins = draw(1, 50) * BAR
    c = {"capacity": draw(0, 1e4), "drag": draw(0, 100), "begins": begins}
    c |= {"released": begins + draw(1, 20) * BAR}
    return [draw(-3e-2, 3e-2), begins + draw(-10, 30) * BAR], c


CASES = {
    f.__name__: f
    for f in (
        gap,
        resistor,
        orifice,
        hole,
        tube,
        modulated,
        pipe,
        rotary,
        measured,
        piston,
        load,
        void,
        slip,
        store,
        warm_store,
        coupling,
        brake,
    )
}


SPEEDS = {
    ("rotary", 3): 1e-8,
    ("measured", 3): 1e-8,
    ("coupling", 0): 1e-6,
    ("coupling", 1): 1e-6,
    ("slip", 0): 1e-8,
    ("brake", 0): 1e-8,
    ("piston", 2): 1e-11,
    ("load", 0): 1e-11,
}
"""Terminals that are speeds, with the least difference step of each [m/s, rad/s]."""


def step_of(law: str, terminal: int, x: Array) -> Array:
    """Difference step: small beside the corner, large beside the rounding of x."""
    if (law, terminal) in SPEEDS:
        return np.maximum(np.abs(x) * 1e-5, SPEEDS[law, terminal])
    return np.full_like(x, 1.0)


def test_every_law_is_drawn() -> None:
    assert set(CASES) == set(LAWS)


@pytest.mark.parametrize("smoothing", SMOOTHINGS)
@pytest.mark.parametrize("word", CASES)
@settings(max_examples=25, deadline=None)
@given(seed=st.integers(0, 2**32 - 1))
def test_derivative_is_that_of_the_value(word: str, smoothing: str, seed: int) -> None:
    """A central difference is the derivative somewhere between its two ends."""
    rng = np.random.default_rng(seed)
    law, s = LAWS[word], SMOOTHINGS[smoothing]
    points, coefficients = CASES[word](lambda low, high: rng.uniform(low, high, (6, 4)))
    x = np.stack(points)
    c = {name: np.asarray(value) for name, value in law.coefficients.items()} | coefficients
    value, slope = law.evaluate(x, c, s)
    assert value.shape == (len(law.values), 6, 4)
    assert slope.shape == (law.used, law.terminals, 6, 4)
    balanced = sorted({stamp.value for stamp in law.stamps})  # the others need no slopes
    value, slope = value[balanced], slope[balanced]
    for t in range(law.terminals):
        h = step_of(word, t, x[t])
        up, down = x.copy(), x.copy()
        up[t], down[t] = x[t] + h, x[t] - h
        high, slope_up = law.evaluate(up, c, s)
        low, slope_down = law.evaluate(down, c, s)
        found = (high - low)[balanced] / (up[t] - down[t])
        around = np.stack([slope[:, t], slope_up[balanced, t], slope_down[balanced, t]])
        rounding = 1e-11 * np.abs(value).max(axis=(1, 2), keepdims=True) / h
        spread = np.ptp(around, axis=0)
        room = rounding + 1e-6 * np.abs(around).max(axis=0) + 0.05 * spread
        assert np.all(found <= around.max(axis=0) + room)
        assert np.all(found >= around.min(axis=0) - room)
