"""What every walk from a result to its causes needs: the step, names for places, reasons."""

from __future__ import annotations

from abc import ABC, abstractmethod
from dataclasses import dataclass

from circuitcheck.circuit.model import Circuit
from circuitcheck.laws._law import BAR
from circuitcheck.solver.operating import OperatingPoint
from circuitcheck.studies.why_formula import Formula
from circuitcheck.studies.why_network import Branch, Network

SETS = 0.15
"""Share of a result from which an element counts as one that sets it; own choice."""

LITTLE = 2e-3
"""Share of a flow that is not told by itself; own choice."""

LARGE = 0.1
"""Share of a figure from which what it is made of is told why; own choice."""

LEAST = 0.2 * BAR
"""Pressures and drops below it are not told why [Pa]; own choice."""

DEEPEST = 8
"""Reasons under reasons, at most."""


@dataclass(frozen=True)
class Reason:
    """One line of a walk: ``of`` is what it speaks of, ``said`` why, in shop words.

    ``value`` in SI; ``formula`` comes to it. ``because`` holds the reasons of its figures.
    """

    of: str
    value: float
    quantity: str
    said: str = ""
    formula: Formula | None = None
    because: tuple[Reason, ...] = ()


class Trail(ABC):
    """A walk through one step. Each place is walked once; then it is only named."""

    def __init__(self, circuit: Circuit, point: OperatingPoint, net: Network) -> None:
        self.circuit = circuit
        self.point = point
        self.net = net
        self._junctions = list(circuit.junctions)
        self._seen: set[tuple[str, int]] = set()
        self._deep = 0

    @abstractmethod
    def pressure(self, junction: int) -> Reason:
        """Say what sets the pressure of a junction."""

    @abstractmethod
    def speed(self, owner: int) -> Reason:
        """Say what sets the speed of a rod or shaft, by the number of the unknown."""

    @abstractmethod
    def arriving(self, junction: int, taker: Branch) -> Reason:
        """Say where the oil comes from, or goes to, that an element takes from a junction."""

    @abstractmethod
    def flow(self, branch: Branch) -> Reason:
        """Say what sets the flow of a passage or unit."""

    def once(self, what: str, number: int) -> bool:
        """Whether a place is walked for the first time, and not too deep."""
        key = (what, number)
        if key in self._seen or self._deep > DEEPEST:
            return False
        self._seen.add(key)
        return True

    def deeper(self) -> _Level:
        """Count how deep the walk is, for as long as the ``with`` lasts."""
        return _Level(self)

    def label(self, junction: int) -> str:
        """Name a junction by a port that stands there, lines last; "in FC1" inside a part."""
        if junction >= len(self._junctions):
            return f"inside {self.net.unknowns[junction].name.split('.')[0]}"
        ends = self.circuit.junctions[self._junctions[junction]].ends
        parts = self.circuit.parts
        rank = {"cylinder": 0, "motor": 0, "pump": 1, "tank": 2, "line": 9}
        found = sorted(ends, key=lambda end: rank.get(parts[end.part].kind.word, 3))
        if not found:
            return self._junctions[junction]
        first = found[0]
        return first.part if len(parts[first.part].ports) == 1 else str(first)

    def pressure_name(self, junction: int) -> str:
        return f"pressure at {self.label(junction)}"

    def known_as(self, part: str) -> str:
        """Name a part with its kind and state: "R1 (relief, open)"."""
        kind = self.circuit.parts[part].kind.word
        state = self.point.parts[part].state
        if kind == "line":
            return f"line {part}"
        return f"{part} ({kind}, {state})" if state else f"{part} ({kind})"

    def shaft_name(self, owner: int) -> str:
        """Name what turns with a shaft, with its state where it is a part."""
        name = self.net.unknowns[owner].name
        return self.known_as(name) if name in self.circuit.parts else name

    def worth(self, junction: int, least: float) -> bool:
        """Whether a pressure is large enough beside others to be told why."""
        pressure = abs(float(self.net.x[junction]))
        return not self.net.pinned[junction] and pressure >= max(least, LEAST)

    def open(self, branch: Branch) -> bool:
        """Whether a passage is open, leakage aside."""
        if branch.word == "modulated":
            return branch.values["opening"] > 0.0
        if branch.word in ("orifice", "hole"):
            return branch.figure("k") > 0.0
        return branch.word in ("resistor", "pipe", "tube")

    def passage_name(self, branch: Branch) -> str:
        """Name a passage: its part, and which of its ways where it has several."""
        if self.circuit.parts[branch.part].kind.word == "line":
            return f"line {branch.part}"
        ways = [b for b in self.net.of(branch.part) if b.passage]
        return f"{branch.part} {branch.name}" if len(ways) > 1 else branch.part


class _Level:
    def __init__(self, trail: Trail) -> None:
        self._trail = trail

    def __enter__(self) -> None:
        self._trail._deep += 1

    def __exit__(self, *_: object) -> None:
        self._trail._deep -= 1
