"""Flow and energy balance of every kind over the whole range of its figures.

Each registered kind comes by itself, on the bench that its ports and shafts ask for
(`conservation.py`). The bounded form tries a few figures of each kind; for the full one

    CIRCUITCHECK_EXAMPLES=500 pytest tests/components/test_whole_range_balances.py

tries as many of each, other ones every time.
"""

from __future__ import annotations

import os

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from circuitcheck.components import kinds
from tests.components.conservation import benches, conserves

EXAMPLES = int(os.environ.get("CIRCUITCHECK_EXAMPLES", "0"))

WORDS = list(dict.fromkeys(kind.word for kind in kinds().values()))


@pytest.mark.parametrize("word", WORDS)
@settings(
    max_examples=EXAMPLES or 8,
    derandomize=EXAMPLES == 0,
    phases=(Phase.explicit, Phase.reuse, Phase.generate),
    deadline=None,
    suppress_health_check=[HealthCheck.filter_too_much, HealthCheck.too_slow],
)
@given(data=st.data())
def test_flow_and_energy_balance(word: str, data: st.DataObject) -> None:
    conserves(data.draw(benches(word)))
