"""Sequence valve: closed, senses its inlet or another line, drained outside or to its outlet."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORDS = ("sequence", "sequence valve")


def draw(look: Look) -> Symbol:
    """Draw the valve with flow upwards; with a check beside it where free return is asked."""
    piloted = look.chosen("piloted")
    text = f"PV(0,0); V {look.arrow},2 {look.arrow},-2"
    text += "; HP(2,0); SP(4,0); AR(5,0)" if piloted else "; SP(2,0); AR(3,0)"
    anchors = {"P": port(0, 4, "S"), "A": port(0, -4, "N")}
    if look.chosen("remote pilot"):
        out = -9 if look.chosen("free-flow check") else -5
        text += f"; D -2,1 {out},1"
        anchors["X"] = port(out, 1, "W", dashed=True)
    else:
        text += "; D 0,3 -3,3 -3,0 -2,0"
    if not look.chosen("internal drain"):
        end = 7 if piloted else 5
        text += f"; D {end - 1},0 {end},0 {end},4"
        anchors["Y"] = port(end, 4, "S", dashed=True)
    if look.chosen("free-flow check"):
        text += f"; {look.check()}(-6,0,180); L -6,-2 -6,-3.5 0,-3.5;"
        text += "L -6,2 -6,3.5 0,3.5; JD(0,-3.5); JD(0,3.5)"
    return symbol(text, anchors, letters=" ".join(anchors), spots=("right", "left"))
