"""Runs the rules and puts their findings in order, consequences under their cause."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from circuitcheck.basics.findings import Finding, NotChecked
from circuitcheck.basics.limits import Limit
from circuitcheck.circuit.model import Circuit
from circuitcheck.rules._case import Case, Facts
from circuitcheck.rules._catalogue import catalogue
from circuitcheck.rules._claims import Judged, judged, judged_readings
from circuitcheck.rules._rule import Needs, Rule
from circuitcheck.solver.operating import Solution

WHOLE = ("tank", "electric motor", "engine")
"""Kinds on which every trouble of a circuit lands: heat, level, load of the drive."""


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


def nest(circuit: Circuit, findings: list[Finding], rules: Iterable[Rule]) -> list[Finding]:
    """Tuck findings under the one that explains them; each stands once.

    Nothing is tucked under a finding that weighs less than itself.
    """
    explains = {rule.slug: rule.explains for rule in rules}
    parent: dict[int, int] = {}
    by_slug: dict[str, list[int]] = {}
    for i, finding in enumerate(findings):
        by_slug.setdefault(finding.slug, []).append(i)
    for slug, consequences in explains.items():
        for root in by_slug.get(slug, ()):
            for i in (i for name in consequences for i in by_slug.get(name, ())):
                if i not in parent and _related(circuit, findings[root], findings[i]):
                    parent[i] = root
    for i in list(parent):
        if _own_root(parent, i) == i:  # two that explain each other: neither is tucked away
            del parent[i]
    children: dict[int, list[int]] = {}
    for i in sorted(parent):
        children.setdefault(parent[i], []).append(i)

    def whole(i: int) -> Finding:
        under = tuple(whole(child) for child in children.get(i, ()))
        return replace(findings[i], consequences=under) if under else findings[i]

    return [whole(i) for i in range(len(findings)) if i not in parent]


def _own_root(parent: dict[int, int], i: int) -> int:
    seen = {i}
    here = i
    while here in parent:
        here = parent[here]
        if here in seen:
            return i
        seen.add(here)
    return here


def _related(circuit: Circuit, root: Finding, other: Finding) -> bool:
    """Whether two findings speak of the same trouble: one part, or one step, or the whole."""
    if root.severity.rank > other.severity.rank:
        return False
    if root.step and other.step and root.step != other.step:
        return False
    if root.slug.startswith("claim-"):
        return root.place == other.place
    if root.component == other.component:
        return True
    part = circuit.parts.get(other.component)
    if part is None or part.kind.word in WHOLE:
        return True
    if root.step and root.step == other.step:
        return True
    return _notes_name(root, other.component) or _notes_name(other, root.component)


def _notes_name(finding: Finding, component: str) -> bool:
    return bool(component) and any(n.message.startswith(f"{component} ") for n in finding.notes)


def _flat(findings: Iterable[Finding]) -> Iterable[Finding]:
    for finding in findings:
        yield finding
        yield from _flat(finding.consequences)
