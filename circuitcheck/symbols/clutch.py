"""Clutch: two facing plates, one on each shaft end."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORD = "clutch"


def draw(look: Look) -> Symbol:
    """Draw the plates apart: the clutch at rest without its actuation."""
    plates = "L -.5,-2 -.5,2; L .5,-2 .5,2; L .5,-2 1,-2; L .5,2 1,2; L -.5,-2 -1,-2; L -.5,2 -1,2"
    ends = "SH(-.5,0,180); L -2.5,-.25 -3,-.25; L -2.5,.25 -3,.25"
    ends += "; SH(.5,0); L 2.5,-.25 3,-.25; L 2.5,.25 3,.25"
    return symbol(
        f"{plates}; {ends}",
        {"shaft": port(-3, 0, "W"), "shaft out": port(3, 0, "E")},
        spots=("below", "above", "right"),
    )
