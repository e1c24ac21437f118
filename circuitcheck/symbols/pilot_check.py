"""Pilot-operated check valve: free flow upwards, opened against it by pressure at X."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORDS = ("pilot check", "pilot-operated check")


def draw(look: Look) -> Symbol:
    """Draw ball and seat with the pilot that lifts the ball; a drained piston has a drain."""
    text = (
        f"{look.check('open')}(0,0); L 0,-2 0,-3; L 0,2 0,3; R -2.5,-2.5 4 5;"
        "D -5,1 -4,1 -4,1.5 -2,1.5 -2,.71 0,.71"
    )
    anchors = {"in": port(0, 3, "S"), "out": port(0, -3, "N"), "X": port(-5, 1, "W", dashed=True)}
    if look.chosen("drained"):
        text += "; D 1.5,1 4,1"
        anchors["Y"] = port(4, 1, "E", dashed=True)
    letters = " ".join(name for name in anchors if name in "XY")
    return symbol(text, anchors, letters=letters, spots=("right", "left"))
