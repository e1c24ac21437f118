"""Clutch: two facing plates, one on each shaft end."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORD = "clutch"


def draw(look: Look) -> Symbol:
    """Draw the plates apart: the clutch at rest without its actuation."""
    plates = "L -.5,-2 -.5,2; L .5,-2 .5,2; L .5,-2 1,-2; L .5,2 1,2; L -.5,-2 -1,-2; L -.5,2 -1,2"
    return symbol(
        f"{plates}; SH(-.5,0,180); L -2.5,-.25 -3,-.25; L -2.5,.25 -3,.25; SH(.5,0)",
        {"shaft": port(-3, 0, "W")},
        spots=("below", "above", "right"),
    )
