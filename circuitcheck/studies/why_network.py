"""One solved step as a network: elements with their values, and what moves what.

Everything is linear near an operating point. For a result h one transposed solve gives the
gains of h by oil that is added at a junction, by force on a rod, by torque on a shaft (adjoint
method; standard, from memory). From them follows how much of h an element sets, and which
setting a pressure follows.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
import scipy.sparse as sp
from scipy.sparse.linalg import SuperLU, splu

from circuitcheck.laws._law import Law
from circuitcheck.laws.net import PRESSURE, Element, Unknown
from circuitcheck.laws.smoothing import EXACT, Array
from circuitcheck.solver import structure
from circuitcheck.solver.answer import Answer

PASSAGES = ("gap", "resistor", "orifice", "hole", "tube", "pipe", "modulated")
"""Laws of elements that let oil from their first terminal to their second."""

UNITS = ("rotary", "measured")


@dataclass(frozen=True, eq=False)
class Branch:
    """An element at the operating point: values and coefficients in SI, slopes (values,
    terminals)."""

    element: Element
    law: Law
    values: Mapping[str, float]
    slopes: Array
    coefficients: Mapping[str, Array]

    @property
    def word(self) -> str:
        return self.element.law

    @property
    def part(self) -> str:
        return self.element.part

    @property
    def name(self) -> str:
        return self.element.name

    @property
    def ends(self) -> tuple[int, ...]:
        return self.element.terminals

    @property
    def passage(self) -> bool:
        return self.word in PASSAGES

    def figure(self, name: str) -> float:
        """Give a coefficient that is one number."""
        return float(self.coefficients[name].ravel()[0])

    def into(self, unknown: int) -> float:
        """Give what the element brings into the balance of an unknown: flow, force, torque."""
        return sum(
            stamp.sign * self.values[self.law.values[stamp.value]]
            for stamp in self.law.stamps
            if self.ends[stamp.terminal] == unknown
        )

    def into_port(self, port: str) -> float:
        """Give the flow into the part by one of its ports."""
        return -sum(
            stamp.sign * self.values[self.law.values[stamp.value]]
            for stamp in self.law.stamps
            if self.element.ports[stamp.terminal] == port
        )

    def across(self, junction: int) -> int:
        """Give the junction at the other end of a passage."""
        return self.ends[1] if self.ends[0] == junction else self.ends[0]

    def port(self, unknown: int) -> str:
        """Give the letter of the port by which the element stands at a junction."""
        return next(
            (p for p, t in zip(self.element.ports, self.ends, strict=True) if t == unknown and p),
            "",
        )


class Network:
    """A step of a solved case. ``x`` are the unknowns [SI]; ``branches`` the elements."""

    def __init__(self, answer: Answer, step: int) -> None:
        self.answer = answer
        self.step = step
        self.unknowns: list[Unknown] = answer.system.unknowns
        self.x: Array = answer.whole[:, step]
        self.pinned = answer.equations.all_pinned[:, step]
        self.loose = answer.loose[:, step]
        self._chosen = answer.equations.chosen(np.array([step]))
        self.branches: list[Branch] = []
        for group, figures in zip(answer.equations.groups, self._chosen.figures, strict=True):
            at = answer.whole[:, [step]][group.terminals]
            value, slope = group.law.evaluate(at, figures, EXACT)
            for e, element in enumerate(group.elements):
                own = {n: _one(c, e, len(group.elements)) for n, c in figures.items()}
                named = {n: float(value[j, e, 0]) for j, n in enumerate(group.law.values)}
                self.branches.append(Branch(element, group.law, named, slope[..., e, 0], own))
        # what many walks through one step ask for again
        self._gains: dict[int, Array] = {}
        self._changes: dict[tuple[int, str], Array] = {}
        self.hung: dict[int, Any] = {}
        self.at: dict[int, list[Branch]] = {}
        self._of: dict[str, list[Branch]] = {}
        for branch in self.branches:
            self._of.setdefault(branch.part, []).append(branch)
            for end in {branch.ends[s.terminal] for s in branch.law.stamps}:
                self.at.setdefault(end, []).append(branch)

    @cached_property
    def shut(self) -> Array:
        """Junctions whose pressure only leakage decides, (unknowns,)."""
        found = structure.closed(self.answer.system, self.answer.whole, self.answer.values)
        return np.asarray(found[:, self.step])

    def owner(self, name: str) -> int | None:
        """Give the number of the rod or shaft speed of a part."""
        return self.answer.owners.get(name)

    def port(self, part: str, port: str) -> int | None:
        """Give the number of the junction at a port."""
        return self.answer.ports_of.get(part, {}).get(port)

    def of(self, part: str) -> list[Branch]:
        """Give the elements of a part."""
        return self._of.get(part, [])

    def is_pressure(self, unknown: int) -> bool:
        return self.unknowns[unknown].kind == PRESSURE

    # ---- what moves what -------------------------------------------------------------------

    @cached_property
    def _solver(self) -> SuperLU | None:
        """Factors of the transposed Jacobian; None where it is exactly singular."""
        equations, n = self.answer.equations, self.answer.equations.n
        if n == 0:
            return None
        x = self.answer.found.x[:, [self.step]]
        _, entries = self._chosen.residual(x, EXACT)
        places = (equations.pattern.rows, equations.pattern.columns)
        try:
            return splu(sp.csc_matrix((entries[:, 0], places), shape=(n, n)).T.tocsc())
        except RuntimeError:
            return None

    @property
    def regular(self) -> bool:
        """Whether it can be said what moves what."""
        return self._solver is not None

    def gains(self, towards: Array) -> Array:
        """Give d h / d (what is added to each balance), (unknowns,), in SI.

        ``towards`` is d h / d unknowns, (unknowns,). Pinned unknowns have none.
        """
        equations = self.answer.equations
        found = np.zeros(len(self.x))
        if self._solver is None:
            return found
        free = equations.free
        adjoint: Array = self._solver.solve(towards[free] * equations.scale[free])
        live = ~equations.stay[:, self.step]
        found[free] = -np.where(live, adjoint, 0.0) / equations.row_scale[free]
        return found

    def gains_of(self, unknown: int) -> Array:
        """Give the gains where h is one of the unknowns; kept, as many walks ask for them."""
        found = self._gains.get(unknown)
        if found is None:
            towards = np.zeros(len(self.x))
            towards[unknown] = 1.0
            found = self._gains[unknown] = self.gains(towards)
        return found

    def towards_value(self, branch: Branch, value: str) -> Array:
        """Give d h / d unknowns where h is a value of an element."""
        found = np.zeros(len(self.x))
        np.add.at(found, list(branch.ends), branch.slopes[branch.law.values.index(value)])
        return found

    def more(self, branch: Branch, gains: Array) -> float:
        """Give what h gains if the element passes twice as much (to first order)."""
        return float(sum(gains[end] * branch.into(end) for end in set(branch.ends)))

    def turned(self, branch: Branch, name: str, by: float, gains: Array) -> float:
        """Give d h / d coefficient by changing it a little; ``by`` is that change [SI]."""
        change = self._changes.get((id(branch), name))
        if change is None:
            figures = {n: c[..., None, None] for n, c in branch.coefficients.items()}
            x = self.x[list(branch.ends)][:, None, None]
            low, _ = branch.law.evaluate(x, {**figures, name: figures[name] - by}, EXACT)
            high, _ = branch.law.evaluate(x, {**figures, name: figures[name] + by}, EXACT)
            change = self._changes[id(branch), name] = (high - low)[:, 0, 0] / (2.0 * by)
        stamps = branch.law.stamps
        return float(sum(s.sign * change[s.value] * gains[branch.ends[s.terminal]] for s in stamps))

    def follows(self, branch: Branch, junction: int, gains: Array) -> float:
        """Give how far h follows the known pressure of a junction, by one element there."""
        return float(
            sum(
                s.sign * branch.slopes[s.value][t] * gains[branch.ends[s.terminal]]
                for s in branch.law.stamps
                for t, end in enumerate(branch.ends)
                if end == junction
            )
        )


def _one(c: Array, e: int, count: int) -> Array:
    """Take the coefficient of one element out of those of its group."""
    if c.ndim >= 2 and c.shape[-2] == count:
        return np.asarray(c[..., e, 0])
    return np.asarray(c[..., 0])
