"""Combustion engine: square with M; the shaft leaves to the right."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORD = "engine"


def draw(look: Look) -> Symbol:
    """Draw the drive, at a stand."""
    return symbol(
        "PM(0,0); T 0,0 M; SH(3,0)",
        {"shaft": port(5, 0, "E")},
        spots=("below", "above", "left"),
    )
