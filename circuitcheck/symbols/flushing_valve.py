"""Flushing valve: three ways, three positions, pilots from both sides, springs centre it."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORD = "flushing valve"


def draw(look: Look) -> Symbol:
    """Draw the valve centred: all three ways shut; the higher side opens the other one."""
    squares = "R -2,-2 4 4; R -6,-2 4 4; R 2,-2 4 4"
    shut = "XP(-1,-2,180); XP(1,-2,180); XP(0,2)"
    # pushed from A (left) the right-hand square would not come in: the left one does, B to T
    left = "V -3,-2 -4,2; XP(-5,-2,180)"
    right = "V 3,-2 4,2; XP(5,-2,180)"
    leads = "L -1,-2 -1,-6; L 1,-2 1,-6; L 0,2 0,4"
    springs = "SP(-6,1,180); SP(6,1)"
    pilots = "D -1,-3 -9,-3 -9,-1 -6,-1; jd(-1,-3); D 1,-3 9,-3 9,-1 6,-1; jd(1,-3)"
    return symbol(
        f"{squares}; {shut}; {left}; {right}; {leads}; {springs}; {pilots}",
        {"A": port(-1, -6, "N"), "B": port(1, -6, "N"), "T": port(0, 4, "S")},
        letters="A B T",
        spots=("right", "left", "below"),
    )
