"""What of a solved step is shown in colour: pressures, flows and losses by pin and item."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from circuitcheck.basics.quantities import show
from circuitcheck.circuit.model import Circuit

if TYPE_CHECKING:
    from circuitcheck.schematic.netlist import Pin
    from circuitcheck.solver.operating import OperatingPoint


@dataclass(frozen=True)
class Seen:
    """Figures of one step: pressure [Pa] and flow into the part [m3/s] by pin, loss [W] by item.

    What is not known is left out. ``scales`` are the texts along the scales of pressure, flow
    and loss: at their start, their middle and their end, there with the unit.
    """

    pressure: Mapping[Pin, float]
    flow: Mapping[Pin, float]
    loss: Mapping[str, float]
    scales: tuple[tuple[str, str, str], ...] = ()

    @property
    def most(self) -> tuple[float, float, float]:
        """Give the greatest pressure, flow and loss; 0 where there is none."""
        return (
            max((p for p in self.pressure.values()), default=0.0),
            max((abs(q) for q in self.flow.values()), default=0.0),
            max((w for w in self.loss.values()), default=0.0),
        )


def seen_in(circuit: Circuit, point: OperatingPoint) -> Seen:
    """Collect the figures of a solved step for the pins and items of its drawing."""
    pressure: dict[Pin, float] = {}
    flow: dict[Pin, float] = {}
    loss: dict[str, float] = {}
    for name, state in point.parts.items():
        if circuit.parts[name].kind.word == "line":
            continue
        tank = circuit.parts[name].kind.word == "tank"
        for letter, port in state.ports.items():
            pin = (name, "T" if tank else letter)
            junction = circuit.junction_of(name, letter)
            known = junction is not None and math.isfinite(point.junctions[junction.name].pressure)
            if junction is not None and known:
                pressure[pin] = point.junctions[junction.name].pressure
            if math.isfinite(port.flow):
                flow[pin] = port.flow
        if math.isfinite(state.loss) and state.loss > 0.0:
            loss[name] = state.loss
    seen = Seen(pressure, flow, loss)
    kinds = ("pressure", "flow", "power")
    scales = tuple(
        ("0", _bare(most / 2, kind, circuit), show(most, kind, circuit.units))
        for most, kind in zip(seen.most, kinds, strict=True)
    )
    return replace(seen, scales=scales)


def _bare(value: float, kind: str, circuit: Circuit) -> str:
    """Write a figure without its unit."""
    return show(value, kind, circuit.units).rpartition(" ")[0]
