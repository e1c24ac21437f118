"""Draws a netlist as a hydraulic circuit diagram: places, routes, labels, checks, writes SVG."""

from circuitcheck.schematic.drawing import Drawing, NotDrawable, draw
from circuitcheck.schematic.from_circuit import from_circuit
from circuitcheck.schematic.netlist import Hint, Item, Net, Netlist, Value

__all__ = [
    "Drawing",
    "Hint",
    "Item",
    "Net",
    "Netlist",
    "NotDrawable",
    "Value",
    "draw",
    "from_circuit",
]
