"""Hose burst valve: held open by a spring, shut by fast flow from the load side above."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORDS = ("burst valve", "hose burst valve")


def draw(look: Look) -> Symbol:
    """Draw the load above and the hose below; a bleed hole stands beside the seat.

    Once shut, the ball has pressed its spring into the seat, where it is not seen.
    """
    ball = "C 0,.83 .5" if look.shows("shut") else "C 0,-1.5 .5"
    spring = "" if look.shows("shut") else "; L 0,-1 .5,-.75 -.5,-.35 .5,.05 -.5,.45 0,.7 0,1"
    text = f"L 0,-4 0,-2; {ball}; L -1,.54 0,1.54 1,.54; L 0,1.54 0,4; R -2.5,-3 5 6{spring}"
    if "bleed" in look.has:
        text += "; L 0,-2.5 1.75,-2.5 1.75,-1; OR(1.75,0); L 1.75,1 1.75,2.5 0,2.5"
    return symbol(
        text,
        {"in": port(0, -4, "N"), "out": port(0, 4, "S")},
        turn=True,
        spots=("right", "left"),
    )
