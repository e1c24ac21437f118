"""Sequence valve: closed, senses its inlet, outside drain because its outlet has pressure."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORDS = ("sequence", "sequence valve")


def draw(look: Look) -> Symbol:
    """Draw the valve with flow upwards; with a check beside it where free return is asked."""
    text = "PV(0,0); V -1,2 -1,-2; D 0,3 -3,3 -3,0 -2,0; SP(2,0); AR(3,0); D 4,0 5,0 5,4"
    anchors = {"P": port(0, 4, "S"), "A": port(0, -4, "N"), "Y": port(5, 4, "S", dashed=True)}
    if look.chosen("free-flow check"):
        text += "; CK(-6,0,180); L -6,-2 -6,-3.5 0,-3.5; L -6,2 -6,3.5 0,3.5;JD(0,-3.5); JD(0,3.5)"
    return symbol(text, anchors, spots=("right", "left"))
