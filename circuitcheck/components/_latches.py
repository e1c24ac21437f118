"""Valves and switches that stay where they are between two pressures."""

from __future__ import annotations

import numpy as np

from circuitcheck.laws.net import Bools, Net
from circuitcheck.laws.view import View


def began(of: Net | View) -> Bools:
    """State with which every step begins: that of the step before; of a cycle, in the first."""
    by_step = of.latched.reshape(-1, of.variations)
    first = np.broadcast_to(of.latched_first, by_step[:1].shape)
    before: Bools = np.concatenate([first, by_step[:-1]]).ravel()
    return before
