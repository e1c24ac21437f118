"""Accumulator, always upright: gas, spring or weight above, oil below."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORD = "accumulator"


def draw(look: Look) -> Symbol:
    """Draw the bottle with the separator, spring or weight that was chosen."""
    inside = "A 0,-1.5 2.5 37>143; TG(0,-1.5,180)"
    if look.chosen("bladder"):
        inside = "L -.5,-3.94 -1.25,-1; L .5,-3.94 1.25,-1; A 0,-1 1.25 0>180; TG(0,-1,180)"
    elif look.chosen("piston"):
        inside = "L -2,-.5 2,-.5; L -2,.5 2,.5; TG(0,-1.5,180)"
    elif look.chosen("spring loaded"):
        inside = "L -2,.5 2,.5; L -.75,.5 .75,-.3 -.75,-1.1 .75,-1.9 -.75,-2.7 .75,-3.5"
    elif look.chosen("weight loaded"):
        inside = "L -2,.5 2,.5; R -1,-1.5 2 2"
    return symbol(
        f"AC(0,0); {inside}; L 0,4 0,5", {"P": port(0, 5, "S")}, spots=("right", "left", "above")
    )
