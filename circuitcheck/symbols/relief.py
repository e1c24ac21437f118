"""Relief valve, direct operated: closed, senses its inlet, drains to its outlet."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORD = "relief"


def draw(look: Look) -> Symbol:
    """Draw the valve hanging under its pressure line; pilot operated ones carry their stage."""
    text = "PV(0,0); V -1,-2 -1,2; D 0,-3 -3,-3 -3,0 -2,0"
    sealed = look.chosen("sealed")
    if look.chosen("proportional"):
        text += "; PS(2,0)"
    elif look.chosen("piloted"):
        text += "; HP(2,0); SP(4,0)" + ("" if sealed else "; AR(5,0)")
    else:
        text += "; SP(2,0)" + ("" if sealed else "; AR(3,0)")
    anchors = {"P": port(0, -4, "N"), "T": port(0, 4, "S")}
    return symbol(text, anchors, turn=True, spots=("right", "left"))
