"""What all forms of report are made from: the results of the stages, side by side."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from circuitcheck.basics.findings import Finding, NotChecked, Severity
from circuitcheck.basics.places import Place
from circuitcheck.basics.quantities import System
from circuitcheck.basics.shown import Shown
from circuitcheck.circuit.model import Circuit
from circuitcheck.reports.claims import Verdict
from circuitcheck.reports.found import Findings
from circuitcheck.review.accepting import Accepted
from circuitcheck.solver.operating import HELD, INDETERMINATE, KNOWN, OperatingPoint, Solution

CARRY_THROUGH = ("line", "filter", "strainer", "cooler", "flowmeter", "test point", "thermometer")
"""Kinds between which a pressure is of no interest of its own."""

MOST_ENDS = 3
"""Ports that are named where several meet."""


@dataclass(frozen=True)
class Result(Shown):
    """Everything that is known of one text.

    ``circuit`` is None where the text is not understood; ``solution`` where nothing was
    solved. ``findings`` are those of all stages that ran, ``not_checked`` the rules that
    lacked data, ``accepted`` the findings that the text
    accepts, with the reason, ``claims`` the figures of the text beside computed ones,
    ``version`` that of the program, as reports print it; ``texts`` the files that the text
    uses, by name.
    """

    file: str
    text: str
    circuit: Circuit | None
    findings: Findings
    solution: Solution | None = None
    not_checked: tuple[NotChecked, ...] = ()
    claims: tuple[Verdict, ...] = ()
    accepted: tuple[Accepted, ...] = ()
    version: str = ""
    texts: Mapping[str, str] = field(default_factory=dict)

    def text_of(self, place: Place) -> str:
        """Give the text in which a place lies: the circuit's own, or that of a file it uses."""
        return self.texts.get(place.file, self.text)

    @property
    def points(self) -> list[OperatingPoint]:
        return self.solution.points if self.solution else []

    def count(self, severity: Severity) -> int:
        """Count findings of a severity, those under others left out."""
        return sum(finding.severity is severity for finding in self.findings)

    @property
    def solved(self) -> bool:
        return self.solution is not None and self.solution.solved

    def only(self, step: str) -> Result:
        """Give the same with one step, and the findings of it or of no step.

        Raises ``KeyError`` where there is no such step.
        """
        if self.solution is None:
            return self
        point = self.solution.step(step)
        here = self.findings.only(lambda found: found.step in ("", step))
        solution = Solution(self.solution.circuit, [point], self.solution.findings)
        claims = tuple(claim for claim in self.claims if claim.step == step)
        accepted = tuple(a for a in self.accepted if a.finding.step in ("", step))
        return replace(self, solution=solution, findings=here, claims=claims, accepted=accepted)


def units_of(result: Result, asked: System | None = None) -> System:
    """Units of the answers: those asked for, else those of the text, else metric."""
    if asked is not None:
        return asked
    return result.circuit.units if result.circuit is not None else "metric"


def told_junctions(result: Result) -> list[str]:
    """Junctions whose pressures are worth a line, in the order of the text.

    Left out are tanks and points between two pieces of the same run.
    """
    circuit = result.circuit
    if circuit is None or not result.points:
        return []
    first = result.points[0].junctions
    return [
        name
        for name, junction in circuit.junctions.items()
        if first[name].status != KNOWN
        and any(circuit.parts[end.part].kind.word not in CARRY_THROUGH for end in junction.ends)
    ]


def uncertain(result: Result) -> list[tuple[str, list[str], list[str]]]:
    """Junctions whose pressure nothing sets: status, junctions, steps; like ones together."""
    steps: dict[tuple[str, str], list[str]] = {}
    for point in result.points:
        for name, state in point.junctions.items():
            if state.status in (HELD, INDETERMINATE) and point.success:
                steps.setdefault((state.status, name), []).append(point.step.name)
    names: dict[tuple[str, tuple[str, ...]], list[str]] = {}
    for (status, name), where in steps.items():
        names.setdefault((status, tuple(where)), []).append(name)
    return [(status, found, list(where)) for (status, where), found in names.items()]


def label(circuit: Circuit, junction: str) -> str:
    """Name a junction by the ports that meet there: "P1 P, R1 P", lines left out."""
    ends = [
        end.part if len(circuit.parts[end.part].ports) == 1 else str(end)
        for end in circuit.junctions[junction].ends
        if circuit.parts[end.part].kind.word != "line"
    ]
    if not ends:
        return junction
    return ", ".join(ends[:MOST_ENDS]) + (" ..." if len(ends) > MOST_ENDS else "")


def folded(findings: Iterable[Finding]) -> list[tuple[Finding, tuple[Finding, ...]]]:
    """Put findings of one rule on one part together: the first, then the others like it.

    They differ in step or port; why, remedy and source are the same and need saying once.
    Those that follow from any of them stand under the first.
    """
    alike: dict[tuple[object, ...], list[Finding]] = {}
    for finding in findings:
        key = (finding.slug, finding.severity, finding.component, finding.place, finding.remedy)
        alike.setdefault(key, []).append(finding)
    found = []
    for first, *others in alike.values():
        under = dict.fromkeys(b for one in (first, *others) for b in one.consequences)
        found.append((replace(first, consequences=tuple(under)), tuple(others)))
    return found
