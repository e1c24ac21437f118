"""Valves and switches that stay where they are between two pressures."""

from __future__ import annotations

import numpy as np

from circuitcheck.laws.net import Bools, Net
from circuitcheck.laws.view import View


def began(of: Net | View) -> Bools:
    """State with which every step begins: that of the step before, false in the first."""
    before: Bools = np.concatenate([[False], of.latched[:-1]])
    return before
