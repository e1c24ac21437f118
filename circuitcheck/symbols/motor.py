"""Hydraulic motor: both lines come from below, the shaft leaves upwards to what it turns."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORD = "motor"


def draw(look: Look) -> Symbol:
    """Draw the motor for both directions of rotation; case drain only where it has one."""
    text = "PC(0,0); TI(-3,0,-90); TI(3,0,90); SH(0,-3,-90);L -3,0 -4,0 -4,4; L 3,0 4,0 4,4"
    anchors = {"A": port(-4, 4, "S"), "B": port(4, 4, "S"), "shaft": port(0, -5, "N")}
    if "L" in look.ports or not look.ports:
        text += "; D 0,3 0,4"
        anchors["L"] = port(0, 4, "S", dashed=True)
    if look.chosen("variable"):
        text += "; VA(0,0)"
    return symbol(text, anchors, letters="A B", spots=("right", "left"), in_row=_in_row(look))


def _in_row(look: Look) -> Symbol:
    """Draw it with a level shaft: the upper line is led down past the circle."""
    text = "PC(0,0); TI(0,-3); TI(0,3,180); SH(3,0); L 0,-3 0,-4 -4,-4 -4,6; L 0,3 0,6"
    anchors = {"A": port(-4, 6, "S"), "B": port(0, 6, "S"), "shaft": port(5, 0, "E")}
    if "L" in look.ports or not look.ports:
        text += "; D 2,2.24 2,6"
        anchors["L"] = port(2, 6, "S", dashed=True)
    if look.chosen("variable"):
        text += "; VA(0,0)"
    return symbol(text, anchors, letters="A B", mirror=False, spots=("above", "left"))
