"""Pump: fixed, variable, over-centre, and with its control in full: spools, sensing, drain."""

from circuitcheck.symbols._parts import Anchor, Look, Symbol, port, symbol
from circuitcheck.symbols._pump_control import controlled_pump, in_short

WORD = "pump"
_SPOOLS = ("pressure compensated", "load sensing", "remote pressure")
_DIFFERENCE = ("load sensing", "remote pressure")


def draw(look: Look) -> Symbol:
    """Draw the pump; a fixed one has its shaft on the left, a controlled one on the right."""
    if any(look.chosen(control) for control in _SPOOLS):
        control = in_short if look.chosen("short form") else controlled_pump
        return control(
            load_sensing=any(look.chosen(control) for control in _DIFFERENCE),
            pressure_limited=look.chosen("pressure compensated") or "compensator" in look.has,
            torque_limited=bool(look.has & {"torque limit", "power limit"}),
            partner="Z" in look.ports,
            ruling=look.shown,
        )
    loop = look.chosen("closed loop")
    variable = loop or look.chosen("variable") or look.chosen("electric displacement")
    # the letters of a closed loop stand beside longer leads, clear of the arrow
    end = 6 if loop else 4
    text = f"PC(0,0); TO(0,-3); L 0,-3 0,{-end}; L 0,3 0,{end}; SH(-3,0,180)"
    first, second = ("A", "B") if loop else ("P", "S")
    anchors: dict[str, Anchor] = {first: port(0, -end, "N"), second: port(0, end, "S")}
    anchors["shaft"] = port(-5, 0, "W")
    if loop or look.chosen("both ways"):
        text += "; TO(0,3,180)"
    if variable:
        text += "; VA(0,0)"
    if look.chosen("electric displacement"):
        text += "; PS(3,-2)"
    for name, (x, y) in {"L": (2, end), "L1": (-2, end), "X": (-2, -end), "Z": (2, -end)}.items():
        if name in look.ports:
            text += f"; D {x},{2.24 if y > 0 else -2.24} {x},{y}"
            anchors[name] = port(x, y, "S" if y > 0 else "N", dashed=True)
    letters = " ".join(name for name in anchors if loop and name != "shaft")
    return symbol(text, anchors, letters=letters, spots=("right", "left"))
