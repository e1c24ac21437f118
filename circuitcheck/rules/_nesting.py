"""Puts findings under the one that explains them.

Every pair of findings could be cause and consequence; so that the work grows with their
number and not with its square, consequences lie in pools by what relates them to a cause,
and what has found its cause leaves them.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator
from dataclasses import replace

from circuitcheck.basics.findings import Finding, Severity
from circuitcheck.circuit.model import Circuit
from circuitcheck.rules._rule import Rule

WHOLE = ("tank", "electric motor", "engine")
"""Kinds on which every trouble of a circuit lands: heat, level, load of the drive."""


def nest(circuit: Circuit, findings: list[Finding], rules: Iterable[Rule]) -> list[Finding]:
    """Tuck findings under the one that explains them; each stands once.

    Nothing is tucked under a finding that weighs less than itself.
    """
    parent = _causes(circuit, findings, rules)
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


def _causes(circuit: Circuit, findings: list[Finding], rules: Iterable[Rule]) -> dict[int, int]:
    """Give the first cause of each consequence, both by their place in the list."""
    by_slug: dict[str, list[int]] = {}
    for i, finding in enumerate(findings):
        by_slug.setdefault(finding.slug, []).append(i)
    parent: dict[int, int] = {}
    for rule in rules:
        if rule.slug not in by_slug:
            continue
        consequences = [i for slug in rule.explains for i in by_slug.get(slug, ())]
        pools = _Pools(circuit, {i: findings[i] for i in consequences if i not in parent})
        for root in by_slug[rule.slug]:
            for i in pools.taken_by(findings[root]):
                parent[i] = root
    return parent


class _Pools:
    """Findings that may be consequences, by each thing that can relate them to a cause."""

    def __init__(self, circuit: Circuit, findings: dict[int, Finding]) -> None:
        self._circuit = circuit
        self._left = findings
        self._pools: dict[Hashable, dict[int, None]] = {}
        for i, finding in findings.items():
            for key in self._keys(finding):
                self._pools.setdefault(key, {})[i] = None

    def taken_by(self, root: Finding) -> list[int]:
        """Take out the findings that a cause explains."""
        found = [
            i
            for key in self._sought(root)
            for i in self._pools.get(key, ())
            if related(self._circuit, root, self._left[i])
        ]
        found = list(dict.fromkeys(found))
        for i in found:
            for key in self._keys(self._left.pop(i)):
                del self._pools[key][i]
        return found

    def _keys(self, finding: Finding) -> set[Hashable]:
        weight, step = finding.severity.rank, finding.step
        keys: set[Hashable] = {
            ("place", finding.place),
            ("part", finding.component),
            ("step", step, weight),
        }
        keys.update(("noted", name) for name in _noted(finding))
        if _is_whole(self._circuit, finding.component):
            keys |= {("whole", step, weight), ("whole", None, weight)}
        return keys

    def _sought(self, root: Finding) -> Iterator[Hashable]:
        if root.slug.startswith("claim-"):
            yield "place", root.place
            return
        for name in {root.component} | _noted(root):
            yield "part", name
        yield "noted", root.component
        for weight in range(root.severity.rank, len(Severity)):
            for step in ("", root.step) if root.step else (None,):
                yield "whole", step, weight
            if root.step:
                yield "step", root.step, weight


def related(circuit: Circuit, root: Finding, other: Finding) -> bool:
    """Whether two findings speak of the same trouble: one part, or one step, or the whole."""
    if root.severity.rank > other.severity.rank:
        return False
    if root.step and other.step and root.step != other.step:
        return False
    if root.slug.startswith("claim-"):
        return root.place == other.place
    if root.component == other.component or _is_whole(circuit, other.component):
        return True
    if root.step and root.step == other.step:
        return True
    return other.component in _noted(root) or root.component in _noted(other)


def _is_whole(circuit: Circuit, component: str) -> bool:
    part = circuit.parts.get(component)
    return part is None or part.kind.word in WHOLE


def _noted(finding: Finding) -> set[str]:
    """Words with which the notes of a finding begin; they name parts."""
    return {note.message.split(" ", 1)[0] for note in finding.notes if " " in note.message} - {""}


def _own_root(parent: dict[int, int], i: int) -> int:
    seen = {i}
    here = i
    while here in parent:
        here = parent[here]
        if here in seen:
            return i
        seen.add(here)
    return here
