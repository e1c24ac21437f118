"""Hand pump: fixed pump with a lever in place of its shaft."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORD = "hand pump"


def draw(look: Look) -> Symbol:
    """Draw the pump with its lever on the left."""
    return symbol(
        "PC(0,0); TO(0,-3); L 0,-3 0,-4; L 0,3 0,4; LV(-3,0,0,m)",
        {"P": port(0, -4, "N"), "S": port(0, 4, "S")},
        spots=("right", "left"),
    )
