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
    return symbol(text, anchors, letters="A B", spots=("right", "left"))
