"""Pump: fixed, variable, and with its control in full: spools, sensing line, drain."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol
from circuitcheck.symbols._pump_control import controlled_pump

WORD = "pump"
_CONTROLS = ("pressure compensated", "load sensing")


def draw(look: Look) -> Symbol:
    """Draw the pump; a fixed one has its shaft on the left, a controlled one on the right."""
    if any(look.chosen(control) for control in _CONTROLS) or "X" in look.ports:
        return controlled_pump(
            load_sensing=look.chosen("load sensing") or "X" in look.ports,
            pressure_limited=look.chosen("pressure compensated") or "compensator" in look.has,
            torque_limited=bool(look.has & {"torque limit", "power limit"}),
        )
    variable = look.chosen("variable")
    text = "PC(0,0); TO(0,-3); L 0,-3 0,-4; L 0,3 0,4; SH(-3,0,180)"
    anchors = {"P": port(0, -4, "N"), "S": port(0, 4, "S"), "shaft": port(-5, 0, "W")}
    if variable:
        text += "; VA(0,0)"
    if "L" in look.ports:
        text += "; D 2,2.24 2,4"
        anchors["L"] = port(2, 4, "S", dashed=True)
    return symbol(text, anchors, spots=("right", "left"))
