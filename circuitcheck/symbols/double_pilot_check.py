"""Double pilot check: two seats in one body, each lifted by pressure on the other's supply."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORDS = ("double pilot check", "double pilot-operated check")


def draw(look: Look) -> Symbol:
    """Draw both seats side by side with crossed pilots, the valve below, the load above."""
    text = (
        f"{look.check('A open')}(-3,0); {look.check('B open')}(3,0);"
        "L -3,2 -3,5; L 3,2 3,5; L -3,-2 -3,-5; L 3,-2 3,-5;"
        "D 3,1.4 -1.5,1.4 -1.5,.71 -3,.71; D -3,2.2 1.5,2.2 1.5,.71 3,.71;"
        "jd(3,1.4); jd(-3,2.2); K -5,-3 10 6"
    )
    anchors = {
        "A1": port(-3, 5, "S"),
        "B1": port(3, 5, "S"),
        "A2": port(-3, -5, "N"),
        "B2": port(3, -5, "N"),
    }
    letters = "A1 B1 A2 B2"
    if look.chosen("drained"):
        text += "; D 5,0 7,0"
        anchors["Y"] = port(7, 0, "E", dashed=True)
        letters += " Y"
    return symbol(text, anchors, letters=letters, spots=("right", "left"))
