"""Flushing valve: three ways, three positions, pilots from both sides, springs centre it."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORD = "flushing valve"


def draw(look: Look) -> Symbol:
    """Draw the valve centred: all three ways shut; the higher side opens the other one."""
    # pushed from A (left) the right-hand square would not come in: the left one does, B to T
    x = {"a": 4, "b": -4}.get(look.shown, 0)
    squares = f"SQ({x},0); SQ({x - 4},0); SQ({x + 4},0)"
    shut = f"XP({x - 1},-2,180); XP({x + 1},-2,180); XP({x},2)"
    left = f"V {x - 3},-2 {x - 4},2; XP({x - 5},-2,180)"
    right = f"V {x + 3},-2 {x + 4},2; XP({x + 5},-2,180)"
    leads = "L -1,-2 -1,-6; L 1,-2 1,-6; L 0,2 0,4"
    springs = f"SP({x - 6},1,180); SP({x + 6},1)"
    pilots = (
        f"D -1,-3 {x - 9},-3 {x - 9},-1 {x - 6},-1; jd(-1,-3);"
        f"D 1,-3 {x + 9},-3 {x + 9},-1 {x + 6},-1; jd(1,-3)"
    )
    return symbol(
        f"{squares}; {shut}; {left}; {right}; {leads}; {springs}; {pilots}",
        {"A": port(-1, -6, "N"), "B": port(1, -6, "N"), "T": port(0, 4, "S")},
        letters="A B T",
        spots=("right", "left", "below"),
    )
