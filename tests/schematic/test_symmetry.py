"""A and B lines between a valve and its actuator are each other's mirror image where that is free.

All sheets: python -m tests.schematic.symmetry
"""

from __future__ import annotations

import pytest

from circuitcheck.schematic import draw
from tests.schematic.figures import netlists
from tests.schematic.symmetry import mirrors, pairs, saves_bends

SHEETS = {"press": 1, "clamps": 1, "splitter": 1, "steering": 1, "bank of 2": 2, "bank of 10": 9}
"""Sheet -> pairs that mirror."""


@pytest.mark.parametrize("name", SHEETS)
def test_a_pair_of_lines_mirrors_unless_that_takes_two_more_bends(name: str) -> None:
    ((_, netlist),) = netlists([name])
    found = list(pairs(draw(netlist, name)))
    assert sum(mirrors(*pair) for pair in found) >= SHEETS[name]
    assert [pair for pair in found if not mirrors(*pair) and not saves_bends(*pair)] == []
