"""Anti-cavitation checks: from a return line below into both work lines above."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORDS = ("anti-cavitation", "anti-cavitation checks")


def draw(look: Look) -> Symbol:
    """Draw both checks with free flow upwards."""
    return symbol(
        f"{look.check('feeding A')}(-3,0); {look.check('feeding B')}(3,0);"
        "L -3,-2 -3,-4; L 3,-2 3,-4; L -3,2 3,2; JD(0,2); L 0,2 0,5; K -5,-2.5 10 5.25",
        {"T": port(0, 5, "S"), "A": port(-3, -4, "N"), "B": port(3, -4, "N")},
        letters="A B T",
        spots=("right", "left"),
    )
