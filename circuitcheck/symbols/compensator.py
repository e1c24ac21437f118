"""Section compensator before a spool: keeps the drop over it, LS on the spring side."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORD = "compensator"


def draw(look: Look) -> Symbol:
    """Draw the valve open, with flow upwards."""
    x = -look.closing
    return symbol(
        f"SQ(0,0); V {x},2 {x},-2; L 0,2 0,4; L 0,-2 0,-4; D 0,-3 3,-3 3,0 2,0; SP(-2,0,180);"
        "D -4,0 -6,0",
        {"P": port(0, 4, "S"), "A": port(0, -4, "N"), "X": port(-6, 0, "W", dashed=True)},
        letters="P A X",
        left="A",
        spots=("right", "left"),
    )
