"""Flow divider of the spool type: two measuring edges and the spool that equals them."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORD = "flow divider"


def draw(look: Look) -> Symbol:
    """Draw the divider, its inlet below; a combiner has arrows both ways."""
    text = (
        "R -4,-2 8 4; L 0,2 0,1.25; L -2,1.25 2,1.25; L -2,1.25 -2,1; L 2,1.25 2,1; rs(-2,0);"
        "rs(2,0); L -2,-1 -2,-4; L 2,-1 2,-4; L 0,2 0,4; W -1.2,-.9 1.2,-.9"
    )
    if look.chosen("divides and combines"):
        text += "; W 0,.9 0,-.6"
    anchors = {"P": port(0, 4, "S"), "A": port(-2, -4, "N"), "B": port(2, -4, "N")}
    return symbol(text, anchors, letters="P A B", spots=("right", "left"))
