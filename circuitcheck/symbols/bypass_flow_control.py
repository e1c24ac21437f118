"""Three-port flow control: metering edge, and a bypass that its drop opens."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORDS = ("bypass flow control", "three-port flow control")


def draw(look: Look) -> Symbol:
    """Draw the full form; with a pressure limit the spring chamber has a pilot to tank."""
    x, pilot = 6 + look.arrow, 19 if look.shows("pilot") else 18
    text = (
        "RE(0,0); AR(0,0); L 0,2 0,12; L 0,-2 0,-4; L 0,3 6,3 6,4; JD(0,3); SQ(6,6);"
        f"V {x},4 {x},8; L 6,8 6,12; D 3,3 3,6 4,6; JD(3,3); SP(8,6); JD(0,-2.5);"
    )
    if "limit" in look.has:
        text += (
            "D 0,-2.5 4,-2.5; OR(5,-2.5,90); D 6,-2.5 19,-2.5; D 11,-2.5 11,6 10,6; JD(11,-2.5);"
            f"D 19,-2.5 19,0; SQ(19,2); V {pilot},0 {pilot},4;"
            "D 19,-1.5 16,-1.5 16,2 17,2; JD(19,-1.5);"
            "SP(21,2); AR(22,2); D 19,4 19,9 6,9; JD(6,9); K -3,-3.5 28 13"
        )
    else:
        text += "D 0,-2.5 11,-2.5 11,6 10,6; K -3,-3.25 15 12.5"
    anchors = {"in": port(0, 12, "S"), "out": port(0, -4, "N"), "T": port(6, 12, "S")}
    return symbol(text, anchors, letters="T", spots=("right", "left"))
