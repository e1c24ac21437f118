"""Pressure-reducing valve: open, senses its outlet, outside drain."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORD = "reducing valve"


def draw(look: Look) -> Symbol:
    """Draw the valve with flow upwards; three-port ones keep their tank line at T."""
    text = "PV(0,0); V 0,2 0,-2; D 0,-3 -3,-3 -3,0 -2,0; SP(2,0); AR(3,0); D 4,0 5,0 5,4"
    tank = "T" if "T" in look.ports else "Y"
    anchors = {"P": port(0, 4, "S"), "A": port(0, -4, "N"), tank: port(5, 4, "S", dashed=True)}
    return symbol(text, anchors, spots=("right", "left"))
