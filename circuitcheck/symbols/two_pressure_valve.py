"""Two-pressure valve: the lower of two pressures reaches the outlet."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORDS = ("two-pressure valve", "inverse shuttle")


def draw(look: Look) -> Symbol:
    """Draw both discs on their rod, inlets left and right, outlet above."""
    # the higher pressure pushes its disc onto its seat
    x = {"1": -0.5, "2": 0.5}.get(look.shown, 0)
    seats = "L -.5,-1 -.5,-.4; L -.5,1 -.5,.4; L .5,-1 .5,-.4; L .5,1 .5,.4"
    return symbol(
        f"R -2,-1 4 2; L {x - 1},-.75 {x - 1},.75; L {x + 1},-.75 {x + 1},.75; SH({x - 1},0);"
        f"{seats};"
        "L -2,0 -4,0; L 2,0 4,0; L 0,-1 0,-3",
        {"1": port(-4, 0, "W"), "2": port(4, 0, "E"), "out": port(0, -3, "N")},
        turn=True,
        spots=("below", "above", "right"),
    )
