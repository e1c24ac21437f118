"""Shut-off valve, worked by hand; whether it is open is written beside it."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORDS = ("shut-off", "shut-off valve", "ball valve")


def draw(look: Look) -> Symbol:
    """Draw the two triangles that meet in the seat."""
    return symbol(
        "P 0,0 -1,1.5 1,1.5; P 0,0 -1,-1.5 1,-1.5; L 0,1.5 0,3; L 0,-1.5 0,-3",
        {"in": port(0, 3, "S"), "out": port(0, -3, "N")},
        turn=True,
        spots=("right", "left"),
    )
