"""Orifice: nearly independent of viscosity; with a length, a restriction that depends on it."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORD = "orifice"


def draw(look: Look) -> Symbol:
    """Draw the two points that face the line, or the two arcs of a short tube."""
    text = "RE(0,0)" if "length" in look.has else "OR(0,0); L 0,-1 0,-2; L 0,1 0,2"
    return symbol(
        text,
        {"in": port(0, 2, "S"), "out": port(0, -2, "N")},
        turn=True,
        spots=("right", "left"),
    )
