"""Throttle (needle valve), adjustable, with a check beside it where free return is asked."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORDS = ("throttle", "needle valve", "throttle-check")


def draw(look: Look) -> Symbol:
    """Draw the throttle; its check lets flow pass freely from out to in."""
    text = "RE(0,0)" if look.chosen("fixed") else "RE(0,0); AR(0,0)"
    reach = 2
    if look.chosen("free-flow check"):
        reach = 4
        text += (
            "; L 0,2 0,4; L 0,-2 0,-4; CK(4,0,180); L 4,2 4,3 0,3; L 4,-2 4,-3 0,-3;"
            "JD(0,3); JD(0,-3); K -2,-3.5 7.5 7"
        )
    return symbol(
        text,
        {"in": port(0, reach, "S"), "out": port(0, -reach, "N")},
        turn=True,
        spots=("right", "left"),
    )
