"""Pressure intensifier for one medium: large piston left, small one right."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORDS = ("intensifier", "booster")


def draw(look: Look) -> Symbol:
    """Draw both cylinders and the piston that joins them, at the start of its stroke."""
    return symbol(
        "R -6,-2 6 4; R 0,-1 6 2; L -5,-2 -5,2; L -4,-2 -4,2; L -4,-.5 1,-.5; L -4,.5 1,.5;"
        "L 1,-1 1,1; F -6,0 -5.2,-.5 -5.2,.5; L -6,0 -8,0; L 6,0 8,0; L -1,2 -1,4",
        {"P": port(-8, 0, "W"), "H": port(8, 0, "E"), "T": port(-1, 4, "S")},
        letters="P H",
        spots=("above", "right"),
    )
