"""Port relief with anti-cavitation check: the work line above, the tank below."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORDS = ("port relief", "port relief valve")


def draw(look: Look) -> Symbol:
    """Draw the relief with its check beside it."""
    x = look.arrow
    return symbol(
        f"SQ(0,0); L 0,-2 0,-5; L 0,2 0,5; V {x},-2 {x},2; D 0,-2.5 -3,-2.5 -3,0 -2,0; SP(2,0);"
        f"AR(3,0); {look.check()}(7,0); L 7,-2 7,-3 0,-3; L 7,2 7,3 0,3;"
        "JD(0,-3); JD(0,3); K -4,-3.6 13 7.2",
        {"A": port(0, -5, "N"), "T": port(0, 5, "S")},
        letters="A T",
        spots=("right", "left"),
    )
