"""Wheel on the ground, turned by the shaft from below. Form is our own choice."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORD = "wheel"


def draw(look: Look) -> Symbol:
    """Draw tyre, rim and the way it rolls."""
    way = "V 3,-4 0,-4" if look.shows("back") else "V 0,-4 3,-4"
    wheel = f"C 0,0 3; C 0,0 1.5; B 0,0 .25; L -4,-3 4,-3; {way}"
    return symbol(
        f"{wheel}; SH(0,3,90)",
        {"shaft": port(0, 5, "S")},
        spots=("right", "left"),
        in_row=_in_row(),
    )


def _in_row() -> Symbol:
    """Draw it from the front, on a level shaft: tyre, hub and the ground."""
    wheel = "R -1,-3 2 6; R -1.5,-1 3 2; L -3,3 3,3"
    ends = "L -1.5,-.25 -3,-.25; L -1.5,.25 -3,.25; L 1.5,-.25 3,-.25; L 1.5,.25 3,.25"
    return symbol(
        f"{wheel}; {ends}",
        {"shaft": port(-3, 0, "W"), "through": port(3, 0, "E")},
        mirror=False,
        spots=("above", "below"),
    )
