"""Rotary actuator: half circle with a triangle for each direction, shaft upwards."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORD = "rotary actuator"


def draw(look: Look) -> Symbol:
    """Draw the half circle; vane and rack have one symbol."""
    return symbol(
        "A 0,0 3 180>360; L -3,0 3,0; F -2.5,0 -1.5,0 -2,-.87; F 2.5,0 1.5,0 2,-.87;"
        "L -2,0 -2,2; L 2,0 2,2; SH(0,-3,-90)",
        {"A": port(-2, 2, "S"), "B": port(2, 2, "S"), "shaft": port(0, -5, "N")},
        letters="A B",
        spots=("right", "left"),
    )
