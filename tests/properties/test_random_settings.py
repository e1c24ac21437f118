"""Every circuit drawn by lot is solved under every setting drawn by lot.

2,000 states, the same in every run; `campaign.py` in this folder draws as many as wanted.
"""

from __future__ import annotations

import zlib

import pytest

from tests.properties.batches import OPEN, looked_at, solved
from tests.properties.design import CONTROLS, Dice, design

CIRCUITS, STEPS, SETTINGS = 20, 2, 50
"""What `campaign.py` draws with the same figures, seed "ci" and 3 actuators."""


@pytest.mark.parametrize("number", range(CIRCUITS))
def test_every_setting_of_a_circuit_is_solved(number: int) -> None:
    seed = f"ci-{number}"
    whole = design(Dice(seed), CONTROLS, most=3, steps=STEPS)
    batch = solved(whole, zlib.crc32(seed.encode()), SETTINGS)
    assert batch.found.case.variants == STEPS * SETTINGS
    told = {sort: batch.telling(which[0]) for sort, which in batch.wrong.items()}
    assert not told, "\n".join(f"{sort}: {text}" for sort, text in told.items())
    assert batch.imbalance.max() < OPEN


def test_the_checks_see_what_is_wrong() -> None:
    """The checks can fail: a state with another pressure, and one that is not solved."""
    batch = solved(design(Dice("ci-0"), CONTROLS, most=3, steps=STEPS), 1, 4)
    assert not batch.wrong
    batch.found.found.x[:, 2] *= 1.001
    batch.found.found.solved[5] = False
    wrong = looked_at(batch.found)
    assert 2 in wrong["flow"]
    assert wrong["unsolved"] == [5]
