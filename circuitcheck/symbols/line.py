"""Hose or tube: in a drawing just the line itself with its label, no frame."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORD = "line"


def draw(look: Look) -> Symbol:
    """Draw a piece of line, for a legend; a schematic merges it into the drawn line."""
    return symbol(
        "L -4,0 4,0",
        {"start": port(-4, 0, "W"), "end": port(4, 0, "E")},
        turn=True,
    )
