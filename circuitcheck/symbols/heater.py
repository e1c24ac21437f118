"""Heater: heat enters inwards."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORD = "heater"


def draw(look: Look) -> Symbol:
    """Draw the diamond with the line through it."""
    return symbol(
        "DI(0,0); L -4,0 -3,0; L -3,0 3,0; L 3,0 4,0; V 0,-2.6 0,-.3; V 0,2.6 0,.3",
        {"in": port(-4, 0, "W"), "out": port(4, 0, "E")},
        turn=True,
    )
