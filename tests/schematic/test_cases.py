"""Neutral netlists, measured by code that knows nothing of ours.

The scores to be kept are the best of 480 option sets of a general layered graph layout
(measured once; 100 per fault, 10 per crossing, 3 per bend, 0.1 per module of length, half the
root of the area).
"""

from __future__ import annotations

from typing import Any

import pytest

from circuitcheck.schematic import draw
from tests.schematic import metrics, neutral

BEST_OF_GENERAL_LAYOUT = {"pump_station": 20.0, "regenerative": 71.0, "parallel_ls": 386.0}
FEWEST_OF_GENERAL_LAYOUT = 9
"""Crossings of the bank of load-sensing valves, in the best of the same 480 option sets."""


def measured(name: str) -> dict[str, Any]:
    case = neutral.load(name)
    drawing = neutral.to_neutral(draw(neutral.to_netlist(case), name), case)
    assert metrics.differences(case, drawing) == []
    result: dict[str, Any] = metrics.measure(drawing)
    return result


@pytest.mark.parametrize("name", BEST_OF_GENERAL_LAYOUT)
def test_no_faults_and_a_better_score_than_a_general_layout(name: str) -> None:
    found = measured(name)
    assert {key: found[key] for key in metrics.FAULTS if found[key]} == {}
    assert found["loops"] == 0
    assert found["four_way"] == 0
    assert found["off_grid"] == 0
    assert found["score"] <= BEST_OF_GENERAL_LAYOUT[name]
    if name == "parallel_ls":
        assert found["crossings"] <= FEWEST_OF_GENERAL_LAYOUT / 2
