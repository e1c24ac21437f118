"""Solving over and over holds no more memory than solving once."""

from __future__ import annotations

import sys

import pytest

from tests.scale.memory import grown


@pytest.mark.skipif(sys.platform != "linux", reason="reads /proc")
def test_memory_is_flat_over_many_solves() -> None:
    held = grown(120, samples=4, warm=60)
    assert held[-1] - held[0] < 2.0, f"MB held: {held}"
