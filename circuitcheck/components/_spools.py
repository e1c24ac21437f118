"""Spools of directional valves: positions, the edges they open, leakage over the lands."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from circuitcheck.components import _ways
from circuitcheck.components._parts import Joints, Part
from circuitcheck.laws.net import Bools, Net, Value
from circuitcheck.laws.smoothing import Array
from circuitcheck.laws.view import View

CENTRES: Mapping[str, Joints] = {
    "closed centre": (),
    "open centre": (("P", "A", "B", "T"),),
    "tandem centre": (("P", "T"),),
    "float centre": (("A", "B", "T"),),
    "regenerative centre": (("P", "A", "B"),),
    "half-open centre": (("A", "T"), ("B", "T")),
}
"""What the usual centres join; common practice, no source (names as the trade uses them).
The half-open one bleeds the work ports to tank, so that pilot checks behind them can shut."""

HALF_OPEN = 0.08
"""Opening of a half-open centre, share of the full one: 5 to 10 %; common practice, no
source."""

FOUR_WAY_A, FOUR_WAY_B = _ways.FOUR_WAY_A, _ways.FOUR_WAY_B

EDGES = (("P", "A"), ("P", "B"), ("A", "T"), ("B", "T"), ("A", "T1"), ("B", "T2"))
"""Metering edges of a spool with four or five ways; each leaks a little when shut."""


def standard(part: Part) -> dict[str, Joints]:
    """Positions of the usual spool with the part's ways, its centre or rest as chosen."""
    ways, count = part.ways or (4, 3)
    centre = CENTRES[part.choices.get("centre", "closed centre")]
    shut_at_rest = part.choices.get("rest", "closed at rest") == "closed at rest"
    return _ways.standard(ways, count, centre, shut_at_rest)


def positions(part: Part) -> Mapping[str, Joints]:
    """Positions as the text writes them out, else the standard ones."""
    found = standard(part)
    if part.spool and set(part.spool) - set(found):
        # a text that names positions of its own has written all of them
        found = {}
    return {**found, **part.spool}


def rest(part: Part) -> str:
    """Position in which the valve stands when nothing acts on it."""
    names = list(positions(part))
    for name in ("centre", "rest"):
        if name in names:
            return name
    return names[-1]


def open_edges(joints: Joints) -> set[tuple[str, str]]:
    """Passages that a position opens, as pairs of ports in the order of `_ways.ORDER`.

    Ports joined at a point are joined over the spool's own edges; P and T (or A and B)
    meet directly only where no work port (no P or T) is in the group.
    """
    found: set[tuple[str, str]] = set()
    for group in joints:
        edges = {edge for edge in EDGES if edge[0] in group and edge[1] in group}
        if edges:
            found |= edges
        else:
            ordered = sorted(group, key=_place)
            found |= {(a, b) for i, a in enumerate(ordered) for b in ordered[i + 1 :]}
    return found


def _place(letter: str) -> int:
    """Place of a port in the name of a passage; signal ports stand first."""
    return _ways.ORDER.index(letter) if letter in _ways.ORDER else -1


def passages(part: Part) -> dict[tuple[str, str], list[str]]:
    """Every passage of the valve and the positions that open it, plus the leaking edges."""
    letters = {port.letter for port in part.ports}
    found: dict[tuple[str, str], list[str]] = {
        edge: [] for edge in EDGES if edge[0] in letters and edge[1] in letters
    }
    for name, joints in part.positions.items():
        for edge in sorted(open_edges(joints)):
            found.setdefault(edge, []).append(name)
    return found


@dataclass(frozen=True)
class Lap:
    """How edges open along the travel; shares of full travel and of the full opening.

    Edges that only the worked position opens begin at ``overlap`` of the travel, or stand
    open by ``underlap`` at centre already; those that only the rest position opens are
    shut at ``closing``; at rest edges stand open by ``at_rest``.
    """

    overlap: Value = 0.0
    underlap: Value = 0.0
    closing: Value = 0.5
    at_rest: Value = 1.0

    def opening(self, x: Array, worked: bool, rest: bool) -> Array:
        """Opening 0..1 at a travel x 0..1 towards a position; continuous from the rest.

        ``worked`` and ``rest`` say whether that position and the rest position open it.
        """
        over, under = np.asarray(self.overlap), np.asarray(self.underlap)
        at_rest = np.asarray(self.at_rest)
        opened: Array
        if worked and rest:
            opened = at_rest + (1.0 - at_rest) * x
        elif worked:
            opened = np.maximum(x + under - over, 0.0) / (1.0 + under - over)
        elif rest:
            opened = at_rest * np.maximum(1.0 - x / np.asarray(self.closing), 0.0)
        else:
            opened = np.maximum(under - x, 0.0) / (1.0 + under)
        return opened


@dataclass(frozen=True)
class Spool:
    """A spool as it stands in every variant: travel towards each worked position."""

    rest: str
    travel: dict[str, Array]
    lap: Lap

    def opening(self, names: list[str]) -> Array:
        """Opening 0..1 of a passage that these positions open; shape (variants,)."""
        at_rest = self.rest in names
        x: Array = np.sum(list(self.travel.values()), axis=0)
        if not any(name in self.travel for name in names) and not at_rest:
            return np.zeros_like(x)
        found: Array = self.lap.opening(np.zeros_like(x), False, at_rest) * (x <= 0.0)
        for name, way in self.travel.items():
            moved = self.lap.opening(way, name in names, at_rest)
            found = found + np.where(way > 0.0, moved, 0.0)
        return found


def spool(net: Net | View, part: Part, lap: Lap, shifted: Bools | None = None) -> Spool:
    """Give the spool of a part; where it is not ``shifted`` it stands at rest."""
    moves = np.ones(net.variants) if shifted is None else shifted.astype(float)
    ways = {n: net.travel(n) * moves for n in part.positions if n != part.rest}
    return Spool(part.rest, ways, lap)


SIGNAL_TRAVEL = 0.01
"""Travel over which a load signal changes from vented to picked up; own choice."""


def picked_up(part: Part, worked: Spool) -> tuple[dict[str, Array], Array]:
    """How far each work port is open to the load signal, and the signal to tank; 0..1."""
    ports: dict[str, Array] = {}
    vented = np.ones_like(np.sum(list(worked.travel.values()), axis=0))
    for name, way in worked.travel.items():
        taken = np.minimum(way / SIGNAL_TRAVEL, 1.0)
        fed = {p for group in part.positions[name] if "P" in group for p in group}
        for letter in sorted(fed & {"A", "B"}):
            ports[letter] = ports.get(letter, np.zeros_like(taken)) + taken
            vented = vented - taken / len(fed & {"A", "B"})
    return ports, np.maximum(vented, 0.0)
