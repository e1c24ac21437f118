"""A solved case: unknowns, balances and element values, with look-ups by name."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from circuitcheck.laws.net import PRESSURE, Bools, System
from circuitcheck.laws.smoothing import EXACT, Array
from circuitcheck.solver import structure
from circuitcheck.solver.equations import Equations
from circuitcheck.solver.newton import Solved, find
from circuitcheck.solver.system import Case, build


@dataclass
class Answer:
    """Everything that results are made from.

    ``whole`` holds the unknowns in SI and ``balance`` what flows into each of their
    balances, both (unknowns, variants); ``values`` the element values by name, by position
    of the element in the system; ``loose`` marks junctions that nothing decides.
    """

    case: Case
    system: System
    equations: Equations
    found: Solved
    whole: Array
    balance: Array
    values: dict[int, dict[str, Array]]
    loose: Bools

    @cached_property
    def owners(self) -> dict[str, int]:
        """Number of the rod or shaft speed of each part that has one."""
        return {u.name: i for i, u in enumerate(self.system.unknowns) if u.kind != PRESSURE}

    @cached_property
    def elements_of(self) -> dict[str, list[int]]:
        """Positions of the elements of each part."""
        found: dict[str, list[int]] = {}
        for i, element in enumerate(self.system.elements):
            found.setdefault(element.part, []).append(i)
        return found

    @cached_property
    def ports_of(self) -> dict[str, dict[str, int]]:
        """Number of the junction pressure at each port of each part."""
        found: dict[str, dict[str, int]] = {}
        for index, junction in enumerate(self.case.circuit.junctions.values()):
            for end in junction.ends:
                found.setdefault(end.part, {})[end.port] = index
        return found

    @cached_property
    def reaction(self) -> Array:
        """What pinned unknowns are given by whatever holds them; zero elsewhere."""
        return np.where(self.equations.all_pinned, -self.balance, 0.0)

    def speed(self, owner: str) -> Array:
        """Rod or shaft speed by owner; zero where the owner has none."""
        index = self.owners.get(owner)
        none: Array = np.zeros(self.case.variants)
        return none if index is None else self.whole[index]

    def held_by(self, owner: str) -> Array:
        """Force or torque that holds a pinned rod or shaft."""
        index = self.owners.get(owner)
        none: Array = np.zeros(self.case.variants)
        return none if index is None else self.reaction[index]

    def single_acting(self, owner: str) -> bool:
        """Whether oil works on one side of a rod only."""
        return any(
            self.system.elements[i].law == "piston"
            and not np.any(self.system.elements[i].coefficients["rod_area"])
            for i in self.elements_of.get(owner, [])
        )

    def pinned(self, owner: str) -> Bools:
        index = self.owners.get(owner)
        none: Bools = np.zeros(self.case.variants, dtype=bool)
        return none if index is None else self.system.unknowns[index].pinned

    def worst(self, variant: int) -> str:
        """Name the balance that is furthest open."""
        chosen = np.array([variant])
        r, _ = self.equations.residual(self.found.x[:, chosen], EXACT, chosen)
        size = np.abs(r[:, 0])
        row = int(np.argmax(np.where(np.isfinite(size), size, np.inf)))
        unknown = self.system.unknowns[self.equations.free[row]]
        kind = {"pressure": "flows at", "rod": "forces on", "shaft": "torques on"}[unknown.kind]
        return f"the {kind} {unknown.name}"


def answer(case: Case) -> Answer:
    """Build and solve a case. Junctions that nothing decides are set aside first."""
    system = build(case)
    for index in structure.unattached(system):
        if not system.unknowns[index].pinned.all():
            system.pin(index, 0.0)
    loose = structure.floating(system)
    for junction in np.flatnonzero(loose.any(axis=1)):
        system.pin(int(junction), 0.0, loose[junction])
    equations = Equations(system)
    return filled(case, equations, find(equations), loose)


def filled(case: Case, equations: Equations, found: Solved, loose: Bools) -> Answer:
    """Give the answer that belongs to solved unknowns."""
    system = equations.system
    whole = equations.full(found.x)
    raw = equations.values(whole, EXACT)
    place = {id(element): i for i, element in enumerate(system.elements)}
    values: dict[int, dict[str, Array]] = {}
    for group, (value, _) in zip(equations.groups, raw, strict=True):
        for e, element in enumerate(group.elements):
            values[place[id(element)]] = {
                name: np.broadcast_to(value[j, e], (case.variants,))
                for j, name in enumerate(group.law.values)
            }
    balance = equations.balance(raw, case.variants)
    return Answer(case, system, equations, found, whole, balance, values, loose)
