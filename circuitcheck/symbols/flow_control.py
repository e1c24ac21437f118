"""Flow control valve, pressure compensated, with the check or the four checks it has."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORD = "flow control"


def draw(look: Look) -> Symbol:
    """Draw the short form; its check lets flow pass freely from out to in."""
    text = "SQ(0,0); RE(0,0); AR(0,0); V 1.5,1.75 1.5,-1.75"
    if not look.chosen("not temperature compensated"):
        text += "; L -1.5,-1.5 -1.5,1; B -1.5,1.25 .3"
    if look.chosen("controlled both ways"):
        return _bridge(text)
    text += "; L 0,2 0,5; L 0,-2 0,-5"
    if look.chosen("free-flow check"):
        text += (
            "; CK(4,0,180); L 4,2 4,3.25 0,3.25; L 4,-2 4,-3.25 0,-3.25;"
            "JD(0,3.25); JD(0,-3.25); K -3,-4 8.5 8"
        )
    return symbol(
        text,
        {"in": port(0, 5, "S"), "out": port(0, -5, "N")},
        turn=True,
        spots=("right", "left"),
    )


def _bridge(core: str) -> Symbol:
    """Draw the valve in the middle of four checks: both ends feed its foot, its head both."""
    text = (
        f"{core}; L 0,2 0,3 -5,3; L 0,-2 0,-3 5,-3; L -5,-4 -5,4; L 5,-4 5,4; JD(-5,3); JD(5,-3);"
        "CK(-5,6); CK(-5,-6,180); CK(5,-6); CK(5,6,180); L -5,8 -5,9 5,9 5,8; L 0,9 0,11;"
        "L -5,-8 -5,-9 5,-9 5,-8; L 0,-9 0,-11; JD(0,9); JD(0,-9); K -7,-10 14 20"
    )
    return symbol(
        text,
        {"in": port(0, 11, "S"), "out": port(0, -11, "N")},
        turn=True,
        spots=("right", "left"),
    )
