"""Flow control valve, pressure compensated, with a check where free return is asked."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORD = "flow control"


def draw(look: Look) -> Symbol:
    """Draw the short form; its check lets flow pass freely from out to in."""
    text = "SQ(0,0); RE(0,0); AR(0,0); V 1.5,1.75 1.5,-1.75; L 0,2 0,5; L 0,-2 0,-5"
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
