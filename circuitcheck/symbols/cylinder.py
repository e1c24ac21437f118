"""Cylinder: single or double acting, drawn retracted; double rod at mid stroke."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORD = "cylinder"
_WAY, _SHORT_WAY = 6.0, 1.5
"""How far the piston goes in its drawing, and where a wall in the middle is in its way [M]."""


def draw(look: Look) -> Symbol:
    """Draw the cylinder with its lines coming from below.

    In a step the piston stands where it is, with an arrow for the way it goes.
    """
    tandem, double = look.chosen("tandem"), look.chosen("double rod")
    way = _SHORT_WAY if tandem else _WAY
    at = 0.0 if look.place is None else way * (look.place - 0.5 * double)
    body, end = f"CB(0,0); {_piston(look, at)}; L -4,1.5 -4,3", 6.5 + at
    anchors = {"cap": port(-4, 3, "S")}
    if tandem:
        body += "; L -.25,-1.5 -.25,-.25; L .25,-1.5 .25,-.25; L -.25,1.5 -.25,.25;"
        body += f"L .25,1.5 .25,.25; L {1.5 + at},-1.5 {1.5 + at},1.5"
        body += f"; L {2.5 + at},-1.5 {2.5 + at},1.5"
    if not look.chosen("plunger") and _acts_one_way(look):
        body += "; L 4,1.5 4,2.5"
        if look.chosen("spring return") or "spring" in look.has:
            coils = (4.5 - (-2.5 + at)) / 7
            turns = [f"{-2.5 + at + k * coils:g},{(-1) ** (k + 1)}" for k in range(8)]
            body += f"; L {' '.join(turns)}"
    elif not look.chosen("plunger"):
        body += "; L 4,1.5 4,3"
        anchors["rod"] = port(4, 3, "S")
    if look.chosen("cushioned"):
        body += f"; R {at - 4},-.75 .5 1.5; R {at - 2.5},-.75 .5 1.5"
    if look.shows("out"):
        body += f"; V {end - 2},-1 {end},-1"
    elif look.shows("in"):
        body += f"; V {end},-1 {end - 2},-1"
    return symbol(body, anchors, spots=("above", "right", "left"))


def _acts_one_way(look: Look) -> bool:
    return look.chosen("single acting") or look.chosen("spring return")


def _piston(look: Look, at: float) -> str:
    """Draw piston and rod, or the plunger, ``at`` so far from where it stands at rest."""
    if look.chosen("plunger"):
        return f"R {at - 3.5},-.75 10 1.5"
    if look.chosen("double rod"):
        return (
            f"L {at - 0.5},-1.5 {at - 0.5},1.5; L {at + 0.5},-1.5 {at + 0.5},1.5;"
            f"L {at + 0.5},-.25 {at + 6.5},-.25 {at + 6.5},.25 {at + 0.5},.25;"
            f"L {at - 0.5},-.25 {at - 6.5},-.25 {at - 6.5},.25 {at - 0.5},.25"
        )
    return f"PI({at},0)"
