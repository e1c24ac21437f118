"""Motor brake valve: a counterbalance element in each line, crossed pilots, extras between."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORDS = ("brake valve", "motor brake valve")

_ELEMENT = (
    "SQ({x},0); L {x},-2 {x},{top}; L {x},2 {x},11; V {y},-2 {y},2;"
    "L {x},-3.5 {c},-3.5 {c},-2; L {x},4 {c},4 {c},2; {check}({c},0); JD({x},-3.5); JD({x},4)"
)
"""One element: ``x`` its line, ``y`` its arrow, ``c`` its check (``check``), ``top`` its end."""


def draw(look: Look) -> Symbol:
    """Draw the motor above and the valve below; A on the left, B on the right."""
    shock, feed = look.chosen("crossport reliefs"), look.chosen("anti-cavitation")
    top = -6 - (15 if shock else 0) - (3 if feed else 0)
    a, b = -9 if look.shows("A open") else -10, 9 if look.shows("B open") else 10
    text = [
        _ELEMENT.format(x=-9, y=a, c=-15, check=look.check("A check"), top=top - 3),
        _ELEMENT.format(x=9, y=b, c=15, check=look.check("B check"), top=top - 3),
        # own pilots from the load side, springs towards the middle
        "D -9,-2.75 -12,-2.75 -12,-.75 -11,-.75; SP(-7,0); AR(-6,0)",
        "D 9,-2.75 12,-2.75 12,-.75 11,-.75; SP(7,0,0,m); AR(6,0)",
        # crossed pilots, each from the other line's valve side
        "D 9,6 -12,6 -12,.75 -11,.75; jd(9,6); D -9,8 12,8 12,.75 11,.75; jd(-9,8)",
    ]
    level = -6
    if shock:
        text += [_reliefs(-9), _reliefs(-17, back=True)]
        level = -21
    anchors = {
        "A1": port(-9, 11, "S"),
        "B1": port(9, 11, "S"),
        "A2": port(-9, top - 3, "N"),
        "B2": port(9, top - 3, "N"),
    }
    if feed:
        y = level
        text.append(
            f"CK(-5,{y},270); L -7,{y} -9,{y}; L -3,{y} 3,{y}; CK(5,{y},90); L 7,{y} 9,{y};"
            f"JD(-9,{y}); JD(9,{y}); JD(4,{y}); L 4,{y} 4,11"
        )
        anchors["T"] = port(4, 11, "S")
    text.append(f"K -17,{top} 34 {9.5 - top}")
    letters = " ".join(anchors)
    return symbol("; ".join(text), anchors, letters=letters, spots=("right", "left"))


def _reliefs(y: float, *, back: bool = False) -> str:
    """One relief between the motor sides at height ``y``, from A to B or ``back``."""
    way = -1 if back else 1
    return (
        f"SQ(0,{y}); V {-2 * way},{y - 1} {2 * way},{y - 1}; L -9,{y} -2,{y}; L 2,{y} 9,{y};"
        f"JD(-9,{y}); JD(9,{y}); D {-3 * way},{y} {-3 * way},{y - 3} 0,{y - 3} 0,{y - 2};"
        f"SP(0,{y + 2},90); AR(0,{y + 3})"
    )
