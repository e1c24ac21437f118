"""Breather with its air filter, upright on the tank."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORDS = ("breather", "air filter")


def draw(look: Look) -> Symbol:
    """Draw the small diamond with the dashed element across the air, open to the air above."""
    return symbol(
        "P 0,-1.41 1.41,0 0,1.41 -1.41,0; D -1.41,0 1.41,0; L 0,1.41 0,3; TG(0,-2.5,180)",
        {"tank": port(0, 3, "S")},
        mirror=False,
        spots=("right", "left", "above"),
    )
