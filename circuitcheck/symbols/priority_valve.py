"""Priority valve: one spool that feeds CF first, worked by the margin at CF."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORD = "priority valve"
_ENDS = "V {a},2 {a},-2; XP({b},-2,180); V {c},2 {d},-2; XP({c},-2,180)"
"""Paths of both end positions: all to CF at ``a``, all to EF at ``c``."""
_BETWEEN = "D -2,-2 2,-2; D -2,2 2,2; V -1,2 -1,-2; V -1,2 1,-2"
"""The position between them, in which the spool feeds both."""


def draw(look: Look) -> Symbol:
    """Draw the valve at rest, all flow to CF; with a set flow it has a metering edge."""
    between = look.shows("between")
    left = -4 if between else 0
    ends = _ENDS.format(a=left - 1, b=left + 1, c=3, d=5)
    spool = f"SQ({left},0); SQ(4,0); {ends}; L -1,2 -1,4; SP({left - 2},0,180)"
    if between:
        spool += f"; {_BETWEEN}"
    if look.chosen("set priority flow"):
        text = (
            f"{spool}; L -1,-2 -1,-4; L 1,-2 1,-10; rs(-1,-5); L -1,-6 -1,-10; L -1,4 -1,5;"
            f"D -1,-3 7,-3 7,0 6,0; D -1,-7 {left - 5},-7 {left - 5},0 {left - 4},0;"
            f"jd(-1,-3); jd(-1,-7); K {left - 6},-8 {14 - left} 11"
        )
        anchors = {"P": port(-1, 5, "S"), "CF": port(-1, -10, "N"), "EF": port(1, -10, "N")}
        return symbol(text, anchors, letters="P CF EF", spots=("right", "left"))
    text = f"{spool}; L -1,-2 -1,-6; L 1,-2 1,-6; D -1,-3 7,-3 7,0 6,0; jd(-1,-3)"
    text += f"; D {left - 4},0 {left - 8},0"
    if look.chosen("dynamic"):
        text += f"; D -1,-3 -2,-3; rs(-3,-3,90); D -4,-3 {left - 5},-3 {left - 5},0"
        text += f"; jd({left - 5},0)"
    anchors = {
        "P": port(-1, 4, "S"),
        "CF": port(-1, -6, "N"),
        "EF": port(1, -6, "N"),
        "LS": port(left - 8, 0, "W", dashed=True),
    }
    return symbol(text, anchors, letters="P CF EF LS", spots=("right", "left"))
