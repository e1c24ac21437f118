"""What a step writes on the sheet: values beside ports, readings beside instruments."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import TYPE_CHECKING

from circuitcheck.basics.quantities import show, unit_label
from circuitcheck.circuit.model import Circuit
from circuitcheck.schematic.netlist import Value

if TYPE_CHECKING:
    from circuitcheck.components._parts import Part
    from circuitcheck.solver.operating import OperatingPoint

HELD = "held by leakage"
"""Status of a closed volume, as the solver names it."""

_BOTH, _PRESSURE, _FLOW = (True, True), (True, False), (False, True)
_SHOWN: dict[str, tuple[tuple[str, tuple[bool, bool]], ...]] = {
    "pump": (("P", _BOTH), ("A", _BOTH), ("B", _PRESSURE), ("X", _PRESSURE)),
    "hand pump": (("P", _BOTH),),
    "cylinder": (("cap", _BOTH), ("rod", _BOTH)),
    "telescopic cylinder": (("cap", _BOTH), ("rod", _BOTH)),
    "motor": (("A", _BOTH), ("B", _PRESSURE)),
    "rotary actuator": (("A", _BOTH), ("B", _PRESSURE)),
    "intensifier": (("H", _BOTH),),
    "brake": (("R", _PRESSURE),),
    "relief": (("P", _FLOW),),
    "port relief": (("T", _FLOW),),
    "bypass flow control": (("out", _FLOW), ("T", _FLOW)),
    "flow divider": (("A", _FLOW), ("B", _FLOW)),
    "priority valve": (("CF", _FLOW), ("EF", _FLOW)),
    "unloading valve": (("T", _FLOW),),
    "accumulator": (("P", _PRESSURE),),
    "section": (("LS", _PRESSURE),),
}
"""Kind -> ports beside which a step's values stand, and which: pressure, flow."""
_READ = {
    "gauge": "pressure",
    "test point": "pressure",
    "pressure switch": "pressure",
    "flowmeter": "flow",
    "thermometer": "temperature",
}
"""Instrument -> what it shows."""
_LEAST_FLOW = 1.7e-6
"""Flows below are leakage and written as 0 [m3/s] (0.1 L/min; our own choice)."""
_FINEST_FLOW = 1e-5 / 60
"""A sheet gives flows no finer than this [m3/s] (0.01 L/min; our own choice)."""
_LEAST_PRESSURE = 1e3
"""A sheet gives pressures no finer than this [Pa] (0.01 bar; our own choice)."""


_UNKNOWN = "?"
"""What stands for a figure that nothing decides."""


def values_of(circuit: Circuit, point: OperatingPoint) -> Iterable[Value]:
    """Write pressure and flow of a step beside the ports that matter, each net once."""
    seen: set[str] = set()
    for name, part in circuit.parts.items():
        ports = point.parts[name].ports if name in point.parts else {}
        for letter, (with_pressure, with_flow) in _SHOWN.get(part.kind.word, ()):
            junction = circuit.junction_of(name, letter)
            if junction is None or letter not in ports:
                continue
            if with_pressure and junction.name not in seen:
                seen.add(junction.name)
                yield Value(name, letter, _pressure(circuit, point, junction.name))
            if with_flow:
                yield Value(name, letter, _flow(circuit, ports[letter].flow))


def reading(circuit: Circuit, part: Part, point: OperatingPoint | None) -> tuple[str, ...]:
    """Write what an instrument shows in a step; nothing where that is not known."""
    shown = _READ.get(part.kind.word, "")
    if point is None or not shown:
        return ()
    if shown == "pressure":
        junction = circuit.junction_of(part.name, part.ports[0].letter)
        return () if junction is None else (f"reads {_pressure(circuit, point, junction.name)}",)
    value = point.parts[part.name].values.get(shown, math.nan)
    if not math.isfinite(value):
        return ()
    if shown == "flow":
        return (f"reads {_flow(circuit, value)}",)
    return (f"reads {show(value, shown, circuit.units)}",)


def widest_reading(circuit: Circuit, part: Part) -> str:
    """Give the widest text that an instrument may get, in any step."""
    shown = _READ.get(part.kind.word, "")
    return f"reads (88.88 {unit_label(shown, circuit.units)})" if shown else ""


def _flow(circuit: Circuit, flow: float) -> str:
    if math.isnan(flow):
        return _UNKNOWN
    size = abs(flow) if abs(flow) > _LEAST_FLOW else 0.0
    return show(_FINEST_FLOW * round(size / _FINEST_FLOW), "flow", circuit.units)


def _pressure(circuit: Circuit, point: OperatingPoint, junction: str) -> str:
    """Write a pressure, in brackets if only leakage decides it, a mark if nothing does."""
    state = point.junctions[junction]
    if math.isnan(state.pressure):
        return _UNKNOWN
    rounded = _LEAST_PRESSURE * round(state.pressure / _LEAST_PRESSURE)
    text = show(rounded, "pressure", circuit.units)
    return f"({text})" if state.status == HELD else text
