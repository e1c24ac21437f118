"""What cannot be solved, said from the structure of the equations before any number is tried.

Every balance needs an unknown of its own that can settle it. Which unknown is able to change
which balance is a bipartite graph; where its largest matching leaves a balance over, sources
force oil (or motion) in where nothing can give way. The balances on alternating paths from
there are the overdetermined part of Dulmage and Mendelsohn's decomposition (standard, from
memory), and their parts are the ones to look at. What no known pressure is joined to is
found in `structure` and put into words here.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import scipy.sparse as sp
from scipy.sparse.csgraph import connected_components, maximum_bipartite_matching

from circuitcheck.basics.findings import Finding, Severity
from circuitcheck.circuit.model import Circuit, Step
from circuitcheck.laws.measured import UNITS
from circuitcheck.laws.net import PRESSURE, Bools, System
from circuitcheck.laws.smoothing import EXACT, Smoothing
from circuitcheck.solver.equations import Equations, Ints
from circuitcheck.solver.structure import sorts

CONTRADICT, NO_WAY, TRAPPED = "sources-contradict", "no-way-for-oil", "trapped-volume"
NO_REFERENCE, APART, ALONE = "no-reference", "circuit-apart", "part-stands-alone"

NONE = 1e-10
"""Slope under which an unknown does not change a balance [L/min per bar, and its like]: that
of the smallest leak is 1000 times as much, and figures lose what is smaller."""

PROBES, SPREAD = 2, 100.0
"""Points, each with its opposite, at which slopes are looked at, and how far they lie from
nothing [bar]."""

SMOOTH = Smoothing(0.3, tails=True, creep=1e3)
"""With tails no slope that could be is nothing by chance: a shut relief has one, too."""


@dataclass(frozen=True)
class IllPosed:
    """A part of the circuit that has no answer, or not one.

    ``names``: junctions, rods and shafts; ``sources``: parts that force oil in there;
    ``parts``: all parts at them; ``where``: variants, shape (variants,).
    """

    slug: str
    names: tuple[str, ...]
    sources: tuple[str, ...]
    parts: tuple[str, ...]
    where: Bools


def contradictions(equations: Equations) -> list[IllPosed]:
    """Find balances that no unknown is left to settle. Such variants must not be tried."""
    found: dict[tuple[int, ...], Bools] = {}
    if equations.n == 0:
        return []
    pattern = equations.pattern
    representatives, same = _sorts(equations)
    able = _able(equations, representatives)
    still = np.zeros((equations.n, len(representatives)))
    pushed, _ = equations.chosen(representatives).residual(still, EXACT)
    for i, column in enumerate(able.T):
        if column[pattern.diagonal].all():
            continue  # every balance has its own unknown
        shape = (equations.n, equations.n)
        places = pattern.rows[column], pattern.columns[column]
        graph = sp.csr_matrix((np.ones(column.sum()), places), shape)
        for rows in _overdetermined(graph):
            if not (pushed[list(rows), i] > NONE).any():
                continue  # oil is drawn from where none comes: it goes empty, which is solved
            none = np.zeros(equations.variants, dtype=bool)
            found[rows] = found.get(rows, none) | (same == i)
    return [_contradiction(equations, rows, where) for rows, where in found.items()]


def _sorts(equations: Equations) -> tuple[Ints, Ints]:
    """Sort variants by what is pinned and which figures are nothing: one of each sort, and
    the sort of every variant."""
    return sorts(np.concatenate([equations.stay, equations.figures == 0.0]))


def _able(equations: Equations, which: Ints) -> Bools:
    """Whether each entry of the Jacobian can be other than nothing, (entries, len(which)).

    Oil that is missing (`laws.machines.Void`) settles no balance: it is no supply.
    """
    pattern = equations.pattern
    lots = np.random.default_rng(1).normal(0.0, SPREAD, (PROBES, equations.n))
    points = np.concatenate([lots, -lots, np.zeros((1, equations.n))])  # at rest only, friction
    count = len(points)  # has a slope; all points at once, each beside the others
    chosen = equations.chosen(np.repeat(which, count))
    chosen.evaluate(np.tile(points.T, len(which)), SMOOTH)
    for group in equations.groups:
        if group.law.word == "void":
            chosen.slopes[group.first_slope :][: group.slopes] = 0.0
    sloping = np.abs(pattern.to_entries @ chosen.slopes) > NONE
    able: Bools = sloping.reshape(pattern.entries, len(which), count).any(axis=2)
    stay = equations.stay[:, which]
    able[stay[pattern.rows] | stay[pattern.columns]] = False
    able[pattern.diagonal] |= stay
    return able


def _overdetermined(graph: sp.csr_matrix) -> Iterator[tuple[int, ...]]:
    """Give each set of balances that has one unknown less than it needs."""
    column_of = maximum_bipartite_matching(graph, perm_type="column")
    row_of = np.full(graph.shape[1], -1)
    row_of[column_of[column_of >= 0]] = np.flatnonzero(column_of >= 0)
    for left_over in np.flatnonzero(column_of < 0).tolist():
        rows, waiting = {left_over}, [left_over]
        while waiting:
            row = waiting.pop()
            for column in graph.indices[graph.indptr[row] : graph.indptr[row + 1]]:
                other = int(row_of[column])
                if other not in rows:
                    rows.add(other)
                    waiting.append(other)
        yield tuple(sorted(rows))


def _contradiction(equations: Equations, rows: tuple[int, ...], where: Bools) -> IllPosed:
    system, unknowns = equations.system, {int(equations.free[row]) for row in rows}
    sources = [
        element.part
        for element in system.elements
        if element.law in UNITS and unknowns & set(element.terminals[:2])
    ]
    parts = _parts_at(system, unknowns)
    slug = CONTRADICT if len(set(sources)) > 1 else NO_WAY if sources else TRAPPED
    names = tuple(system.unknowns[i].name for i in sorted(unknowns))
    return IllPosed(slug, names, tuple(dict.fromkeys(sources)), parts, where)


def _parts_at(system: System, unknowns: set[int]) -> tuple[str, ...]:
    """Parts that stand at some unknowns, in the order of the text."""
    return tuple(
        dict.fromkeys(e.part for e in system.elements if unknowns.intersection(e.terminals))
    )


def undecided(system: System, loose: Bools, alone: list[int]) -> list[IllPosed]:
    """Put what nothing decides into words.

    ``loose``: junctions that no known pressure is joined to, (unknowns, variants);
    ``alone``: rods and shafts on which nothing works.
    """
    found: list[IllPosed] = []
    if loose.any():
        known = np.array([u.kind == PRESSURE and u.pinned.all() for u in system.unknowns])
        reference = bool((known & ~loose.all(axis=1)).any())
        for group in _groups(system, loose):
            where: Bools = np.any(loose[group], axis=0)
            parts = _parts_at(system, set(group))
            moved = any(
                e.law in UNITS and set(e.terminals[:2]).intersection(group) for e in system.elements
            )
            slug = TRAPPED
            if not reference:
                slug = NO_REFERENCE
            elif moved and where.all():
                slug = APART
            names = tuple(system.unknowns[i].name for i in group)
            found.append(IllPosed(slug, names, (), parts, where))
    for index in alone:
        name = system.unknowns[index].name
        everywhere = np.ones(system.variants, dtype=bool)
        found.append(IllPosed(ALONE, (name,), (), (name,), everywhere))
    return found


def _groups(system: System, loose: Bools) -> list[list[int]]:
    """Loose junctions that parts join to each other, in any variant."""
    some: Bools = np.any(loose, axis=1)
    joined = [
        (a, b)
        for element in system.elements
        for a, b in zip(element.terminals[:1], element.terminals[1:2], strict=False)
        if some[a] and some[b]
    ]
    n = len(system.unknowns)
    from_, to = np.array(joined, dtype=np.int64).reshape(-1, 2).T
    _, label = connected_components(sp.coo_matrix((np.ones(len(from_)), (from_, to)), (n, n)))
    return [np.flatnonzero(some & (label == group)).tolist() for group in np.unique(label[some])]


def barred(found: list[IllPosed], variants: int) -> Bools:
    """Variants in which some balance has nothing to settle it, shape (variants,)."""
    mask = np.zeros(variants, dtype=bool)
    for one in found:
        mask |= one.where
    return mask


def findings(circuit: Circuit, steps: list[Step], found: list[IllPosed]) -> list[Finding]:
    """Say what is ill-posed; one variant a step."""
    said: list[Finding] = []
    for one in found:
        names = [step.name for step, here in zip(steps, one.where, strict=True) if here]
        when = "" if one.where.all() else f"step{'s' * (len(names) > 1)} {listed(names)}: "
        parts = one.parts or _joined_at(circuit, one.names)
        guilty = next(iter(one.sources or parts))
        severity, message, remedy = WORDS[one.slug]
        said.append(
            Finding(
                slug=one.slug,
                severity=severity,
                message=when
                + message.format(
                    sources=listed(one.sources),
                    names=listed(one.names),
                    parts=listed(parts),
                    others=listed([p for p in parts if p not in one.sources]) or "the rest",
                ),
                place=circuit.parts[guilty].place,
                component=guilty,
                step=names[0] if len(names) == 1 else "",
                remedy=remedy,
            )
        )
    return said


def _joined_at(circuit: Circuit, names: Sequence[str]) -> tuple[str, ...]:
    """Parts that are joined at some junctions, though nothing of them passes oil there."""
    ends = (end for name in names for end in circuit.junctions[name].ends)
    return tuple(dict.fromkeys(end.part for end in ends))


WORDS = {
    CONTRADICT: (
        Severity.ERROR,
        "{sources} force oil in at {names}, where {others} cannot give way",
        "sources without slip cannot share a line that takes only one flow; a relief valve or a "
        "way to the tank belongs there",
    ),
    NO_WAY: (
        Severity.ERROR,
        "{sources} forces oil in at {names}, where {others} cannot give way",
        "a relief valve belongs there, or a path that is shut should be open",
    ),
    TRAPPED: (
        Severity.WARNING,
        "the oil between {parts} is trapped: nothing, not even leakage, decides the pressure at "
        "{names}",
        "join the volume to something, or give the leakage of the part that shuts it",
    ),
    NO_REFERENCE: (
        Severity.ERROR,
        "no pressure is known: no tank is joined to {parts}",
        "add a tank, and join suction, return and drain lines to it",
    ),
    APART: (
        Severity.ERROR,
        "{parts} are a circuit of their own, apart from the others and without a tank",
        "join them to the rest, or give them a tank",
    ),
    ALONE: (
        Severity.WARNING,
        "nothing turns or moves {parts}, and it turns nothing; it stands still",
        "say what it is driven by, or leave it out",
    ),
}


MOST_NAMED = 6


def listed(names: Sequence[str]) -> str:
    """Join names in a sentence, the first few."""
    if len(names) > MOST_NAMED:
        return ", ".join(names[:MOST_NAMED]) + f" and {len(names) - MOST_NAMED} more"
    return " and ".join(filter(None, (", ".join(names[:-1]), names[-1] if names else "")))
