"""From a circuit to its unknowns and elements, every step a variant."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

import numpy as np

from circuitcheck.circuit.model import Circuit, Orders, Step
from circuitcheck.components._parts import Part
from circuitcheck.laws.net import Bools, Net, OilState, System, Value
from circuitcheck.laws.smoothing import Array
from circuitcheck.solver import shafts

NO_ORDERS = Orders()

Changes = Mapping[tuple[str, str], Value]
"""Figures that replace those of the text: {(part, figure name): SI value or array}."""


@dataclass(frozen=True)
class History:
    """What earlier steps leave to later ones, by part; arrays of shape (variants,).

    ``stopped``: rods that stand against an end without the text saying so; ``latched``:
    states that survive; ``places``: position of rods in the middle of the step [m];
    ``stored``: oil held at the start of the step [m3]; ``excess``: share by which gas is
    warmer than its wall then; ``durations``: of steps whose length
    the way of a rod sets [s], zero where neither time nor way is said.
    """

    stopped: Mapping[str, Bools] = field(default_factory=dict)
    latched: Mapping[str, Bools] = field(default_factory=dict)
    places: Mapping[str, Array] = field(default_factory=dict)
    stored: Mapping[str, Array] = field(default_factory=dict)
    excess: Mapping[str, Array] = field(default_factory=dict)
    durations: Array | None = None


@dataclass
class Case:
    """One circuit under given steps: what a part can ask while it writes equations.

    ``directions`` gives +1 (out), -1 (in) or 0 (not known yet) for rods and shafts whose
    load drives the motion.
    """

    circuit: Circuit
    steps: list[Step]
    changes: Changes = field(default_factory=dict)
    directions: Mapping[str, Array] = field(default_factory=dict)
    history: History = History()

    @property
    def durations(self) -> Array:
        """Duration of every step [s]: as said, else as the ways set it, else zero."""
        ways = self.history.durations
        return np.array(
            [
                (0.0 if ways is None else float(ways[i]))
                if step.duration is None
                else step.duration
                for i, step in enumerate(self.steps)
            ]
        )

    def latched(self, part: str) -> Bools:
        return self.history.latched.get(part, np.zeros(self.variants, dtype=bool))

    def place(self, part: str) -> Array:
        return self.history.places.get(part, np.zeros(self.variants))

    def stored(self, part: str) -> Array:
        return self.history.stored.get(part, np.zeros(self.variants))

    def excess(self, part: str) -> Array:
        return self.history.excess.get(part, np.zeros(self.variants))

    @property
    def variants(self) -> int:
        return len(self.steps)

    def orders(self, part: str) -> list[Orders]:
        return [step.orders.get(part, NO_ORDERS) for step in self.steps]

    def value_of(self, part: Part) -> Callable[[str], Value | None]:
        """Look-up of a part's figures: changes first; a driven part has its drive's speed."""

        def look(name: str) -> Value | None:
            changed = self.changes.get((part.name, name))
            if changed is not None:
                return changed
            own = part.figure(name)
            if name == "speed" and part.driven_by and not part.given("speed"):
                driver = self.circuit.parts[part.driven_by]
                speed = self.value_of(driver)("speed")
                ratio = self.value_of(driver)("ratio") if driver.kind.driven else None
                return speed if speed is None or ratio is None else speed / np.asarray(ratio)
            return own

        return look

    def order_of(self, part: Part) -> Callable[[str, Value], Array]:
        orders = self.orders(part.name)

        def look(name: str, otherwise: Value) -> Array:
            found: Array = np.broadcast_to(otherwise, (self.variants,)).astype(float)
            for i, order in enumerate(orders):
                if name in order.figures:
                    found[i] = order.figures[name].value
            return found

        return look

    def said(self, part: Part) -> Callable[[str], Bools]:
        orders = self.orders(part.name)

        def look(phrase: str) -> Bools:
            found = np.array([phrase in order.words for order in orders], dtype=bool)
            if phrase == "at end stop" and part.name in self.history.stopped:
                found |= self.history.stopped[part.name]
            return found

        return look

    def positions(self, part: Part) -> list[str]:
        """Position of the spool in each variant; rest where the step says none."""
        return [order.position or part.rest for order in self.orders(part.name)]

    def travel(self, part: Part) -> Callable[[str], Array]:
        orders, places = self.orders(part.name), self.positions(part)

        def look(position: str) -> Array:
            return np.array(
                [
                    (order.opening if order.position else 1.0) if place == position else 0.0
                    for order, place in zip(orders, places, strict=True)
                ]
            )

        return look


def oil_state(case: Case) -> OilState:
    """Give the oil of every step at its temperature."""
    circuit = case.circuit
    warm = [circuit.oil_degC if s.oil_degC is None else s.oil_degC for s in case.steps]
    degC = np.broadcast_to(case.changes.get(("oil", "temperature"), np.array(warm)), (len(warm),))
    oil = circuit.oil
    return OilState(
        nu=oil.nu(degC),
        rho=oil.rho(degC),
        degC=degC,
        secant=lambda pressure: oil.secant_modulus(degC, pressure),
        tangent=lambda pressure: oil.tangent_modulus(degC, pressure),
        specific_heat=oil.specific_heat,
        conductivity=oil.conductivity,
    )


def build(case: Case) -> System:
    """Number the unknowns of a case and let every part write its elements."""
    circuit = case.circuit
    system = System(case.variants, oil_state(case))
    ports: dict[str, dict[str, int]] = {name: {} for name in circuit.parts}
    for junction in circuit.junctions.values():
        index = system.add_pressure(junction.name)
        for end in junction.ends:
            ports[end.part][end.port] = index
    for part in circuit.parts.values():
        unknown = np.zeros(case.variants)
        net = Net(
            part=part.name,
            system=system,
            ports=ports[part.name],
            value_of=case.value_of(part),
            order_of=case.order_of(part),
            said=case.said(part),
            travel=case.travel(part),
            driver=part.driven_by or "",
            direction=np.asarray(case.directions.get(part.name, unknown)),
            latched=case.latched(part.name),
            place=case.place(part.name),
            stored=case.stored(part.name),
            excess=case.excess(part.name),
            duration=case.durations,
        )
        part.kind.equations(part, net)
    shafts.fit(system)
    return system
