"""Winch: drum with its rope, turned by the shaft from below. Form is our own choice."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORD = "winch"
_TURNS = "L -2,-1 -2,1; L -1,-1 -1,1; L 0,-1 0,1; L 1,-1 1,1"


def draw(look: Look) -> Symbol:
    """Draw the drum between its two flanges, the rope running off to the right.

    In a step that hauls in, the arrow on the rope points to the drum.
    """
    rope = "L 2,-1 7,-1; V 7,-1 4.5,-1" if look.shows("in") else "V 2,-1 7,-1"
    drum = "R -3,-1 6 2; R -3.5,-2 .5 4; R 3,-2 .5 4"
    return symbol(
        f"{drum}; {_TURNS}; {rope}; SH(0,1,90)",
        {"shaft": port(0, 3, "S")},
        spots=("above", "left"),
        in_row=_in_row(look),
    )


def _in_row(look: Look) -> Symbol:
    """Draw it with a level shaft, the rope running off upwards."""
    rope = "L 2,1 2,-5; V 2,-5 2,-3" if look.shows("in") else "V 2,1 2,-5"
    drum = "R -3,-1 6.5 2; R -3.5,-2 .5 4; R 3.5,-2 .5 4"
    ends = "L -3.5,-.25 -5,-.25; L -3.5,.25 -5,.25"
    return symbol(
        f"{drum}; {_TURNS}; {rope}; {ends}",
        {"shaft": port(-5, 0, "W"), "through": port(4, 0, "E")},
        mirror=False,
        spots=("below", "above"),
    )
