"""Thermometer, always upright."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORD = "thermometer"


def draw(look: Look) -> Symbol:
    """Draw the instrument; its line comes from below."""
    return symbol(
        "IC(0,0); L 0,-1.25 0,.75; B 0,1 .35; L 0,2 0,3",
        {"M": port(0, 3, "S")},
        spots=("above", "right", "left"),
    )
