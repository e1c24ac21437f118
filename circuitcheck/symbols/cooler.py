"""Cooler: heat leaves outwards; coolant lines are not drawn."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORD = "cooler"


def draw(look: Look) -> Symbol:
    """Draw the diamond with the line through it."""
    return symbol(
        "DI(0,0); L -4,0 -3,0; L -3,0 3,0; L 3,0 4,0; V 0,-.25 0,-2.4; V 0,.25 0,2.4",
        {"in": port(-4, 0, "W"), "out": port(4, 0, "E")},
        turn=True,
    )
