"""Gallery: the line as it runs in the block, between two dash-dot edges. Own choice."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORDS = ("gallery", "drilling")


def draw(look: Look) -> Symbol:
    """Draw a line with a corner pair inside the outline of a block."""
    return symbol(
        "L -4,0 -1,0 -1,-.5 1,-.5 1,0 4,0; K -2.5,-1.25 5 2.5",
        {"in": port(-4, 0, "W"), "out": port(4, 0, "E")},
        turn=True,
    )
