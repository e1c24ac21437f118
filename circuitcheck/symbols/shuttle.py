"""Shuttle valve: the higher of two pressures reaches the outlet."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORDS = ("shuttle", "shuttle valve")


def draw(look: Look) -> Symbol:
    """Draw the ball between its two seats, inlets left and right, outlet above."""
    # the ball shuts the inlet whose pressure is the lower one
    ball = {"1": 1, "midway": 0}.get(look.shown, -1)
    return symbol(
        f"R -2,-1 4 2; C {ball},0 .5; L -.71,-1 -1.71,0 -.71,1; L .71,-1 1.71,0 .71,1;"
        "L -1.71,0 -4,0; L 1.71,0 4,0; L 0,-1 0,-3",
        {"1": port(-4, 0, "W"), "2": port(4, 0, "E"), "out": port(0, -3, "N")},
        turn=True,
        spots=("below", "above", "right"),
    )
