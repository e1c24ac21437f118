"""Pressure-reducing valve: open, senses its outlet, drained outside."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORD = "reducing valve"


def draw(look: Look) -> Symbol:
    """Draw the valve with flow upwards; three-port ones keep their tank line at T."""
    x = look.closing
    text = f"PV(0,0); V {x},2 {x},-2; D 0,-3 -3,-3 -3,0 -2,0"
    piloted = look.chosen("piloted") or look.chosen("remote port")
    arrow = "" if look.chosen("sealed") else "; AR({},0)"
    anchors = {"P": port(0, 4, "S"), "A": port(0, -4, "N")}
    end = 7 if piloted or look.chosen("proportional") else 5
    if look.chosen("proportional"):
        text += "; HP(2,0); PS(4,0)" if piloted else "; PS(2,0)"
        end = 8 if piloted else 6
    elif piloted:
        text += "; HP(2,0); SP(4,0)" + arrow.format(5)
    else:
        text += "; SP(2,0)" + arrow.format(3)
    if look.chosen("remote port"):
        text += "; D 3,-1 3,-4"
        anchors["X"] = port(3, -4, "N", dashed=True)
    drain = "Y" if look.chosen("not relieving") else "T"
    text += f"; D {end - 1},0 {end},0 {end},4"
    anchors[drain] = port(end, 4, "S", dashed=True)
    if look.chosen("free-flow check"):
        text += f"; {look.check()}(-6,0,180); L -6,-2 -6,-3.5 0,-3.5;"
        text += "L -6,2 -6,3.5 0,3.5; JD(0,-3.5); JD(0,3.5)"
    return symbol(text, anchors, letters=" ".join(anchors), spots=("right", "left"))
