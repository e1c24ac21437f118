"""A solved case: unknowns, balances and element values, with look-ups by name."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from circuitcheck.circuit.model import Junction
from circuitcheck.laws.net import PRESSURE, Bools, System
from circuitcheck.laws.smoothing import EXACT, Array
from circuitcheck.solver import ill_posed, structure
from circuitcheck.solver.equations import Equations, Ints
from circuitcheck.solver.ill_posed import IllPosed
from circuitcheck.solver.roads import Solved, find, find_near
from circuitcheck.solver.sweeping import find_along
from circuitcheck.solver.system import Case, build


class ElementValues(Mapping[int, Mapping[str, Array]]):
    """Values of elements by name, arrays (variants,), by position in the system.

    A law is evaluated when one of its elements is asked for.
    """

    def __init__(self, answer: Answer) -> None:
        self._answer = answer
        place = {id(element): i for i, element in enumerate(answer.system.elements)}
        self._at = {
            place[id(element)]: (number, e)
            for number, group in enumerate(answer.equations.groups)
            for e, element in enumerate(group.elements)
        }
        self._made: dict[int, Array] = {}

    def group(self, number: int) -> Array:
        """Values of all elements of a group, (values, elements, variants)."""
        if number not in self._made:
            answer = self._answer
            self._made[number] = answer.equations.values(number, answer.whole, EXACT)
        return self._made[number]

    def __getitem__(self, position: int) -> Mapping[str, Array]:
        number, e = self._at[position]
        names = self._answer.equations.groups[number].law.values
        return dict(zip(names, self.group(number)[:, e], strict=True))

    def __iter__(self) -> Iterator[int]:
        return iter(self._at)

    def __len__(self) -> int:
        return len(self._at)


@dataclass
class Answer:
    """Everything that results are made from.

    ``loose`` marks junctions that nothing decides, shape (unknowns, variants); ``undecided``
    and ``contradictions`` say what is ill-posed, the second with variants not tried at all.
    """

    case: Case
    system: System
    equations: Equations
    found: Solved
    loose: Bools
    undecided: list[IllPosed]
    contradictions: list[IllPosed]

    @cached_property
    def whole(self) -> Array:
        """The unknowns in SI, (unknowns, variants)."""
        return self.equations.full(self.found.x)

    @cached_property
    def balance(self) -> Array:
        """What flows into the balance of each unknown, SI, (unknowns, variants)."""
        count = len(self.equations.groups)
        return self.equations.balance([self.values.group(i) for i in range(count)])

    @cached_property
    def values(self) -> ElementValues:
        """Values of every element by name, by its position in the system."""
        return ElementValues(self)

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
        for index, junction in enumerate(self.junctions):
            for end in junction.ends:
                found.setdefault(end.part, {})[end.port] = index
        return found

    @cached_property
    def junctions(self) -> list[Junction]:
        """The junctions of the circuit, by the number of their pressure."""
        return list(self.case.circuit.junctions.values())

    @cached_property
    def driven_by(self) -> dict[str, list[str]]:
        """Names of the parts that each drive turns, in the order of the text."""
        found: dict[str, list[str]] = {}
        for name, part in self.case.circuit.parts.items():
            if part.driven_by:
                found.setdefault(part.driven_by, []).append(name)
        return found

    @cached_property
    def tanks(self) -> int:
        """Number of tanks in the circuit."""
        return sum(part.kind.word == "tank" for part in self.case.circuit.parts.values())

    @cached_property
    def reaction(self) -> Array:
        """What pinned unknowns are given by whatever holds them; zero elsewhere."""
        return np.where(self.equations.all_pinned, -self.balance, 0.0)

    def pressure(self, junction: int) -> Array:
        """Pressure at a junction, by its number [Pa]."""
        found: Array = self.whole[junction]
        return found

    @property
    def hanging(self) -> Mapping[str, Bools]:
        """Variants in which a part hangs on oil that nothing decides (`told`), by part."""
        return {}

    def speed(self, owner: str) -> Array:
        """Rod or shaft speed by owner; zero where the owner has none."""
        index = self.owners.get(owner)
        none: Array = np.zeros(self.case.variants)
        return none if index is None else self.whole[index]

    def held_by(self, owner: str) -> Array:
        """Force or torque that holds a pinned rod or shaft."""
        index = self.owners.get(owner)
        none: Array = np.zeros(self.case.variants)
        held = index is not None and self.system.unknowns[index].pinned.any()
        return self.reaction[index] if held else none

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
        r, _ = self.equations.chosen(chosen).residual(self.found.x[:, chosen], EXACT)
        size = np.abs(r[:, 0])
        row = int(np.argmax(np.where(np.isfinite(size), size, np.inf)))
        unknown = self.system.unknowns[self.equations.free[row]]
        kind = {"pressure": "flows at", "rod": "forces on", "shaft": "torques on"}[unknown.kind]
        return f"the {kind} {unknown.name}"


def answer(
    case: Case, before: Answer | None = None, along: bool = False, start: Array | None = None
) -> Answer:
    """Build and solve a case. Junctions that nothing decides are set aside first.

    ``before`` is an answer of nearly the same case, to start from; ``along`` says that
    neighbouring variations are neighbours in their figures, too. Without an answer before,
    ``start`` are unknowns in SI, (unknowns, variants), where to look first.
    """
    system = build(case)
    alone = [i for i in structure.unattached(system) if not system.unknowns[i].pinned.all()]
    for index in alone:
        system.pin(index, 0.0)
    loose = structure.floating(system)
    undecided = ill_posed.undecided(system, loose, alone)
    for junction in np.flatnonzero(loose.any(axis=1)):
        system.pin(int(junction), 0.0, loose[junction])
    equations = Equations(system, None if before is None else before.equations)
    if before is not None and not before.contradictions and equations.alike(before.equations):
        contradictions = []
    else:
        contradictions = ill_posed.contradictions(equations)
    barred = ill_posed.barred(contradictions, case.variants)
    among = np.flatnonzero(~barred)
    if before is None and start is not None and start.shape == equations.all_pinned.shape:
        found = _found_near(equations, start, among, among)
    else:
        found = _found(equations, case, before, along and not barred.any(), among)
    return Answer(case, system, equations, found, loose, undecided, contradictions)


def _found(
    equations: Equations, case: Case, before: Answer | None, along: bool, among: Ints
) -> Solved:
    """Solve the variants ``among``."""
    if before is not None:
        near = np.flatnonzero(before.found.solved)
        return _found_near(equations, before.whole, np.intersect1d(near, among), among)
    return find_along(equations, case.variations) if along else find(equations, among=among)


def _found_near(equations: Equations, whole: Array, near: Ints, among: Ints) -> Solved:
    """Solve from unknowns in SI where they are ``near``, from cold what that leaves."""
    found = find_near(equations, equations.scaled(whole), near)
    left = among[~found.solved[among]]
    if len(left):
        found.join(find(equations, among=left), left)
    return found
