"""Flow meter, in the line."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORDS = ("flowmeter", "flow meter")


def draw(look: Look) -> Symbol:
    """Draw the instrument circle with the narrowed passage."""
    return symbol(
        "IC(0,0); L -4,0 -2,0; L 2,0 4,0; A 0,1.6 2 -125>-55; A 0,-1.6 2 55>125; L -2,0 2,0",
        {"in": port(-4, 0, "W"), "out": port(4, 0, "E")},
        turn=True,
    )
