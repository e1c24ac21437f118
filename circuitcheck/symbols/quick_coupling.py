"""Quick coupling, drawn connected, each half with its check."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORDS = ("quick coupling", "coupling")


def draw(look: Look) -> Symbol:
    """Draw both self-closing halves meeting."""
    return symbol(
        "L -4,0 -2.4,0; C -1.9,0 .5; L -2.19,-1 -1.19,0 -2.19,1; L -1.19,0 -.25,0;"
        "L 4,0 2.4,0; C 1.9,0 .5; L 2.19,-1 1.19,0 2.19,1; L 1.19,0 .25,0;"
        "L -.25,-1 -.25,1; L .25,-1 .25,1",
        {"in": port(-4, 0, "W"), "out": port(4, 0, "E")},
        turn=True,
    )
