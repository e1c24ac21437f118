"""Accumulator, gas loaded, always upright: gas above, oil below."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORD = "accumulator"


def draw(look: Look) -> Symbol:
    """Draw the bottle with the separator that was chosen: bladder, diaphragm or piston."""
    inside = "A 0,-1.5 2.5 37>143; TG(0,-1.5,180)"
    if look.chosen("bladder"):
        inside = "L -.5,-3.94 -1.25,-1; L .5,-3.94 1.25,-1; A 0,-1 1.25 0>180; TG(0,-1,180)"
    elif look.chosen("piston"):
        inside = "L -2,-.5 2,-.5; L -2,.5 2,.5; TG(0,-1.5,180)"
    return symbol(
        f"AC(0,0); {inside}; L 0,4 0,5", {"P": port(0, 5, "S")}, spots=("right", "left", "above")
    )
