"""Runs the rules and puts their findings in order, consequences under their cause."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from circuitcheck.basics.findings import Finding, NotChecked
from circuitcheck.basics.limits import Limit
from circuitcheck.circuit.model import Circuit
from circuitcheck.rules._case import Case, Facts
from circuitcheck.rules._catalogue import catalogue
from circuitcheck.rules._claims import Judged, judged, judged_readings
from circuitcheck.rules._nesting import nest
from circuitcheck.rules._rule import Needs
from circuitcheck.solver.operating import Solution


@dataclass(frozen=True)
class Report:
    """What the rules found, errors first; what they could not judge; which rules ran.

    ``claims`` and ``readings`` hold every one of them with what was computed for it, in the
    order of the text.
    """

    findings: tuple[Finding, ...] = ()
    not_checked: tuple[NotChecked, ...] = ()
    rules: tuple[str, ...] = ()
    claims: tuple[Judged, ...] = ()
    readings: tuple[Judged, ...] = ()

    def all_findings(self) -> list[Finding]:
        """Give every finding, consequences included."""
        return list(_flat(self.findings))


def check_all(
    circuit: Circuit,
    solution: Solution | None = None,
    limits: Mapping[str, Mapping[str, Limit]] | None = None,
) -> Report:
    """Run every rule on a circuit and its operating points.

    ``limits``: thresholds of the project by rule and name; those of the circuit win.

    Without a solution, or for steps that were not solved, rules on operating points are
    reported as not checked; the others run.
    """
    facts = Facts(circuit, solution, limits)
    findings: list[Finding] = []
    missing: list[NotChecked] = []
    gap = _unsolved(facts)
    for rule in catalogue().values():
        if rule.needs is Needs.NUMBERS and gap:
            missing.append(NotChecked(rule.slug, "", gap))
        if rule.needs is Needs.NUMBERS and not facts.points:
            continue
        for outcome in rule.check(Case(facts, rule)):
            if isinstance(outcome, NotChecked):
                missing.append(outcome)
            else:
                findings.append(outcome)
    ordered = sorted(dict.fromkeys(findings), key=_rank)
    nested = nest(circuit, ordered, catalogue().values())
    whole = Case(facts, catalogue()["claim-off"])
    return Report(
        findings=tuple(nested),
        not_checked=tuple(dict.fromkeys(missing)),
        rules=tuple(catalogue()),
        claims=tuple(judged(whole)),
        readings=tuple(judged_readings(whole)),
    )


def _unsolved(facts: Facts) -> str:
    if facts.solution is None:
        return "operating points: the circuit was not solved"
    names = [point.step.name for point in facts.solution.points if not point.success]
    return f"operating point of {', '.join(names)}: not solved" if names else ""


def _rank(finding: Finding) -> tuple[object, ...]:
    place = finding.place
    return (finding.severity.rank, place.line, place.column, finding.slug, finding.step)


def _flat(findings: Iterable[Finding]) -> Iterable[Finding]:
    for finding in findings:
        yield finding
        yield from _flat(finding.consequences)
