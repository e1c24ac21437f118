"""Filter or strainer, with its bypass where it has one."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORDS = ("filter", "strainer")


def draw(look: Look) -> Symbol:
    """Draw the diamond with the dashed element across the flow."""
    if "indicator" in look.has and "bypass" not in look.has:
        return symbol(
            "DI(0,0); D 0,-2.83 0,2.83; L -2.83,0 -5,0; L 2.83,0 5,0;"
            "D -4,0 -4,6 -2,6; D 4,0 4,6 2,6; JD(-4,0); JD(4,0); IC(0,6); T 0,6 dp",
            {"in": port(-5, 0, "W"), "out": port(5, 0, "E")},
        )
    if "bypass" not in look.has:
        return symbol(
            "DI(0,0); D 0,-2.83 0,2.83; L -2.83,0 -4,0; L 2.83,0 4,0",
            {"in": port(-4, 0, "W"), "out": port(4, 0, "E")},
            turn=True,
        )
    past = "SL" if look.shows("check") else "CS"
    return symbol(
        f"DI(0,0); D 0,-2.83 0,2.83; L -2.83,0 -5,0; L 2.83,0 5,0; {past}(0,-5,90);"
        "L -4,0 -4,-5 -2,-5; L 2,-5 4,-5 4,0; JD(-4,0); JD(4,0); K -4.5,-6.5 9 10",
        {"in": port(-5, 0, "W"), "out": port(5, 0, "E")},
        turn=True,
    )
