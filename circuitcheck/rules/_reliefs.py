"""Reliefs that pass oil in a solved step."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from circuitcheck.components._parts import Part
from circuitcheck.components._pump_controls import is_loop
from circuitcheck.rules._case import Case
from circuitcheck.rules._pumps import RELIEFS, charges_loop, guards
from circuitcheck.solver.operating import OperatingPoint


@dataclass(frozen=True)
class Passing:
    """A relief in a step: what it passes [m3/s], at which pressure [Pa], its heat [W]."""

    relief: Part
    point: OperatingPoint
    flow: float
    pressure: float
    heat: float
    pumped: float
    pumps: tuple[Part, ...]

    @property
    def share(self) -> float:
        """Of what the pumps on this relief deliver."""
        return self.flow / self.pumped if self.pumped > 0.0 else 1.0


def passing(case: Case, least: float, share: float) -> Iterator[Passing]:
    """Give the reliefs that pass more than ``least`` [m3/s] and ``share`` of the pump flow.

    Only reliefs that guard a pump, and port reliefs set above them: a relief far below the
    pump's own (a back-pressure valve, the charge or flushing relief of a closed loop) passes
    oil by design.
    """
    guarded: dict[str, list[Part]] = {}
    crossing: list[Part] = []
    charging: list[Part] = []
    for pump in case.of_kind("pump"):
        if is_loop(pump):
            crossing += guards(case, pump)
        elif charges_loop(case, pump):
            charging += guards(case, pump)
        else:
            for relief in guards(case, pump):
                guarded.setdefault(relief.name, []).append(pump)
    settings = [case.circuit.parts[name].figure("set") or 0.0 for name in guarded]
    settings += [relief.figure("set") or 0.0 for relief in crossing]
    lowest = min(settings, default=0.0)
    by_design = max((relief.figure("set") or 0.0 for relief in charging), default=0.0)
    for point in case.points:
        for relief in case.of_kind(*RELIEFS):
            setting = relief.figure("set") or 0.0
            if relief.name not in guarded and (setting < lowest or setting <= by_design):
                continue
            state = point.parts[relief.name]
            pumps = guarded.get(relief.name) or case.of_kind("pump")
            pumped = sum(max(point.parts[p.name].values["flow"], 0.0) for p in pumps)
            flow = state.values["flow"]
            if flow > max(least, share * pumped):
                pressure = state.values["pressure"]
                heat = flow * state.values["drop"]
                yield Passing(relief, point, flow, pressure, heat, pumped, tuple(pumps))
