"""Two-way cartridge valve: poppet on its seat, spring and pilot chamber above it."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORDS = ("cartridge", "cartridge valve", "logic element")


def draw(look: Look) -> Symbol:
    """Draw A below, B on the right, X above."""
    up = -1 if look.shows("open") else -0.5 if look.shows("between") else 0
    poppet = (
        f"P -2,{up - 2} 2,{up - 2} 2,{up} .8,{up + 2.2} -.8,{up + 2.2} -2,{up};SP(0,{up - 2},270)"
    )
    return symbol(
        f"R -3,-5 6 9; {poppet}; L -3,1.7 -1.1,1.7 -1.1,4;"
        "L 3,1.7 1.1,1.7 1.1,4; L 0,-5 0,-7; L 0,2.2 0,6; L 1.5,1 5,1",
        {"A": port(0, 6, "S"), "B": port(5, 1, "E"), "X": port(0, -7, "N", dashed=True)},
        letters="A B X",
        spots=("left", "right"),
    )
