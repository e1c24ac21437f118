"""Counterbalance valve: holds a load, opened by its own and by the other line's pressure."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORDS = ("counterbalance", "counterbalance valve")


def draw(look: Look) -> Symbol:
    """Draw the valve with its bypass check, the load above; a vented spring opens to the air."""
    vent = "; L 4,0 4.6,0; P 4.6,-.4 4.6,.4 5.2,0" if look.chosen("vented") else ""
    x = look.arrow
    return symbol(
        f"SQ(0,0); L 0,-2 0,-5; L 0,2 0,5; V {x},-2 {x},2; D 0,-2.5 -3,-2.5 -3,0 -2,0;"
        f"D -2,1 -6,1; SP(2,0); AR(3,0); {look.check()}(7,0);"
        f"L 7,-2 7,-3 0,-3; L 7,2 7,3 0,3; JD(0,-3); JD(0,3); K -4,-3.6 13 7.2{vent}",
        {"C": port(0, -5, "N"), "V": port(0, 5, "S"), "X": port(-6, 1, "W", dashed=True)},
        letters="C V X",
        spots=("right", "left"),
    )
