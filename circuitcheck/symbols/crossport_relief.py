"""Cross-port relief: a relief each way between two lines, with or without make-up checks."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORDS = ("crossport relief", "crossport reliefs")

_RELIEFS = (
    "SQ(0,-4); V -2,{to_b} 2,{to_b}; L -9,-4 -2,-4; L 2,-4 9,-4; JD(-9,-4); JD(9,-4);"
    "D -3,-4 -3,-7 0,-7 0,-6; SP(0,-2,90); AR(0,-1);"
    "SQ(0,4); V 2,{to_a} -2,{to_a}; L 9,4 2,4; L -2,4 -9,4;"
    "D 3,4 3,1 0,1 0,2; SP(0,6,90); AR(0,7)"
)
_FEED = (
    "{a}(-5,11,270); L -7,11 -9,11; L -3,11 3,11; {b}(5,11,90); L 7,11 9,11;"
    "L 0,11 0,15; JD(0,11); JD(-9,4); JD(9,4)"
)


def draw(look: Look) -> Symbol:
    """Draw line A on the left and B on the right, the reliefs between them."""
    feed = look.chosen("anti-cavitation")
    end = 11 if feed else 4
    reliefs = _RELIEFS.format(
        to_b=-4 if look.shows("A to B") else -5, to_a=4 if look.shows("B to A") else 3
    )
    text = f"L -9,-10 -9,{end}; L 9,-10 9,{end}; {reliefs}"
    anchors = {"A": port(-9, -10, "N"), "B": port(9, -10, "N")}
    if feed:
        anchors["T"] = port(0, 15, "S")
        checks = _FEED.format(a=look.check("feeding A"), b=look.check("feeding B"))
        text += f"; {checks}; K -10,-8 20 21"
    else:
        text += "; K -10,-8 20 17"
    return symbol(text, anchors, letters=" ".join(anchors), spots=("right", "left"))
