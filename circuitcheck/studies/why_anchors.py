"""What a pressure could hang on, and how far it follows it."""

from __future__ import annotations

import heapq
from dataclasses import dataclass

import numpy as np

from circuitcheck.laws._law import BAR
from circuitcheck.laws.library import STORES
from circuitcheck.laws.smoothing import Array
from circuitcheck.studies.why_laws import controls, felt
from circuitcheck.studies.why_network import UNITS, Branch
from circuitcheck.studies.why_trail import Trail

FOLLOWS = 0.3
"""Share by which a pressure must follow what could set it; own choice."""

AGAINST = 0.5
"""Share of what a spool feels of a pressure from which another one stands against it."""


@dataclass(frozen=True)
class Anchor:
    """What a pressure could hang on: ``kind`` of it, its element, the junction where it sits.

    ``here``: it settles the pressure of that junction only, because it keeps a difference.
    """

    kind: str
    branch: Branch | None
    junction: int
    follows: float
    here: bool = False


class Anchors(Trail):
    """The part of the walk that finds what settles a pressure."""

    def hangs_on(self, junction: int) -> tuple[Anchor, list[Branch]] | None:
        """Give what sets a pressure, the nearest of those that it follows, and the way there."""
        if junction not in self.net.hung:
            self.net.hung[junction] = self._nearest(junction)
        found: tuple[Anchor, list[Branch]] | None = self.net.hung[junction]
        return found

    def _nearest(self, junction: int) -> tuple[Anchor, list[Branch]] | None:
        net = self.net
        gains = net.gains_of(junction)
        known = [a for a in self._anchors(gains) if a.follows >= FOLLOWS]
        own = [a for a in known if a.junction == junction and a.kind in ("rod", "shaft")]
        if own:
            return own[0], []
        reach = self._reach(junction)
        near = [a for a in known if a.junction in reach and (a.junction == junction or not a.here)]
        if not near:
            return None
        best = min(near, key=lambda a: (reach[a.junction][0], -a.follows))
        return best, reach[best.junction][1]

    def _anchors(self, gains: Array) -> list[Anchor]:
        net, found = self.net, list[Anchor]()
        for branch in net.branches:
            if branch.word == "piston":
                found += self._rod(branch, gains)
            elif branch.word in UNITS:
                found += self._rotary(branch, gains)
            elif feels := felt(branch):
                found += self._part_open(branch, feels, gains)
            elif branch.word in STORES:
                end = branch.ends[0]
                follows = abs(branch.slopes[0][0] * gains[end])
                found.append(Anchor("store", branch, end, follows))
        for tank in np.flatnonzero(net.pinned[: len(self._junctions)]):
            at = int(tank)
            follows = abs(sum(net.follows(b, at, gains) for b in net.branches if at in b.ends))
            found.append(Anchor("tank", None, at, follows))
        return found

    def _part_open(self, branch: Branch, feels: dict[int, float], gains: Array) -> list[Anchor]:
        """A valve that stands part open settles the pressures that it feels.

        One that feels two of them against each other keeps their difference: it settles the
        one that its own oil flows by.
        """
        net, found = self.net, list[Anchor]()
        most = max(abs(w) for w in feels.values())
        follows = abs(net.turned(branch, "offset", 10.0, gains)) * most
        free = {end: weight for end, weight in feels.items() if not net.pinned[end]}
        for end, weight in free.items():
            # back pressure of a drain, small beside what is felt, does not count
            felt_here = abs(weight * float(net.x[end]))
            against = any(
                w * weight < 0.0 and abs(w * float(net.x[e])) > AGAINST * felt_here
                for e, w in free.items()
            )
            if not against or end in branch.ends[:2]:
                found.append(Anchor("valve", branch, end, follows, against))
        return found

    def _rod(self, branch: Branch, gains: Array) -> list[Anchor]:
        rod = branch.ends[2]
        if self.net.pinned[rod]:
            return []
        areas = branch.figure("cap_area"), branch.figure("rod_area")
        return [
            Anchor("rod", branch, branch.ends[i], abs(gains[rod]) * area)
            for i, area in enumerate(areas)
            if area > 0.0 and self._settled(branch.ends[i], rod, area)
        ]

    def _settled(self, chamber: int, owner: int, area: float) -> bool:
        """Whether the load settles the pressure of this chamber, not only of the other."""
        gains = self.net.gains_of(chamber)
        return bool(abs(gains[owner]) * area >= 0.5)

    def _rotary(self, branch: Branch, gains: Array) -> list[Anchor]:
        net, found = self.net, list[Anchor]()
        shaft, full = branch.ends[3], branch.figure("full")
        if not net.pinned[shaft] and not self.circuit.parts[branch.part].kind.driven:
            stroke = abs(branch.values["stroke"])
            follows = abs(gains[shaft]) * full * stroke
            found += [
                Anchor("shaft", branch, end, follows)
                for end in branch.ends[:2]
                if self._settled(end, shaft, full * stroke)
            ]
        if 0.0 < abs(branch.values["stroke"]) < 1.0:
            for name in controls(net, branch):
                size = branch.figure(name)
                slope = abs(net.turned(branch, name, 1e-6 * size, gains))
                follows = slope * (size / max(abs(float(net.x[branch.ends[0]])), BAR)
                                   if name == "torque" else 1.0)  # fmt: skip
                found.append(Anchor(name, branch, branch.ends[0], follows))
        return found

    def _reach(self, start: int) -> dict[int, tuple[float, list[Branch]]]:
        """Ways of least resistance from a junction through open passages."""
        found: dict[int, tuple[float, list[Branch]]] = {}
        heap: list[tuple[float, int, int, list[Branch]]] = [(0.0, 0, start, [])]
        count = 1
        while heap:
            cost, _, at, path = heapq.heappop(heap)
            if at in found:
                continue
            found[at] = (cost, path)
            if self.net.pinned[at]:
                continue
            for branch in self.net.at.get(at, []):
                if branch.passage and self.open(branch):
                    slope = max(abs(branch.slopes[0][0]), abs(branch.slopes[0][1]), 1e-30)
                    heapq.heappush(
                        heap, (cost + 1.0 / slope, count, branch.across(at), [*path, branch])
                    )
                    count += 1
        return found
