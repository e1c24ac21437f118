"""Rotary union: a circle in the line, its leakage line below."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORDS = ("rotary union", "swivel")


def draw(look: Look) -> Symbol:
    """Draw the joint and, where it has one, the port of its leakage."""
    return symbol(
        "L -3,0 -.5,0; C 0,0 .5; L .5,0 3,0; D 0,.5 0,3",
        {"in": port(-3, 0, "W"), "out": port(3, 0, "E"), "L": port(0, 3, "S", dashed=True)},
        spots=("above", "right"),
    )
