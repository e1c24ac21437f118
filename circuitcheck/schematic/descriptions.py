"""What is written beside a component: its data, as the text gives them."""

from __future__ import annotations

import re

from circuitcheck.components._parts import Part

_DATA: dict[str, tuple[tuple[str, str], ...]] = {
    "tank": (("volume", "{}"),),
    "electric motor": (("power", "{}"), ("speed", "{}")),
    "engine": (("power", "{}"), ("speed", "{}")),
    "pump": (
        ("displacement", "{}"),
        ("compensator", "{}"),
        ("margin", "LS {}"),
        ("torque limit", "{}"),
        ("power limit", "{}"),
    ),
    "motor": (("displacement", "{}"),),
    "cylinder": (),
    "relief": (("set", "{}"),),
    "unloading valve": (("set", "{}"),),
    "sequence": (("set", "{}"),),
    "reducing valve": (("set", "{}"),),
    "counterbalance": (("set", "{}"), ("pilot", "{}")),
    "compensator": (("set", "{}"),),
    "check": (("cracking", "{}"),),
    "pilot check": (("ratio", "{}"),),
    "valve": (("flow", "{}"),),
    "section": (("flow", "{}"), ("limit", "{}")),
    "filter": (("fineness", "{}"), ("bypass", "bypass {}")),
    "strainer": (("fineness", "{}"), ("bypass", "bypass {}")),
    "cooler": (("heat", "{}"),),
    "orifice": (("diameter", "d {}"),),
    "throttle": (("diameter", "d {}"), ("open", "open {}")),
    "flow control": (("flow", "{}"),),
    "accumulator": (("volume", "{}"), ("precharge", "p0 {}")),
    "gauge": (("range", "0 to {}"),),
    "thermometer": (("range", "0 to {}"),),
    "flowmeter": (("range", "0 to {}"),),
    "winch": (("ratio", "ratio {}"),),
}
"""Kind -> figures that are written beside it; selection after ISO 1219-2 (from memory)."""

_STATED = ("normally open", "normally closed", "locked open")


def data_lines(part: Part) -> tuple[str, ...]:
    """Give the lines of text that stand under the code of a part."""
    if part.kind.word == "cylinder":
        return _cylinder(part)
    lines = [
        pattern.format(_neat(part.figures[name].text))
        for name, pattern in _DATA.get(part.kind.word, ())
        if part.given(name)
    ]
    lines += [phrase for phrase in _STATED if part.says(phrase)]
    return tuple(lines)


def hose_label(part: Part) -> str:
    """Give the size that is written along a hose or tube."""
    return _neat(part.figures["bore"].text) if "bore" in part.figures else ""


def _cylinder(part: Part) -> tuple[str, ...]:
    """Give bore/rod x stroke, with one unit where all three share it."""
    found = [
        _neat(part.figures[name].text) for name in ("bore", "rod", "stroke") if part.given(name)
    ]
    units = {text.rpartition(" ")[2] for text in found}
    if len(units) == 1 and found:
        found = [text.rpartition(" ")[0] for text in found]
    bore_and_rod, stroke = found[:-1], found[-1:]
    if not part.given("stroke"):
        bore_and_rod, stroke = found, []
    line = " x ".join(["/".join(bore_and_rod), *stroke]).strip()
    unit = f" {units.pop()}" if len(units) == 1 else ""
    return (line + unit,) if line else ()


def _neat(text: str) -> str:
    """Bring a figure to the sheet's form: raised figures, no name in front of it."""
    text = re.sub(r"\bum\b", "µm", text.strip())
    return re.sub(r"^0 to ", "", text)
