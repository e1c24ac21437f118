"""Telescopic cylinder: nested tubes, drawn retracted."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORD = "telescopic cylinder"


def draw(look: Look) -> Symbol:
    """Draw three tubes; the double-acting form has pistons and a second line."""
    body = "R -4.5,-2 9 4; R -3.5,-1.25 9 2.5; R -2.5,-.5 9 1; L -4,2 -4,4"
    anchors = {"cap": port(-4, 4, "S")}
    if look.chosen("double acting"):
        body += "; L -3.5,-2 -3.5,2; L -2.5,-1.25 -2.5,1.25; L 4,2 4,4"
        anchors["rod"] = port(4, 4, "S")
    return symbol(body, anchors, spots=("above", "right", "left"))
