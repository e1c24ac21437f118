"""Test point: closed by its own check until a gauge is joined."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORD = "test point"


def draw(look: Look) -> Symbol:
    """Draw the check with its cap."""
    return symbol(
        "L 0,3 0,2; CK(0,0); L -.75,-2 .75,-2",
        {"M": port(0, 3, "S")},
        spots=("above", "right", "left"),
    )
