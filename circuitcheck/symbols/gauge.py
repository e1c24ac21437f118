"""Pressure gauge, always upright."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORDS = ("gauge", "pressure gauge")


def draw(look: Look) -> Symbol:
    """Draw the instrument; its line comes from below."""
    return symbol(
        "IC(0,0); V -1,1 1,-1; L 0,2 0,3", {"M": port(0, 3, "S")}, spots=("above", "right", "left")
    )
