"""What holds for every duty cycle: energy closes, heat balances, more cooling is cooler."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from circuitcheck.pipeline import parse
from circuitcheck.studies.heat import HOTTEST
from tests.studies.test_duty_heat import relief

WALLS = st.floats(0.5, 8.0)
SHEDS = st.floats(5.0, 30.0)
AIR = st.floats(-10.0, 40.0)
PUMP = st.sampled_from(["volumetric 100 %, mechanical 100 %", "volumetric 92 %, mechanical 88 %"])


def circuit(walls: float, sheds: float, air: float, pump: str) -> str:
    text = relief(f"walls {walls:.4f} m2, sheds {sheds:.4f} W/(m2 K), ", round(air, 3))
    return text.replace("volumetric 100 %, mechanical 100 %", pump)


@settings(max_examples=10, deadline=None)
@given(walls=WALLS, sheds=SHEDS, air=AIR, pump=PUMP)
def test_oil_settles_where_heat_made_is_heat_taken(
    walls: float, sheds: float, air: float, pump: str
) -> None:
    found = parse(circuit(walls, sheds, air, pump)).duty()
    assert found.flows.error < 1e-9
    settles, taken = found.heat.degC, walls * sheds
    if settles is None:
        made, _ = found.heat.balance.at(HOTTEST)
        assert made > taken * (HOTTEST - air) * 0.999
    else:
        # the losses of the cycle solved at that very temperature, against the walls by hand
        assert found.flows.lost == pytest.approx(taken * (settles - air), rel=2e-3)
        assert found.warming is not None
        assert found.warming.share(0.5) < found.warming.share(0.9)


@settings(max_examples=5, deadline=None)
@given(walls=st.floats(2.0, 4.0), air=AIR, pump=PUMP)
def test_more_walls_make_cooler_oil(walls: float, air: float, pump: str) -> None:
    small, large = (
        parse(circuit(area, 30.0, air, pump)).duty().heat.degC for area in (walls, 1.5 * walls)
    )
    assert large is not None
    assert small is None or small > large


@settings(max_examples=5, deadline=None)
@given(hold=st.floats(45.0, 90.0), air=st.floats(0.0, 35.0))
def test_what_is_needed_holds_the_oil(hold: float, air: float) -> None:
    text = circuit(1.0, 12.0, air, "volumetric 92 %, mechanical 88 %")
    needed = parse(text).duty(hold=hold).needed
    assert needed is not None
    assert needed.walls is not None
    again = parse(circuit(needed.walls, 12.0, air, "volumetric 92 %, mechanical 88 %")).duty()
    assert again.heat.degC == pytest.approx(hold, abs=0.2)
