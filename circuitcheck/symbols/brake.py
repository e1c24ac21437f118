"""Brake: shoes that a spring presses on the shaft, lifted by oil. Form is our own choice."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORD = "brake"


def draw(look: Look) -> Symbol:
    """Draw the shaft between two shoes; the spring at the left, the release piston right."""
    shoes = "R -2,-1.5 4 .75; R -2,.75 4 .75; L -2,-1.125 -3,-1.125 -3,1.125 -2,1.125"
    disc = "R -.25,-.75 .5 1.5"
    spring = "L 0,-1.5 .5,-1.8 -.5,-2.2 .5,-2.6 -.5,-3 0,-3.2; L -1,-3.2 1,-3.2"
    return symbol(
        f"{shoes}; {disc}; {spring};"
        "L -.25,1.5 -.25,2; L .25,1.5 .25,2; SH(0,2,90); D 2,-1.125 5,-1.125 5,4",
        {"shaft": port(0, 4, "S"), "R": port(5, 4, "S", dashed=True)},
        spots=("above", "left"),
        in_row=_in_row(),
    )


def _in_row() -> Symbol:
    """Draw it on a level shaft: drum, spring on the upper shoe, release under the lower one."""
    shoes = "R -2,-2 4 .75; R -2,1.25 4 .75; R -1.5,-1 3 2"
    spring = "L 0,-2 .5,-2.3 -.5,-2.7 .5,-3.1 -.5,-3.5 0,-3.8; L -1,-3.8 1,-3.8"
    ends = "L -1.5,-.25 -4,-.25; L -1.5,.25 -4,.25; L 1.5,-.25 4,-.25; L 1.5,.25 4,.25"
    return symbol(
        f"{shoes}; {spring}; {ends}; D 0,2 0,4",
        {"shaft": port(-4, 0, "W"), "through": port(4, 0, "E"), "R": port(0, 4, "S", dashed=True)},
        mirror=False,
        spots=("above",),
    )
