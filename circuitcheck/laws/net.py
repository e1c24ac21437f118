"""The list of unknowns and elements of a circuit, and the view a component has of it.

A `System` numbers unknowns (junction pressures, rod speeds, shaft speeds) and collects
elements. A `Net` is the face of the system towards one part: it knows the part's ports by
letter and what the steps order, and offers one method per law.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from circuitcheck.laws._law import BAR, L_MIN
from circuitcheck.laws.machines import STILL_SHAFT, missing
from circuitcheck.laws.smoothing import Array

Bools = np.ndarray[Any, np.dtype[np.bool_]]
Value = float | Array

PRESSURE, ROD, SHAFT = "pressure", "rod", "shaft"

GEAR_STIFFNESS = 1e5
"""How firmly a gear holds two shafts together [N m s]; own choice: at 100 N m speeds agree to
1e-3 rad/s, and rounding of a speed is still small beside the torques that must balance."""


@dataclass
class Unknown:
    """One unknown and the balance that belongs to it.

    ``kind`` is pressure, rod or shaft; ``scale`` is the SI size of one unit of the
    unknown, ``row`` that of its balance: 1 bar and 1 L/min for a junction; for a rod or
    shaft the speed at which its area or displacement moves 10 L/min, and the force of
    1 bar on it (weights as tried; they only steer the solver's step test).
    """

    name: str
    kind: str
    scale: float
    row: float
    pinned: Bools
    pin: Array


@dataclass
class Element:
    """One element: its law, part, name within the part, terminals and coefficients.

    ``ports`` gives for each terminal the port letter it stands for ("" inside the part).
    A coefficient has shape (variants,); that of a table has the axes of the table in front.
    """

    law: str
    part: str
    name: str
    terminals: tuple[int, ...]
    ports: tuple[str, ...]
    coefficients: dict[str, Array]


@dataclass
class OilState:
    """The oil in every variant: arrays of shape (variants,), SI.

    ``secant`` and ``tangent`` give its bulk modulus [Pa], air and all, at gauge pressures
    [Pa]: the mean from no pressure to there, and that at the pressure. ``specific_heat``
    [J/(kg K)], ``conductivity`` of heat [W/(m K)].
    """

    nu: Array
    rho: Array
    degC: Array
    secant: Callable[[Value], Array]
    tangent: Callable[[Value], Array]
    specific_heat: float
    conductivity: float

    @property
    def mu(self) -> Array:
        """Dynamic viscosity [Pa s]."""
        return self.nu * self.rho


@dataclass
class System:
    """Everything the solver needs: unknowns, elements, variants."""

    variants: int
    oil: OilState
    unknowns: list[Unknown] = field(default_factory=list)
    elements: list[Element] = field(default_factory=list)
    shafts: dict[str, int] = field(default_factory=dict)

    def add_unknown(self, name: str, kind: str, scale: float, row: float) -> int:
        free = np.zeros(self.variants, dtype=bool)
        self.unknowns.append(Unknown(name, kind, scale, row, free, np.zeros(self.variants)))
        return len(self.unknowns) - 1

    def add_pressure(self, name: str) -> int:
        return self.add_unknown(name, PRESSURE, BAR, L_MIN)

    def pin(self, index: int, value: Value, where: Bools | None = None) -> None:
        """Hold an unknown at a value; what its balance lacks is then the reaction."""
        unknown = self.unknowns[index]
        mask = np.ones(self.variants, dtype=bool) if where is None else where
        unknown.pinned = unknown.pinned | mask
        unknown.pin = np.where(mask, value, unknown.pin)

    def shaft(self, owner: str, displacement: float) -> int:
        """Speed of the shaft that ``owner`` turns; ``displacement`` [m3/rad] scales it."""
        index = self.shafts.get(owner)
        if index is None:
            index = self.add_unknown(owner, SHAFT, 10 * L_MIN / displacement, BAR * displacement)
            self.shafts[owner] = index
        elif displacement * BAR > self.unknowns[index].row:
            self.unknowns[index].scale = 10 * L_MIN / displacement
            self.unknowns[index].row = BAR * displacement
        return index


@dataclass
class Net:
    """What one part sees while it writes its equations; all figures SI arrays.

    ``latched``: its state that survives from step to step, ``latched_first`` that before the
    first one; ``place``: position of its rod in the middle of the step [m]; ``stored``: oil it
    holds when the step begins [m3], ``excess``: share by which its gas is then warmer than the
    wall; ``duration`` of the step [s], zero where it has none. All of shape (variants,): every
    step in each of its ``variations``, step by step.
    """

    part: str
    system: System
    ports: Mapping[str, int]
    value_of: Callable[[str], Value | None]
    order_of: Callable[[str, Value], Array]
    said: Callable[[str], Bools]
    travel: Callable[[str], Array]
    driver: str
    direction: Array
    latched: Bools
    place: Array
    stored: Array
    excess: Array
    duration: Array
    variations: int = 1
    latched_first: Bools | np.bool_ = np.False_

    @property
    def oil(self) -> OilState:
        return self.system.oil

    @property
    def variants(self) -> int:
        return self.system.variants

    def joined(self, port: str) -> bool:
        """Whether a port is joined to a junction (not plugged, not left open)."""
        return port in self.ports

    def value(self, name: str) -> Value:
        """Figure of the part, given or default.

        Raises
        ------
        KeyError
            If the part has neither: the kind should have made it needed.
        """
        found = self.value_of(name)
        if found is None:
            raise KeyError(f"{self.part} has no figure '{name}'")
        return found

    def order(self, name: str, otherwise: Value) -> Array:
        """Figure of the step orders, ``otherwise`` where a step says none; (variants,)."""
        return self.order_of(name, otherwise)

    def load_of(self, name: str) -> tuple[Array, Array]:
        """Split an ordered load into what resists and what drives the motion.

        The second is a steady force, positive against motion out; it is zero until the
        direction of the motion is known (``direction``: +1 out, -1 in, 0 not known).
        """
        force = self.order(name, 0.0)
        driving = (force < 0.0) | self.said("overrunning")
        size = np.abs(force)
        return np.where(driving, 0.0, size), np.where(driving, -self.direction * size, 0.0)

    def inner(self, name: str) -> str:
        """Make a pressure inside the part; the name given back stands for it as a port."""
        label = f"{self.part}.{name}"
        self.ports = {**self.ports, label: self.system.add_pressure(label)}
        return label

    def rod(self, area: float) -> int:
        """Make the speed of the part's rod [m/s]; area [m2] scales it."""
        return self.system.add_unknown(self.part, ROD, 10 * L_MIN / area, BAR * area)

    def shaft(self, displacement: float) -> int:
        """Give the shaft that drives the part, or its own if nothing does [rad/s]."""
        return self.system.shaft(self.driver or self.part, displacement)

    def own_shaft(self, displacement: float) -> int:
        """Give the shaft that the part itself turns [rad/s]."""
        return self.system.shaft(self.part, displacement)

    def pin(self, index: int, value: Value, where: Bools | None = None) -> None:
        self.system.pin(index, value, where)

    def _add(self, law: str, name: str, ends: tuple[str | int, ...], **coefficients: Value) -> None:
        """Add an element unless one of its ports is shut off by a plug."""
        if any(isinstance(end, str) and end not in self.ports for end in ends):
            return
        terminals = tuple(self.ports[e] if isinstance(e, str) else e for e in ends)
        letters = tuple(
            e if isinstance(e, str) and not e.startswith(f"{self.part}.") else "" for e in ends
        )
        arrays = {}
        for key, value in coefficients.items():
            array = np.asarray(value, dtype=float)
            if array.ndim == 0:  # one figure for all, five times as quick as broadcasting
                array = np.ndarray((self.variants,), buffer=array, strides=(0,))
                array.flags.writeable = False
            elif array.shape[-1] != self.variants:
                array = np.broadcast_to(array, (*array.shape[:-1], self.variants))
            arrays[key] = array
        self.system.elements.append(Element(law, self.part, name, terminals, letters, arrays))

    def gap(self, name: str, a: str, b: str, g: Value) -> None:
        """Laminar leakage a to b, g [m3/(s Pa)]."""
        self._add("gap", name, (a, b), g=g)

    def resistor(self, name: str, a: str, b: str, r1: Value, r2: Value = 0.0) -> None:
        """Laminar and turbulent term: dp = r1 q + r2 q abs(q)."""
        self._add("resistor", name, (a, b), r1=r1, r2=r2)

    def orifice(self, name: str, a: str, b: str, k: Value, leak: Value = 0.0) -> None:
        """Fixed opening, k [m3/(s Pa^0.5)]."""
        self._add("orifice", name, (a, b), k=k, leak=leak)

    def hole(self, name: str, a: str, b: str, k: Value, start: Value) -> None:
        """Sharp edge, viscous at low flow; coefficients as in `laws.bores.Hole`."""
        self._add("hole", name, (a, b), k=k, start=start)

    def tube(self, name: str, a: str, b: str, **coefficients: Value) -> None:
        """Short tube or capillary; coefficients as in `laws.bores.Tube`."""
        self._add("tube", name, (a, b), **coefficients)

    def pipe(self, name: str, a: str, b: str, **coefficients: Value) -> None:
        """Round line; coefficients as in `laws.pipe.Pipe`."""
        self._add("pipe", name, (a, b), **coefficients)

    def modulated(
        self,
        name: str,
        a: str,
        b: str,
        *,
        k: Value,
        opened_by: Mapping[str, Value],
        offset: Value,
        band: Value,
        leak: Value = 0.0,
    ) -> None:
        """One-way opening a to b with z = (offset + sum of weight x pressure)/band.

        ``opened_by`` gives the weight of each port's pressure; ports that are not joined
        count as atmosphere.
        """
        weights = {port: w for port, w in opened_by.items() if port in self.ports}
        others = [port for port in weights if port not in (a, b)]
        ends: list[str] = [a, b, *others]
        coefficients: dict[str, Value] = {
            f"c{i}": weights[port] for i, port in enumerate(ends) if port in weights
        }
        padded = ends + [a] * (5 - len(ends))
        self._add(
            "modulated",
            name,
            tuple(padded),
            k=k,
            offset=offset,
            band=band,
            leak=leak,
            **coefficients,
        )

    def rotary(
        self,
        name: str,
        out: str,
        inlet: str,
        shaft: int,
        sensed: str | None = None,
        partner: str | None = None,
        /,
        **coefficients: Value,
    ) -> None:
        """Rotary unit; coefficients as in `laws.rotary.Rotary`.

        ``sensed`` and ``partner`` are ports that its controls look at; where they are not
        joined the inlet stands in for them.
        """
        sense = sensed if sensed is not None and sensed in self.ports else inlet
        beside = partner if partner is not None and partner in self.ports else inlet
        self._add("rotary", name, (out, inlet, sense, shaft, beside), **coefficients)

    def measured(
        self,
        name: str,
        out: str,
        inlet: str,
        shaft: int,
        sensed: str | None,
        partner: str | None,
        case: str,
        /,
        **coefficients: Value,
    ) -> None:
        """Rotary unit with a table of its losses; coefficients as in `laws.measured.Measured`.

        The arrays of the table have one more axis, of length 1, for the variants. Without a
        joined ``case`` all slip must stay inside.
        """
        sense = sensed if sensed is not None and sensed in self.ports else inlet
        beside = partner if partner is not None and partner in self.ports else inlet
        drain = case if case in self.ports else inlet
        ends = (out, inlet, sense, shaft, beside, drain)
        self._add("measured", name, ends, **coefficients)

    def piston(self, name: str, cap: str, rod: str | None, speed: int, **c: Value) -> None:
        """Piston; without a rod-side port its rod area must be zero."""
        self._add("piston", name, (cap, cap if rod is None else rod, speed), **c)

    def load(self, name: str, speed: int, still: float | None = None, **c: Value) -> None:
        """Load on a rod or shaft; coefficients as in `laws.machines.Load`.

        ``useful``: share of the power that reaches the load itself, the rest is lost on
        the way (in a gear).
        """
        if still is None and self.system.unknowns[speed].kind == SHAFT:
            still = STILL_SHAFT
        if still is not None:
            c["still"] = still
        self._add("load", name, (speed,), **c)

    def void(self, name: str, port: str, swept: Value = 0.0) -> None:
        """Floor under the pressure of a chamber that may go empty.

        ``swept``: the most oil that it can miss, area times the fastest speed [m3/s].
        """
        self._add("void", name, (port,), missing=missing(swept))

    def gear(
        self,
        name: str,
        first: int,
        second: int,
        ratio: Value,
        efficiency: Value = 1.0,
        limit: Value = 1e9,
        engaged: Value = 1.0,
    ) -> None:
        """Couple two shafts: ``first`` turns ``ratio`` times as fast as ``second``.

        ``limit`` is the torque at which it slips [N m], ``engaged`` 1 or 0 (a clutch).
        """
        stiffness = GEAR_STIFFNESS * np.asarray(engaged)
        self._add(
            "coupling",
            name,
            (first, second),
            ratio=ratio,
            efficiency=efficiency,
            limit=limit,
            stiffness=stiffness,
        )

    def brake(self, name: str, shaft: int, port: str, **coefficients: Value) -> None:
        """Brake on a shaft, released by a port; coefficients as in `laws.brakes.Brake`."""
        self._add("brake", name, (shaft, port), **coefficients)

    def store(self, name: str, port: str, **coefficients: Value) -> None:
        """Oil store at a port; coefficients as in `laws.storage.Store`.

        What it holds at the start of the step and the duration are filled in.
        """
        self._add("store", name, (port,), start=self.stored, rate=self._rate(), **coefficients)

    def warm_store(self, name: str, port: str, settles: Value, **coefficients: Value) -> None:
        """Oil store whose gas warms; coefficients as in `laws.warm_gas.WarmStore`.

        ``settles`` is the time constant of its heat [s]; what the steps before leave, and
        the duration, are filled in.
        """
        state = {"start": self.stored, "excess": self.excess, "rate": self._rate()}
        relax = self.duration / np.asarray(settles)
        self._add("warm_store", name, (port,), relax=relax, **state, **coefficients)

    def _rate(self) -> Array:
        """One over the duration of the step [1/s]; zero where it has none."""
        some = self.duration > 0.0
        return np.where(some, 1.0 / np.where(some, self.duration, 1.0), 0.0)

    def slip(self, name: str, shaft: int, idle: Value, **coefficients: Value) -> None:
        """Drive whose speed falls with torque; coefficients as in `laws.drives.Slip`."""
        self._add("slip", name, (shaft,), idle=idle, **coefficients)
