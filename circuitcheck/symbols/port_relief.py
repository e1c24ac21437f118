"""Port relief with anti-cavitation check: the work line above, the tank below."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORDS = ("port relief", "port relief valve")


def draw(look: Look) -> Symbol:
    """Draw the relief with its check beside it."""
    x = look.arrow
    return symbol(
        f"SQ(0,0); L 0,-2 0,-6; L 0,2 0,6; V {x},-2 {x},2; D 0,-2.5 -3,-2.5 -3,0 -2,0; SP(2,0);"
        f"AR(3,0); {look.check()}(7,0); L 7,-2 7,-3.5 0,-3.5; L 7,2 7,3.5 0,3.5;"
        "JD(0,-3.5); JD(0,3.5); K -4,-4.25 13 8.5",
        {"A": port(0, -6, "N"), "T": port(0, 6, "S")},
        letters="A T",
        spots=("right", "left"),
    )
