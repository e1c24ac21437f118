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
    )
