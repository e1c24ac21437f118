"""Hand pump: closed forms of flow, work and lever force."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from circuitcheck.components import kinds
from circuitcheck.components._parts import Parameter
from tests.components.bench import BAR, L_MIN, bench, sources
from tests.components.ranges import outside
from tests.components.refusals import refusals
from tests.components.test_closed_loop import sound

LINES = "from TT to HP1 S\nfrom HP1 P to TP"


@pytest.mark.parametrize(("action", "times"), [("single acting", 1), ("double acting", 2)])
def test_flow_and_force_of_a_lever(action: str, times: int) -> None:
    """25 cm3 a stroke, 30 strokes a minute: 0.75 L/min; force = p V/(travel eta)."""
    said = f"HP1 hand pump, 25 cm3, {action}, travel 600 mm, mechanical 80 %"
    point = bench(f"{sources(TT=0, TP=100)}\n{said}", LINES, "HP1 at 30 spm")
    found = point["HP1"].values
    assert found["flow"] / L_MIN == pytest.approx(0.75 * times, rel=2e-3)
    assert found["lever force"] == pytest.approx(100 * BAR * 25e-6 / 0.6 / 0.8, rel=1e-3)
    assert found["work"] == pytest.approx(100 * BAR * 25e-6 / 0.8, rel=1e-3)
    assert point["HP1"].state == "heavy"


def test_hand_pump_at_rest_holds_the_oil() -> None:
    said = "HP1 hand pump, 25 cm3, travel 600 mm"
    point = bench(f"{sources(TT=0, TP=200)}\n{said}", LINES)
    assert point["HP1"].state == "at rest"
    assert abs(point["HP1"].values["flow"]) / L_MIN < 1e-3


@settings(max_examples=30, deadline=None)
@given(
    st.floats(0.1, 1000), st.floats(0, 200), st.floats(5, 100), st.floats(0, 400), st.floats(0, 5)
)
def test_hand_pump_conserves_oil_and_makes_no_power(
    volume: float, rate: float, percent: float, front: float, slip: float
) -> None:
    said = f"HP1 hand pump, {volume!r} cm3, mechanical {percent!r} %, slip {slip!r} L/min"
    point = bench(f"{sources(TT=0, TP=front)}\n{said}", LINES, f"HP1 at {rate!r} spm")
    sound(point, "HP1")
    assert math.isfinite(point["HP1"].values["flow"])


RANGES = [p for p in kinds()["hand pump"].parameters if p.unit in ("L/min", "mm", "%", "bar")]


@pytest.mark.parametrize("parameter", RANGES, ids=lambda p: p.name)
def test_figures_out_of_their_physical_range_are_refused(parameter: Parameter) -> None:
    for figure in outside(parameter):
        found = refusals(f"HP1 hand pump, 25 cm3, {parameter.name} {figure}")
        assert any(parameter.name in message for message in found), figure
