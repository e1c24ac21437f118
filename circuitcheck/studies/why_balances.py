"""What flows at a junction, added up and named."""

from __future__ import annotations

from abc import abstractmethod

from circuitcheck.laws.library import STORES
from circuitcheck.laws.smoothing import Array
from circuitcheck.studies.why_formula import Formula, Term
from circuitcheck.studies.why_network import UNITS, Branch
from circuitcheck.studies.why_trail import Reason, Trail

MOST = 5
"""Flows of a balance that are told by themselves."""


class Balances(Trail):
    """The part of the walk that adds up flows."""

    @abstractmethod
    def follow(self, junction: int, taker: Branch, gains: Array, size: float) -> Reason:
        """Follow the oil that an element takes from a junction, to what sets it.

        ``gains`` are those of the result that is explained, ``size`` is its value.
        """

    def own_gains(self, branch: Branch) -> tuple[Array, float]:
        gains = self.net.gains(self.net.towards_value(branch, "flow"))
        return gains, branch.values["flow"]

    def share_of(self, branch: Branch, gains: Array, size: float) -> float:
        return self.net.more(branch, gains) / size if size else 0.0

    def others_at(self, junction: int, taker: Branch, way: float) -> dict[Branch, float]:
        """What all others bring to a junction; a pump and its slip count as one."""
        found: dict[Branch, float] = {}
        here = [b for b in self.net.at.get(junction, []) if b is not taker and b.into(junction)]
        units = {b.part: b for b in here if b.word in UNITS}
        for branch in here:
            key = branch if branch.word == "void" else units.get(branch.part, branch)
            found[key] = found.get(key, 0.0) + way * branch.into(junction)
        return found

    def sum_of(self, others: dict[Branch, float], notable: list[Branch], junction: int) -> Formula:
        terms = [
            Term(f"Q{i}", abs(others[b]), "flow", self.named_at(b, junction))
            for i, b in enumerate(notable, 1)
        ]
        signs = ["-" if others[b] < 0.0 else "+" for b in notable]
        left = sum(value for b, value in others.items() if b not in notable)
        whole = sum(abs(others[b]) for b in notable)
        if abs(left) > 1e-9 * whole:
            terms.append(Term("L", abs(left), "flow", "leakage and what else is little"))
            signs.append("-" if left < 0.0 else "+")
        right = " ".join(f"{s} {t.letter}" for s, t in zip(signs, terms, strict=True))
        right = right.removeprefix("+ ") if right.startswith("+ ") else f"-{right[2:]}"
        return Formula("Q", "flow", right, tuple(terms))

    def named_at(self, branch: Branch, junction: int) -> str:
        """Name what an element does at a junction."""
        gives = branch.into(junction) > 0.0
        if branch.word == "void":
            return f"oil missing at {self.label(junction)}, which runs empty"
        if branch.word == "piston":
            side = "cap" if branch.ends[0] == junction else "rod"
            return f"{branch.part}, its {side} end {'giving' if gives else 'taking'} it"
        if branch.name in ("slip", "case slip", "seal"):
            return f"{branch.part}, its {'slip' if 'slip' in branch.name else 'seal'}"
        if branch.word in UNITS or branch.word in STORES:
            return self.known_as(branch.part)
        return f"{self.passage_name(branch)}{self.state_of(branch.part)}"

    def state_of(self, part: str) -> str:
        state = self.point.parts[part].state
        return f", {state}" if state and self.circuit.parts[part].kind.word != "line" else ""

    def besides(self, branch: Branch, junction: int) -> tuple[Reason, ...]:
        """One line on what also takes oil at a junction; nothing on plain lines."""
        taken, known = -branch.into(junction), self.known_as(branch.part)
        if branch.word == "modulated":
            said = f"{known} lets it through"
        elif branch.word == "piston":
            said = f"{known} {'takes' if taken > 0.0 else 'gives'} it as it moves"
        elif branch.word in STORES:
            said = f"{known} {'takes' if taken > 0.0 else 'gives'} it"
        else:
            return ()
        return (Reason(f"flow of {self.passage_name(branch)}", abs(taken), "flow", said),)
