"""Gearbox: two shafts and the wheels that join them. Form is our own choice."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORD = "gearbox"


def draw(look: Look) -> Symbol:
    """Draw a large and a small wheel in mesh, seen from the side, in a frame."""
    wheels = "R -1,-2 1 4; R 0,-1 1 2"
    return symbol(
        f"R -2,-3 4 6; {wheels}; L -2,0 -1,0; L 1,0 2,0; SH(-2,0,180); SH(2,0)",
        {"shaft": port(-4, 0, "W"), "shaft out": port(4, 0, "E")},
        spots=("below", "above", "right"),
    )
