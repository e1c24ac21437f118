"""Winch: drum with its rope, turned by the shaft from below. Form is our own choice."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORD = "winch"


def draw(look: Look) -> Symbol:
    """Draw the drum between its two flanges, the rope running off to the right."""
    drum = "R -3,-1 6 2; R -3.5,-2 .5 4; R 3,-2 .5 4"
    rope = "L -2,-1 -2,1; L -1,-1 -1,1; L 0,-1 0,1; L 1,-1 1,1; V 2,-1 7,-1"
    return symbol(
        f"{drum}; {rope}; SH(0,1,90)", {"shaft": port(0, 3, "S")}, spots=("above", "left")
    )
