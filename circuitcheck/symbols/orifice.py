"""Orifice: nearly independent of viscosity."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORD = "orifice"


def draw(look: Look) -> Symbol:
    """Draw the two points that face the line."""
    return symbol(
        "OR(0,0); L 0,-1 0,-2; L 0,1 0,2",
        {"in": port(0, 2, "S"), "out": port(0, -2, "N")},
        turn=True,
        spots=("right", "left"),
    )
