"""Telescopic cylinder: nested tubes, drawn retracted, in a step where they stand."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORD = "telescopic cylinder"


def draw(look: Look) -> Symbol:
    """Draw three tubes; the double-acting form has pistons and a second line."""
    out = 3.0 * (look.place or 0.0)
    mid, inner = out - 3.5, 2 * out - 2.5
    body = f"R -4.5,-2 9 4; R {mid},-1.25 9 2.5; R {inner},-.5 9 1; L -4,2 -4,4"
    anchors = {"cap": port(-4, 4, "S")}
    if look.chosen("double acting"):
        body += f"; L {mid},-2 {mid},2; L {inner},-1.25 {inner},1.25; L 4,2 4,4"
        anchors["rod"] = port(4, 4, "S")
    end = inner + 9
    if look.shows("out"):
        body += f"; V {end},-1.25 {end + 2},-1.25"
    elif look.shows("in"):
        body += f"; V {end + 2},-1.25 {end},-1.25"
    return symbol(body, anchors, spots=("above", "right", "left"))
