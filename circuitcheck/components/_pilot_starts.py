"""Pilot checks between two operating points: locked by the pressure they should let go.

The pressure that pushes an actuator also presses, through the area ratio of a cylinder, on
the seat that its pilot must lift. With a pilot ratio under that area ratio a valve that was
opened early stays open, and one on which the pressure stands already stays shut.
"""

from __future__ import annotations

import numpy as np

from circuitcheck.components._parts import Starts
from circuitcheck.laws._law import BAR
from circuitcheck.laws.view import View

LOCKABLE = 2.5
"""Pilot ratio from which on no usual cylinder locks its valve (rod half the area: 2:1);
common practice, no source."""

PRESSED = 400 * BAR
"""Pilot pressure of the second start, above what usual systems have [Pa]; own choice."""

AWAKE = 5 * BAR
"""Pilot pressure from which on a valve is meant to open [Pa]; own choice."""


def starts(view: View, side: str, valve: str, load: str, pilot: str) -> Starts:
    """Starts of one side: pilot pressure that rises from nothing, or that stands already."""
    ratio = np.asarray(view.value("ratio"))
    asked = view.p(pilot) - view.p(valve) > AWAKE
    opening = view.element(f"released{side}", "opening")
    forward = view.element(f"seat{side}", "opening") > 0.0
    return Starts(
        at=pilot,
        natural=np.zeros(view.variants),
        second=np.full(view.variants, PRESSED),
        doubt=asked & (opening <= 0.0) & ~forward & (view.p(load) - view.p(valve) > AWAKE),
        worth=asked & (opening > 0.0) & (ratio < LOCKABLE),
        words=("as its pilot pressure rises", "with its full pilot pressure on a shut valve"),
    )
