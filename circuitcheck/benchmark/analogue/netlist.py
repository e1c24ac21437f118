"""Writes all elements of a circuit as lines of a network, for one step.

The laws are written a second time, from their description, for a general network
simulator that has its own Newton and takes its own derivatives.
"""

from __future__ import annotations

from dataclasses import dataclass

from circuitcheck.benchmark.analogue import machines, passages, tables
from circuitcheck.benchmark.analogue.bricks import SPEED, STILL, Bricks
from circuitcheck.laws.library import LAWS

__all__ = ["SPEED", "STILL", "Netlist"]

TRANSLATORS = passages.TRANSLATORS | machines.TRANSLATORS | tables.TRANSLATORS


@dataclass
class Netlist(Bricks):
    """A network that is written from a system."""

    def write(self) -> Netlist:
        turning = {
            element.terminals[0]: element.coefficients["idle"][self.variant]
            for element in self.system.elements
            if element.law == "slip"
        }
        for index, unknown in enumerate(self.system.unknowns):
            node = f"n{index}"
            self.nodes.append(node)
            if self.held or unknown.pinned[self.variant]:
                value = self.held[index] if self.held else unknown.pin[self.variant]
                volts = value / SPEED[unknown.kind]
                self.lines.append(f"Vpin{index} {node} 0 {volts:.17g}")
            else:
                size = 1e-4 if unknown.kind == "pressure" else 1e-2
                # let go from rest, a drive that slips turns already: it does not start here
                start = turning.get(index, 0.0) / SPEED[unknown.kind]
                self.lines.append(f"Cn{index} {node} 0 {size} ic={start:.17g}")
        for element in self.system.elements:
            figures = {
                name: float(element.coefficients[name][self.variant])
                if name in element.coefficients and element.coefficients[name].ndim == 1
                else default
                for name, default in LAWS[element.law].coefficients.items()
            }
            TRANSLATORS[element.law](self, element, figures)
        return self
