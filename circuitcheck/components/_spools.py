"""Spools of directional valves: positions, the edges they open, leakage over the lands."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from circuitcheck.components._parts import Joints, Part
from circuitcheck.laws.net import Net
from circuitcheck.laws.smoothing import Array

CENTRES: Mapping[str, Joints] = {
    "closed centre": (),
    "open centre": (("P", "A", "B", "T"),),
    "tandem centre": (("P", "T"),),
    "float centre": (("A", "B", "T"),),
    "regenerative centre": (("P", "A", "B"),),
}
"""What the usual centres join; common practice, no source (names as the trade uses them)."""

FOUR_WAY_A: Joints = (("P", "A"), ("B", "T"))
FOUR_WAY_B: Joints = (("P", "B"), ("A", "T"))

EDGES = (("P", "A"), ("P", "B"), ("A", "T"), ("B", "T"))
"""Metering edges of a four-way spool; each leaks a little when shut."""


def standard(part: Part) -> dict[str, Joints]:
    """Positions of the usual spool with the part's ways, its centre or rest as chosen."""
    ways, count = part.ways or (4, 3)
    centre = CENTRES[part.choices.get("centre", "closed centre")]
    shut_at_rest = part.choices.get("rest", "closed at rest") == "closed at rest"
    if ways == 2:
        through: Joints = (("P", "A"),)
        return {"rest": () if shut_at_rest else through, "a": through if shut_at_rest else ()}
    if ways == 3:
        to_load: Joints = (("P", "A"),)
        to_tank: Joints = (("A", "T"),)
        if count == 3:
            return {"a": to_load, "centre": (), "b": to_tank}
        rest, other = (to_tank, to_load) if shut_at_rest else (to_load, to_tank)
        return {"rest": rest, "a": other}
    if count == 2:
        return {"rest": FOUR_WAY_B, "a": FOUR_WAY_A}
    return {"a": FOUR_WAY_A, "centre": centre, "b": FOUR_WAY_B}


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
    """Passages that a position opens, as pairs of ports in the order P, A, B, T.

    Ports joined at a point are joined over the spool's own edges; P and T (or A and B)
    meet directly only where no work port (no P or T) is in the group.
    """
    found: set[tuple[str, str]] = set()
    for group in joints:
        edges = {edge for edge in EDGES if edge[0] in group and edge[1] in group}
        if edges:
            found |= edges
        else:
            ordered = sorted(group, key="PABT".find)
            found |= {(a, b) for i, a in enumerate(ordered) for b in ordered[i + 1 :]}
    return found


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


def opening(net: Net, names: list[str]) -> Array:
    """Opening 0..1 of a passage that these positions open."""
    found = np.zeros(net.variants)
    for name in names:
        found = found + net.travel(name)
    return found
