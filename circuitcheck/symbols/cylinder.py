"""Cylinder: single or double acting, drawn retracted; double rod at mid stroke."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORD = "cylinder"


def draw(look: Look) -> Symbol:
    """Draw the cylinder with its lines coming from below."""
    body = "CB(0,0); PI(0,0); L -4,1.5 -4,3"
    anchors = {"cap": port(-4, 3, "S")}
    if look.chosen("double rod"):
        body = (
            "CB(0,0); L -.5,-1.5 -.5,1.5; L .5,-1.5 .5,1.5;"
            "L .5,-.25 6.5,-.25 6.5,.25 .5,.25; L -.5,-.25 -6.5,-.25 -6.5,.25 -.5,.25;"
            "L -4,1.5 -4,3"
        )
    if look.chosen("tandem"):
        body += "; L -.25,-1.5 -.25,-.25; L .25,-1.5 .25,-.25; L -.25,1.5 -.25,.25;"
        body += "L .25,1.5 .25,.25; L 1.5,-1.5 1.5,1.5; L 2.5,-1.5 2.5,1.5"
    if look.chosen("plunger"):
        body = "CB(0,0); R -3.5,-.75 10 1.5; L -4,1.5 -4,3"
    elif look.chosen("single acting") or look.chosen("spring return"):
        body += "; L 4,1.5 4,2.5"
        if look.chosen("spring return") or "spring" in look.has:
            body += "; L -2.5,-1 -1.5,1 -.5,-1 .5,1 1.5,-1 2.5,1 3.5,-1 4.5,1"
    else:
        body += "; L 4,1.5 4,3"
        anchors["rod"] = port(4, 3, "S")
    if look.chosen("cushioned"):
        body += "; R -4,-.75 .5 1.5; R -2.5,-.75 .5 1.5"
    return symbol(body, anchors, spots=("above", "right", "left"))
