"""Two-pressure valve: the lower of two pressures reaches the outlet."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORDS = ("two-pressure valve", "inverse shuttle")


def draw(look: Look) -> Symbol:
    """Draw both discs on their rod, inlets left and right, outlet above."""
    return symbol(
        "R -2,-1 4 2; L -1,-.75 -1,.75; L 1,-.75 1,.75; SH(-1,0);"
        "L -2,0 -4,0; L 2,0 4,0; L 0,-1 0,-3",
        {"1": port(-4, 0, "W"), "2": port(4, 0, "E"), "out": port(0, -3, "N")},
        turn=True,
        spots=("below", "above", "right"),
    )
