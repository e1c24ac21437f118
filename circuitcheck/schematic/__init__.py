"""Draws a netlist as a hydraulic circuit diagram: places, routes, labels, checks, writes SVG."""

from circuitcheck.schematic.drawing import Drawing, NotDrawable, draw
from circuitcheck.schematic.export import FORMATS, ConverterMissingError, as_pdf, as_png
from circuitcheck.schematic.from_circuit import Extra, from_circuit
from circuitcheck.schematic.netlist import Hint, Item, Net, Netlist, Value
from circuitcheck.schematic.references import refer_to_fields
from circuitcheck.schematic.sheets import split
from circuitcheck.schematic.svg import Group, Painted, to_svg
from circuitcheck.schematic.symbol_sheet import symbol_sheet

__all__ = [
    "FORMATS",
    "ConverterMissingError",
    "Drawing",
    "Extra",
    "Group",
    "Hint",
    "Item",
    "Net",
    "Netlist",
    "NotDrawable",
    "Painted",
    "Value",
    "as_pdf",
    "as_png",
    "draw",
    "from_circuit",
    "refer_to_fields",
    "split",
    "symbol_sheet",
    "to_svg",
]
