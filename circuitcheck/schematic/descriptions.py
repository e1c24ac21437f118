"""What is written beside a component: its data, as the text gives them."""

from __future__ import annotations

import math
import re

from circuitcheck.basics.quantities import show
from circuitcheck.circuit.model import Circuit
from circuitcheck.components._parts import Part
from circuitcheck.components.telescopic_cylinder import ORDER

SIZES = ("bore", "rod", "stroke")

_DATA: dict[str, tuple[tuple[str, str], ...]] = {
    "tank": (("volume", "{}"), ("least", "{} min"), ("most", "{} max")),
    "electric motor": (("power", "{}"), ("speed", "{}"), ("poles", "{} poles")),
    "engine": (("power", "{}"), ("speed", "{}")),
    "pump": (
        ("displacement", "{}"),
        ("compensator", "{}"),
        ("margin", "LS {}"),
        ("torque limit", "{}"),
        ("power limit", "{}"),
    ),
    "hand pump": (("displacement", "{}"),),
    "motor": (("displacement", "{}"),),
    "rotary actuator": (("displacement", "{}"), ("bore", "d {}"), ("swing", "{}")),
    "cylinder": (),
    "telescopic cylinder": (),
    "intensifier": (("ratio", "{}"), ("bore", "{}"), ("plunger", "d {}"), ("stroke", "x {}")),
    "relief": (("set", "{}"),),
    "port relief": (("set", "{}"),),
    "crossport relief": (("set", "{}"),),
    "unloading valve": (("set", "{}"), ("shuts", "shuts {}")),
    "sequence": (("set", "{}"),),
    "reducing valve": (("set", "{}"),),
    "counterbalance": (("set", "{}"), ("pilot", "{}")),
    "compensator": (("set", "{}"),),
    "check": (("cracking", "{}"),),
    "pilot check": (("ratio", "{}"),),
    "double pilot check": (("ratio", "{}"),),
    "brake valve": (("set", "{}"), ("pilot", "{}"), ("relief", "relief {}")),
    "burst valve": (("closes", "closes {}"), ("bleed", "d {}")),
    "cartridge": (("area A", "A {}"), ("spring", "{}"), ("flow", "{}")),
    "flushing valve": (("flow", "{}"), ("shifts", "{}")),
    "valve": (("flow", "{}"), ("size", "size {}")),
    "section": (("flow", "{}"), ("limit", "{}")),
    "bank section": (("flow", "{}"),),
    "flow divider": (("flow", "{}"), ("share A", "A {}")),
    "gear divider": (("displacement", "{}"), ("sections", "{} sections")),
    "priority valve": (("priority", "CF {}"), ("set", "{}")),
    "filter": (
        ("fineness", "{}"),
        ("beta", "beta {}"),
        ("bypass", "bypass {}"),
        ("indicator", "shows at {}"),
    ),
    "strainer": (("fineness", "{}"), ("bypass", "bypass {}")),
    "cooler": (("heat", "{}"), ("coolant flow", "coolant {}")),
    "heater": (("power", "{}"), ("set", "to {}")),
    "breather": (("fineness", "{}"), ("flow", "{} air")),
    "orifice": (("diameter", "d {}"),),
    "throttle": (("diameter", "d {}"), ("open", "open {}"), ("flow", "{}")),
    "throttle-check": (("diameter", "d {}"), ("open", "open {}"), ("flow", "{}")),
    "flow control": (("flow", "{}"),),
    "bypass flow control": (("flow", "{}"), ("limit", "{}")),
    "gallery": (("bore", "d {}"),),
    "accumulator": (("volume", "{}"), ("precharge", "p0 {}")),
    "gauge": (("range", "0 to {}"),),
    "thermometer": (("range", "0 to {}"),),
    "flowmeter": (("range", "0 to {}"),),
    "pressure switch": (("set", "{}"),),
    "winch": (("ratio", "ratio {}"),),
    "wheel": (("radius", "r {}"), ("ratio", "ratio {}")),
    "brake": (("torque", "{}"), ("release", "lifts at {}")),
    "gearbox": (("ratio", "ratio {}"),),
    "belt": (("ratio", "ratio {}"), ("driving pulley", "d {}"), ("driven pulley", "to d {}")),
    "clutch": (("torque limit", "{}"),),
}
"""Kind -> figures that are written beside it; selection after ISO 1219-2 (from memory)."""

_STATED = (
    "normally open", "normally closed", "locked open", "closed loop", "makes at setting",
    "breaks at setting", "differential", "reciprocating", "single stroke",
)  # fmt: skip
"""Phrases that are written out."""


def data_lines(part: Part, circuit: Circuit) -> tuple[str, ...]:
    """Give the lines of text that stand under the code of a part: its purpose, its data."""
    return (*((part.purpose,) if part.purpose else ()), *_data_of(part, circuit))


def _data_of(part: Part, circuit: Circuit) -> tuple[str, ...]:
    if part.kind.word == "cylinder":
        return _sizes([part.figures[name].text for name in SIZES if part.given(name)], part)
    if part.kind.word == "telescopic cylinder":
        stages = [f"{order} stage" for order in ORDER]
        return _sizes([part.figures[n].text for n in (*stages, "stroke") if part.given(n)], part)
    lines = [
        pattern.format(_neat(part.figures[name].text))
        for name, pattern in _DATA.get(part.kind.word, ())
        if part.given(name)
    ]
    if lines and part.given("drop") and _continuous(part):
        lines[0] += f" at {_neat(part.figures['drop'].text)}"
    lines += [phrase for phrase in _STATED if part.says(phrase)]
    if part.kind.word == "shut-off" and not lines:
        lines.append("normally open")
    return (*lines, *_ideal_flow(part, circuit))


def _continuous(part: Part) -> bool:
    """Tell whether a valve is a proportional or servo valve, whose rated flow needs its drop."""
    said = " ".join(part.many.get("actuation", ()))
    return part.kind.word == "valve" and ("proportional" in said or "servo" in said)


def _ideal_flow(part: Part, circuit: Circuit) -> tuple[str, ...]:
    """Give the rated flow of a fixed pump: without losses, at the speed that its drive is given."""
    drive = circuit.parts.get(part.driven_by or "")
    if drive is None or part.kind.word != "pump" or not part.says("fixed"):
        return ()
    size = part.figures["displacement"].value if part.given("displacement") else None
    speed = drive.figures["speed"].value if drive.given("speed") else None
    if size is None or speed is None:
        return ()
    return (show(size * speed / (2.0 * math.pi), "flow", circuit.units),)


def hose_label(part: Part) -> str:
    """Give the size that is written along a hose or tube."""
    if "bore" not in part.figures:
        return ""
    return _neat(part.figures["bore"].text).removeprefix("bore of ")


def _sizes(texts: list[str], part: Part) -> tuple[str, ...]:
    """Give bore/rod x stroke, or stage/stage x stroke, with one unit where all share it."""
    found = [_neat(text) for text in texts]
    units = {text.rpartition(" ")[2] for text in found}
    if len(units) == 1 and found:
        found = [text.rpartition(" ")[0] for text in found]
    across, stroke = found[:-1], found[-1:]
    if not part.given("stroke"):
        across, stroke = found, []
    line = " x ".join(["/".join(across), *stroke]).strip()
    unit = f" {units.pop()}" if len(units) == 1 else ""
    return (line + unit,) if line else ()


def _neat(text: str) -> str:
    """Bring a figure to the sheet's form: raised figures, no name in front of it."""
    text = re.sub(r"\bum\b", "µm", text.strip())
    text = re.sub(r"\b([cdm]?m)3\b", r"\1³", text)
    return re.sub(r"^0 to ", "", text)
