"""Priority valve: one spool that feeds CF first, worked by the margin at CF."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORD = "priority valve"
_SPOOL = (
    "SQ(0,0); SQ(4,0); L -1,2 -1,4; V -1,2 -1,-2; XP(1,-2,180); V 3,2 5,-2; XP(3,-2,180);"
    "SP(-2,0,180)"
)


def draw(look: Look) -> Symbol:
    """Draw the valve at rest, all flow to CF; with a set flow it has a metering edge."""
    if look.chosen("set priority flow"):
        text = (
            f"{_SPOOL}; L -1,-2 -1,-4; L 1,-2 1,-10; rs(-1,-5); L -1,-6 -1,-10; L -1,4 -1,5;"
            "D -1,-3 7,-3 7,0 6,0; D -1,-7 -5,-7 -5,0 -4,0; jd(-1,-3); jd(-1,-7); K -6,-8 14 11"
        )
        anchors = {"P": port(-1, 5, "S"), "CF": port(-1, -10, "N"), "EF": port(1, -10, "N")}
        return symbol(text, anchors, letters="P CF EF", spots=("right", "left"))
    text = f"{_SPOOL}; L -1,-2 -1,-6; L 1,-2 1,-6; D -1,-3 7,-3 7,0 6,0; jd(-1,-3); D -4,0 -8,0"
    if look.chosen("dynamic"):
        text += "; D -1,-3 -2,-3; rs(-3,-3,90); D -4,-3 -5,-3 -5,0; jd(-5,0)"
    anchors = {
        "P": port(-1, 4, "S"),
        "CF": port(-1, -6, "N"),
        "EF": port(1, -6, "N"),
        "LS": port(-8, 0, "W", dashed=True),
    }
    return symbol(text, anchors, letters="P CF EF LS", spots=("right", "left"))
