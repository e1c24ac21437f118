"""The full form of a controlled pump: spools one above the other, control piston, case drain.

From below: torque limiter (its spring seat linked to the control piston), pressure
compensator, load-sensing spool. Each spool at rest joins the control piston to the next one
and the last one to the case: full stroke. Logic from memory, arrangement own choice.

In a step the spool that rules is in balance: it stands between its two squares, where it
shuts both edges; that position is drawn as a dashed square between them.

The short form names the controls in a box: LS, p (pressure), M (torque); own choice.
"""

from __future__ import annotations

from circuitcheck.symbols._parts import Anchor, Symbol, port, symbol

_STEP = 9  # height of one spool with its lines [M]
_PITCH = 4  # width of a square [M]
_MORE = 6  # room for a third square, with the spring clear of the lines beyond it [M]


def controlled_pump(
    *,
    load_sensing: bool,
    pressure_limited: bool,
    torque_limited: bool,
    partner: bool = False,
    ruling: str = "",
) -> Symbol:
    """Draw a variable pump with the named spools in one dash-dot frame, shaft to the right.

    ``ruling`` names the spool that takes the pump back: torque, pressure or load sensing.
    """
    chain = ["torque"] * torque_limited + ["pressure"] * pressure_limited
    chain += ["load sensing"] * load_sensing
    first = -8 - 2 * max(0, len(chain) - 2) - (_MORE if ruling in chain else 0)
    parts = [_pump(), _piston(first, back=ruling in chain)]
    top = end = 0
    for place, kind in enumerate(chain):
        x, y = first + 2 * place, -4 - _STEP * place
        top = y - 4
        rest = x + _PITCH if kind == ruling else x
        end = rest + 4
        parts.append(_spool(x, y, rest, last=place == len(chain) - 1, kind=kind))
        if kind == "torque":
            parts.append(f"SH({end},{y},90); L {end - 0.25},{y} {end - 0.25},2.75")
            parts.append(f"L {end + 0.25},{y} {end + 0.25},2.75")
    lead = top - 3
    left = first - 8
    parts.append(f"L 0,-3 0,{lead}; K {left},{top - 1} {4 - left} {4 - top + 1}")
    anchors: dict[str, Anchor] = {
        "P": port(0, lead, "N"),
        "S": port(0, 6, "S"),
        "L": port(2, 6, "S", dashed=True),
        "shaft": port(5, 0, "E"),
    }
    if load_sensing:
        parts.append(f"D {end},{top + 4} -2,{top + 4} -2,{lead}")
        anchors["X"] = port(-2, lead, "N", dashed=True)
    if partner:
        # the outlet of the other pump loads the torque limiter
        parts.append(f"D 2,-2.24 2,{lead}")
        anchors["Z"] = port(2, lead, "N", dashed=True)
    return symbol(
        "; ".join(parts),
        anchors,
        letters=" ".join(name for name in anchors if name != "shaft"),
        spots=("left",),
    )


def in_short(
    *,
    load_sensing: bool,
    pressure_limited: bool,
    torque_limited: bool,
    partner: bool = False,
    ruling: str = "",
) -> Symbol:
    """Draw it in short: what it controls is named in a box; sensing and case drain are kept.

    The control that rules is underlined.
    """
    named = ["LS"] * load_sensing + ["p"] * pressure_limited + ["M"] * torque_limited
    rules = {"load sensing": "LS", "pressure": "p", "torque": "M"}.get(ruling, "")
    half = max(2, len(named))
    parts = [f"PC(0,0); TO(0,-3); VA(0,0); SH(3,0); R -7,{-half} 4 {2 * half}"]
    parts += ["L 0,-3 0,-5; L 0,3 0,5; D 2,2.24 2,5"]
    for k, name in enumerate(named):
        y = 1.7 * (k - (len(named) - 1) / 2)
        parts.append(f"T -5,{y:.2f} {name}")
        if name == rules:
            parts.append(f"L -6,{y + 0.8:.2f} -4,{y + 0.8:.2f}")
    anchors: dict[str, Anchor] = {
        "P": port(0, -5, "N"),
        "S": port(0, 5, "S"),
        "L": port(2, 5, "S", dashed=True),
        "shaft": port(5, 0, "E"),
    }
    if load_sensing:
        parts.append(f"D -5,{-half} -5,-5")
        anchors["X"] = port(-5, -5, "N", dashed=True)
    if partner:
        parts.append("D 2,-2.24 2,-5")
        anchors["Z"] = port(2, -5, "N", dashed=True)
    letters = " ".join(name for name in anchors if name != "shaft")
    return symbol("; ".join(parts), anchors, letters=letters, spots=("left",))


def _pump() -> str:
    return "PC(0,0); TO(0,-3); VA(0,0); SH(3,0); L 0,3 0,6; D 2,2.24 2,6"


def _piston(first: int, *, back: bool) -> str:
    """Draw the control piston; pressure on its left face takes the pump ``back``."""
    x = first - 1
    at = x + (2.8 if back else 2)
    coil = (x + 3.5 - at) / 3
    turns = [f"{at + 0.2 + k * coil:.2f},{3.7 if k % 2 else 2.3}" for k in range(4)]
    return (
        f"R {x},2 4 2; L {at},2 {at},4; L {at},3 -3,3; L {' '.join(turns)};"
        f"L {x},-2 {x},0 {x - 1},0 {x - 1},3 {x},3"
    )


def _spool(x: int, y: int, rest: int, *, last: bool, kind: str) -> str:
    """Draw a two-position spool; ``last`` drains into the pump case, else it leads upwards.

    Its lines end at ``x``, its rest square stands at ``rest``: beside it where it is in
    balance.
    """
    text = (
        f"SQ({rest},{y}); SQ({x - 4},{y}); SP({rest + 2},{y}); AR({rest + 3},{y});"
        f"V {x - 5},{y - 2} {x - 5},{y + 2};"
        f"L 0,{y - 4} {x - 1},{y - 4} {x - 1},{y - 2}; JD(0,{y - 4});"
        f"D {x - 1},{y - 3} {x - 7},{y - 3} {x - 7},{y} {x - 6},{y}; JD({x - 1},{y - 3});"
        f"XP({rest - 1},{y - 2},180);"
    )
    if rest != x:
        tank = f"XP({x + 1},{y + 2})" if kind == "load sensing" else f"XP({x + 1},{y - 2},180)"
        text += (
            f"D {x - 2},{y - 2} {x + 2},{y - 2}; D {x - 2},{y + 2} {x + 2},{y + 2};"
            f"XP({x - 1},{y - 2},180); XP({x - 1},{y + 2}); {tank};"
        )
    if kind == "load sensing":
        # the tank side is below, so that the sensing line can come in from above
        return text + (
            f"XP({x - 3},{y + 2}); L {rest - 1},{y + 2} {rest - 1},{y + 1} {rest + 1},{y + 1};"
            f"V {rest + 1},{y + 1} {rest + 1},{y + 2};"
            f"D {x + 1},{y + 2} {x + 1},{y + 4} -1,{y + 4};"
            f"D -1,{y + 4} -1,-2.83"
        )
    text += f"V {rest - 1},{y + 2} {rest + 1},{y - 2}; XP({x - 3},{y - 2},180);"
    if last:
        return text + f"D {x + 1},{y - 2} {x + 1},{y - 3} -2,{y - 3} -2,-2.24"
    return text + f"L {x + 1},{y - 2} {x + 1},{y - _STEP + 2}"
