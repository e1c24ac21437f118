"""Unloading valve: closed, opened by the pressure of another line or behind its own check."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORD = "unloading valve"


def draw(look: Look) -> Symbol:
    """Draw the valve hanging under the line that it unloads."""
    x = look.arrow
    text = f"SQ(0,0); L 0,2 0,4; V {x},-2 {x},2; SP(2,0); AR(3,0)"
    anchors = {"T": port(0, 4, "S")}
    if look.chosen("built-in check"):
        text += (
            "; L 0,4 0,5; L 0,-2 0,-8; JD(0,-5); L 0,-5 -2,-5; CK(-4,-5,270); L -6,-5 -10,-5;"
            "jd(-6.5,-5); D -6.5,-5 -6.5,0 -2,0; K -7.25,-6 12 9"
        )
        anchors = {"T": port(0, 5, "S"), "P": port(0, -8, "N"), "A": port(-10, -5, "W")}
        return symbol(text, anchors, letters="P T A", spots=("right", "left"))
    text += "; L 0,-2 0,-4"
    anchors["P"] = port(0, -4, "N")
    if look.chosen("internal pilot"):
        text += "; D 0,-3 -3,-3 -3,0 -2,0"
        return symbol(text, anchors, letters="P T", spots=("right", "left"))
    text += "; D -2,0 -5,0"
    anchors["X"] = port(-5, 0, "W", dashed=True)
    return symbol(text, anchors, letters="P T X", spots=("right", "left"))
