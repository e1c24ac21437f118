"""Wheel on the ground, turned by the shaft from below. Form is our own choice."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORD = "wheel"


def draw(look: Look) -> Symbol:
    """Draw tyre, rim and the way it rolls."""
    wheel = "C 0,0 3; C 0,0 1.5; B 0,0 .25; L -4,-3 4,-3; V 0,-4 3,-4"
    return symbol(f"{wheel}; SH(0,3,90)", {"shaft": port(0, 5, "S")}, spots=("right", "left"))
