"""Pressure switch, always upright: a box with a contact, its line from below."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORD = "pressure switch"


def draw(look: Look) -> Symbol:
    """Draw the contact in its rest position, pushed by the pressure from below."""
    made = look.chosen("breaks at setting") != look.shows("operated")
    contact = "L -1,-.75 1,-.75" if made else "L -1,-.75 .9,-1.5"
    return symbol(
        f"R -2,-2 4 4; L -2,-.75 -1,-.75; {contact}; L 1,-.75 2,-.75; F 0,2 -.6,1 .6,1;"
        "L 0,1 0,-.7; L 0,2 0,4",
        {"M": port(0, 4, "S")},
        spots=("above", "right", "left"),
    )
