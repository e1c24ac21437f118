"""Readings beside what was computed for the same step, for the rules on commissioning."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

from circuitcheck.basics.findings import NotChecked
from circuitcheck.circuit.model import Claim
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case
from circuitcheck.rules._claims import evaluate
from circuitcheck.rules._readings import junction_of
from circuitcheck.solver.operating import OperatingPoint


@dataclass(frozen=True)
class Read:
    """A reading, the part it was taken on, and the solved step with its computed value [SI]."""

    claim: Claim
    part: Part
    point: OperatingPoint
    expected: float

    @property
    def value(self) -> float:
        """What was read [SI]."""
        return self.claim.figure.value

    @property
    def degC(self) -> float:
        """Oil temperature at which it was read, that of the step where nothing says it."""
        return self.point.oil_degC if self.claim.temperature is None else self.claim.temperature

    @property
    def step(self) -> str:
        return self.point.step.name


def read(case: Case, what: tuple[str, ...], *kinds: str) -> Iterator[Read | NotChecked]:
    """Readings of what is named, on parts of some kinds; of any kind where none is named.

    One without a step is compared with the only one; where there are several it is reported
    as not checked.
    """
    for claim in case.circuit.readings:
        part = case.circuit.parts.get(claim.subject)
        if part is None or claim.what not in what or (kinds and part.kind.word not in kinds):
            continue
        yield beside(case, claim, part)


def beside(case: Case, claim: Claim, part: Part) -> Read | NotChecked:
    """A reading with its operating point, or what is missing for one."""
    points = [p for p in case.points if not claim.step or p.step.name == claim.step]
    if len(points) != 1:
        missing = "the step it was read in" if points else f"step {claim.step}: not solved"
        return case.not_checked(claim.subject, f"{claim.what}: {missing}")
    expected = evaluate(case, claim, points[0])
    if expected is None:
        return case.not_checked(claim.subject, f"{claim.what}: it has no value there")
    return Read(claim, part, points[0], expected)


def pressures_at(case: Case, junctions: frozenset[str]) -> Iterator[Read | NotChecked]:
    """Readings of pressure taken at one of some junctions, by gauge or by name of the port."""
    for claim in case.circuit.readings:
        if claim.figure.quantity != "pressure" or claim.what != "pressure":
            continue
        part = case.circuit.parts.get(claim.subject)
        if part is not None and junction_of(case, claim) in junctions:
            yield beside(case, claim, part)


def pairs(found: list[Read]) -> Iterator[tuple[Read, Read]]:
    """Every two readings of one part and one thing."""
    for one, other in combinations(found, 2):
        if one.part is other.part and one.claim.what == other.claim.what:
            yield one, other
