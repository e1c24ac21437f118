"""From a circuit to its unknowns and elements, every step a variant."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from circuitcheck.circuit.model import Circuit, Orders, Step
from circuitcheck.components._parts import Part
from circuitcheck.laws.net import Bools, Net, OilState, System, Value
from circuitcheck.laws.smoothing import Array
from circuitcheck.solver import shafts

NO_ORDERS = Orders()

Changes = Mapping[tuple[str, str], Value]
"""Figures that replace those of the text: {(part, figure name): SI value, or an array with
a value for each variation, or for each variant}. Orders of steps likewise, {(part, order
name): ...}, for the order in every step that gives it."""


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


@dataclass(frozen=True)
class Begins:
    """What stands when the first step begins, by part, beside the figures "at start".

    ``latched``: states that survive; ``excess``: share by which gas is warmer than its wall.
    Arrays that broadcast to shape (variations,); a part that is not named has neither.
    """

    latched: Mapping[str, Bools] = field(default_factory=dict)
    excess: Mapping[str, Array] = field(default_factory=dict)


@dataclass
class Case:
    """One circuit under given steps: what a part can ask while it writes equations.

    Every step in every variation is a variant: variant = step number x ``variations`` +
    variation. ``directions`` gives +1 (out), -1 (in) or 0 (not known yet) for rods and
    shafts whose load drives the motion, shape (variants,). ``begins``: what a cycle before
    leaves to the first step.
    """

    circuit: Circuit
    steps: list[Step]
    changes: Changes = field(default_factory=dict)
    directions: Mapping[str, Array] = field(default_factory=dict)
    history: History = History()
    variations: int = 1
    begins: Begins = Begins()

    @property
    def durations(self) -> Array:
        """Duration of every step [s]: as said, else as the ways set it, else zero."""
        ways = self.history.durations
        said = self.spread([np.nan if s.duration is None else s.duration for s in self.steps])
        return np.where(np.isnan(said), 0.0 if ways is None else ways, said)

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
        return len(self.steps) * self.variations

    def spread(self, by_step: list[Any] | Array) -> Any:
        """Give what each step has to all its variations: array of shape (variants,)."""
        return np.repeat(np.array(by_step), self.variations)

    def by_step(self, values: Any) -> Any:
        """Turn an array (variants,) into one of shape (steps, variations)."""
        return values.reshape(len(self.steps), self.variations)

    def step_of(self, variant: int) -> Step:
        return self.steps[variant // self.variations]

    def changed(self, part: str, name: str) -> Value | None:
        """A figure that is not as in the text: one value, or an array (variants,)."""
        value = self.changes.get((part, name))
        if value is None or np.ndim(value) == 0:
            return value
        values = np.asarray(value)
        return values if len(values) == self.variants else np.tile(values, len(self.steps))

    def orders(self, part: str) -> list[Orders]:
        return [step.orders.get(part, NO_ORDERS) for step in self.steps]

    def value_of(self, part: Part) -> Callable[[str], Value | None]:
        """Look-up of a part's figures: changes first; a driven part has its drive's speed."""

        def look(name: str) -> Value | None:
            changed = self.changed(part.name, name)
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
            given = [o.figures[name].value if name in o.figures else np.nan for o in orders]
            said = self.spread(given)
            changed = self.changed(part.name, name)
            if changed is not None:
                said = np.where(np.isnan(said), said, changed)
            found: Array = np.where(np.isnan(said), otherwise, said)
            return found

        return look

    def said(self, part: Part) -> Callable[[str], Bools]:
        orders = self.orders(part.name)

        def look(phrase: str) -> Bools:
            found: Bools = self.spread([phrase in order.words for order in orders])
            if phrase == "at end stop" and part.name in self.history.stopped:
                found |= self.history.stopped[part.name]
            return found

        return look

    def positions(self, part: Part) -> list[str]:
        """Position of the spool in each variant; rest where the step says none."""
        rest = part.rest
        positions = [order.position or rest for order in self.orders(part.name)]
        return [position for position in positions for _ in range(self.variations)]

    def travel(self, part: Part) -> Callable[[str], Array]:
        orders = self.orders(part.name)
        opened = self.changed(part.name, "opening")

        def look(position: str) -> Array:
            moved = self.spread(
                [
                    (o.opening if o.position else 1.0)
                    if (o.position or part.rest) == position
                    else 0.0
                    for o in orders
                ]
            )
            if opened is not None and position != part.rest:
                moved = np.where(moved > 0.0, opened, 0.0)
            found: Array = moved
            return found

        return look


def oil_state(case: Case) -> OilState:
    """Give the oil of every step at its temperature."""
    circuit, oil = case.circuit, case.circuit.oil
    warm = [circuit.oil_degC if s.oil_degC is None else s.oil_degC for s in case.steps]
    changed = case.changed("oil", "temperature")
    if changed is None:  # the same in all variations of a step
        by_step = np.array(warm, dtype=float)
        degC, nu, rho = (case.spread(row) for row in (by_step, oil.nu(by_step), oil.rho(by_step)))
    else:
        degC = np.broadcast_to(changed, (case.variants,))
        nu, rho = oil.nu(degC), oil.rho(degC)
    return OilState(
        nu=nu,
        rho=rho,
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
    durations = case.durations
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
            duration=durations,
            variations=case.variations,
            latched_first=case.begins.latched.get(part.name, np.False_),
        )
        part.kind.equations(part, net)
    shafts.fit(system)
    return system
