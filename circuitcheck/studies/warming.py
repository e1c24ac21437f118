"""How fast the oil warms, and what must take its heat to hold a temperature."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.interpolate import PchipInterpolator

from circuitcheck.circuit.model import Circuit
from circuitcheck.components.tank import coefficient
from circuitcheck.laws.smoothing import Array
from circuitcheck.studies.heat import SIDES, Equilibrium

STEEL = 480.0
"""Specific heat of steel [J/(kg K)]; common practice, no source."""

POINTS = 400
ALMOST = 0.98
"""Share of the whole rise up to which warming is followed; the rest takes for ever."""

DWELL = {"engine": 60.0, "": 180.0}
"""Time that the mean return flow should stay in the tank [s]: 3 minutes, 1 on a vehicle;
common practice, no source."""


@dataclass(frozen=True)
class Warming:
    """Oil temperature [degC] over time [s] from a cold start, arrays (points,).

    ``capacity``: heat that the oil (and metal) takes up a kelvin [J/K].
    """

    time: Array
    degC: Array
    capacity: float
    settles: float

    def after(self, time: float) -> float:
        """Temperature after a time [degC]."""
        return float(np.interp(time, self.time, self.degC))

    def until(self, degC: float) -> float | None:
        """Time until a temperature is reached [s]; None where it is not followed so far."""
        if not self.degC[0] <= degC <= self.degC[-1]:
            return None
        return float(np.interp(degC, self.degC, self.time))

    def share(self, share: float) -> float:
        """Time until a share of the whole rise [s], the share at most 0.98."""
        found = self.until(self.degC[0] + share * (self.settles - self.degC[0]))
        assert found is not None
        return found


def warming(circuit: Circuit, found: Equilibrium, metal: float = 0.0) -> Warming | None:
    """Follow the oil from the cold to where it settles, the cycle running all the time.

    C dT/dt = heat made - heat taken, both as they are at T, so dt = C dT/(made - taken).

    Parameters
    ----------
    circuit
    found
        Equilibrium of heat of the circuit
    metal
        Steel that warms with the oil [kg]

    Returns
    -------
    Warming
        None where the oil does not settle, is not warmed, or the volume of a tank is missing.
    """
    volumes = [tank.figure("volume") for tank in circuit.of_kind("tank")]
    known = [volume for volume in volumes if volume is not None]
    start = float(found.balance.degC[0])
    if found.degC is None or not known or len(known) < len(volumes):
        return None
    if found.degC - start < 0.5:
        return None
    oil = circuit.oil
    middle = 0.5 * (start + found.degC)
    capacity = sum(known) * float(oil.rho(middle)) * oil.specific_heat + metal * STEEL
    rows = found.balance
    below = rows.known & (rows.degC < found.degC - 1e-6)
    knots = np.append(rows.degC[below], found.degC)
    net = PchipInterpolator(knots, np.append(rows.net[below], 0.0))
    # evenly in the logarithm of what is left of the rise, for it is approached ever slower
    rise = -np.expm1(np.linspace(0.0, np.log1p(-ALMOST), POINTS))
    degC = start + rise * (found.degC - start)
    slope = capacity / np.maximum(net(degC), 1e-9)
    # where heat falls evenly, dt = C dT/net has a logarithm as integral: exact between points
    time = np.concatenate([[0.0], np.cumsum(_passed(degC, 1.0 / slope))])
    return Warming(time, degC, capacity, found.degC)


def _passed(degC: Array, speed: Array) -> Array:
    """Time between points where the speed of warming [K/s] changes evenly with temperature."""
    step, ratio = np.diff(degC), speed[1:] / speed[:-1]
    even = np.abs(ratio - 1.0) < 1e-6
    change = np.where(even, 1.0, ratio - 1.0)
    found: Array = step / speed[:-1] * np.where(even, 1.0, np.log(ratio) / change)
    return found


@dataclass(frozen=True)
class Needed:
    """What holds the oil at a temperature [degC]; powers over the cycle [W].

    ``missing``: heat that nothing takes yet, below zero where there is room; ``exchange``:
    what a further cooler must take a kelvin of oil over the air [W/K]; ``walls`` of the tank
    [m2] that would do without it, with everything else as it is, and its oil ``volume`` [m3]
    if it were a cube. None where there is no tank with walls, or the air is as warm.
    """

    degC: float
    made: float
    taken: dict[str, float]
    ambient: float
    missing: float
    exchange: float
    walls: float | None
    volume: float | None


def needed(circuit: Circuit, found: Equilibrium, hold: float) -> Needed | None:
    """Say what holds the oil at a temperature; None where the air is as warm or it is not known."""
    tanks = [tank for tank in circuit.of_kind("tank") if tank.figure("walls") is not None]
    airs = [tank.figure("ambient") for tank in circuit.of_kind("tank")]
    ambient = max((air for air in airs if air is not None), default=25.0)
    rows = found.balance
    known = rows.degC[rows.known]
    if hold <= ambient or len(known) < 2 or not known[0] <= hold <= known[-1]:
        return None
    made, taken = rows.at(hold)
    missing = made - sum(taken.values())
    if len(tanks) != 1:
        return Needed(hold, made, taken, ambient, missing, missing / (hold - ambient), None, None)
    (tank,) = tanks
    over = coefficient(tank) * (hold - ambient)
    walls = max(missing + taken[tank.name], 0.0) / over
    volume = (walls / SIDES) ** 1.5
    return Needed(
        hold, made, taken, ambient, missing, missing / (hold - ambient), walls, volume
    )  # fmt: skip


def settling_volume(circuit: Circuit, returning: float) -> float:
    """Oil that lets a mean return flow [m3/s] settle air and dirt [m3]."""
    return DWELL["engine" if circuit.of_kind("engine") else ""] * returning
