"""Unloading valve: closed, opened by the pressure of another line at X."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORD = "unloading valve"


def draw(look: Look) -> Symbol:
    """Draw the valve hanging under the line that it unloads."""
    return symbol(
        "PV(0,0); V -1,-2 -1,2; D -2,0 -5,0; SP(2,0); AR(3,0)",
        {"P": port(0, -4, "N"), "T": port(0, 4, "S"), "X": port(-5, 0, "W", dashed=True)},
        letters="X",
        spots=("right", "left"),
    )
