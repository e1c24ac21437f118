"""Which pressures anything decides: floating and closed volumes, from the connections."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import numpy as np
import scipy.sparse as sp
from scipy.sparse.csgraph import connected_components

from circuitcheck.laws.library import STORES
from circuitcheck.laws.machines import STILL_SHAFT
from circuitcheck.laws.measured import CASE, UNITS
from circuitcheck.laws.net import PRESSURE, Bools, Element, System
from circuitcheck.laws.smoothing import Array
from circuitcheck.solver.elimination import Ints

OPEN = 1e-6
"""Opening under which a modulated passage counts as shut."""

PIPES = ("resistor", "pipe", "tube")
"""Laws of passages that nothing shuts."""

Mask = Bools | bool


def _groups(
    system: System, joins: Callable[[int, Element], Mask], refers: Callable[[int, Element], Mask]
) -> Bools:
    """Unknowns whose group, under ``joins``, holds no reference; shape (unknowns, variants).

    Both functions get the position of an element and the element and give a mask over the
    variants. Variants in which the same elements join and refer are looked at once.
    """
    n, many = len(system.unknowns), system.variants
    if n == 0:
        return np.zeros((0, many), dtype=bool)
    ends: list[tuple[int, int]] = []
    joined: list[Mask] = []
    known: list[Mask] = [u.kind != PRESSURE or u.pinned for u in system.unknowns]
    for i, element in enumerate(system.elements):
        join = joins(i, element)
        if np.any(join):
            ends.append((element.terminals[0], element.terminals[1]))
            joined.append(join)
            if element.law == "measured":
                to_case = _coefficient(element, "to_case") > 0.0
                if to_case.any():
                    ends.append((element.terminals[0], element.terminals[CASE]))
                    joined.append(join & to_case)
        refer = refers(i, element)
        if np.any(refer):
            for terminal in element.terminals[:2]:  # a shaft or rod among them is known anyway
                known[terminal] = known[terminal] | refer
    rows, back = _looked_at([*known, *joined], many)
    from_, to = np.array(ends, dtype=np.int64).reshape(-1, 2).T
    loose = np.zeros((n, rows.shape[1]), dtype=bool)
    for column, marks in enumerate(rows.T):
        on = marks[n:]
        graph = sp.coo_matrix((np.ones(on.sum()), (from_[on], to[on])), shape=(n, n))
        count, label = connected_components(graph, directed=False)
        has = np.zeros(count, dtype=bool)
        has[label[marks[:n]]] = True
        loose[:, column] = ~has[label]
    found: Bools = loose[:, back]
    return found


def _looked_at(masks: list[Mask], many: int) -> tuple[Bools, Ints]:
    """One variant of each sort: the masks there, (masks, sorts), and the sort of every variant."""
    alike: list[Mask] = [bool(np.all(m)) or (m if np.any(m) else False) for m in masks]
    differ = [i for i, m in enumerate(alike) if not isinstance(m, bool)]
    first, back = sorts(np.array([alike[i] for i in differ], dtype=bool).reshape(-1, many))
    rows = np.empty((len(masks), len(first)), dtype=bool)
    rows[:] = np.array([isinstance(m, bool) and m for m in alike])[:, None]
    for i in differ:
        rows[i] = np.broadcast_to(alike[i], (many,))[first]
    return rows, back


def sorts(marks: Bools) -> tuple[Ints, Ints]:
    """Sort variants by their marks, (marks, variants): the first of each sort, and the sort
    of every variant."""
    differ = marks[(marks != marks[:, :1]).any(axis=1)]
    if not len(differ):
        return np.zeros(1, dtype=np.int64), np.zeros(marks.shape[1], dtype=np.int64)
    packed = np.packbits(differ, axis=0)
    _, first, back = np.unique(packed.T, axis=0, return_index=True, return_inverse=True)
    return first, back.ravel()


def _coefficient(element: Element, name: str) -> Array:
    found = element.coefficients.get(name)
    return np.zeros(1) if found is None else found


def _carries(system: System, element: Element) -> Mask:
    """Where a piston carries pressure from one side to the other: its rod is free."""
    return element.law == "piston" and ~system.unknowns[element.terminals[2]].pinned


def _open_to_air(system: System, element: Element) -> Mask:
    """Where a piston has the atmosphere on its rod side, which settles its cap side."""
    if element.law != "piston":
        return False
    alone: Mask = _coefficient(element, "rod_area") == 0.0
    return alone & _carries(system, element)


def _refers(system: System, element: Element) -> Mask:
    """Where a piston has air behind it, or oil in a store decides a closed volume."""
    if element.law in STORES:
        holds: Mask = (_coefficient(element, "rate") > 0.0) & (_coefficient(element, "start") > 0.0)
        return holds
    return _open_to_air(system, element)


def floating(system: System) -> Bools:
    """Junctions that nothing joins to a known pressure, not even leakage.

    Shape (unknowns, variants). A rod that is free to move carries pressure from one side
    of its piston to the other, and a single-acting one to the atmosphere.
    """

    def joins(_: int, element: Element) -> Mask:
        if element.law in PIPES or element.law in UNITS:
            return True
        if element.law == "gap":
            return _coefficient(element, "g") > 0.0
        if element.law in ("orifice", "hole", "modulated"):
            return _coefficient(element, "k") + _coefficient(element, "leak") > 0.0
        return _carries(system, element)

    return _groups(system, joins, lambda _, element: _refers(system, element))


def unattached(system: System) -> list[int]:
    """Rods and shafts on which no piston, rotary unit or governor acts: they stand still."""
    worked = {
        terminal
        for element in system.elements
        if element.law in ("piston", *UNITS, "slip", "coupling")
        for terminal in element.terminals
    }
    return [i for i, u in enumerate(system.unknowns) if u.kind != PRESSURE and i not in worked]


def closed(system: System, whole: Array, values: Mapping[int, Mapping[str, Array]]) -> Bools:
    """Junctions of closed volumes at a solved point: only leakage decides their pressure.

    ``whole``: unknowns in SI, (unknowns, variants); ``values``: by position of the element
    in the system, its values by name.
    """

    def joins(i: int, element: Element) -> Mask:
        if element.law in PIPES:
            return True
        if element.law in ("orifice", "hole"):
            return _coefficient(element, "k") > 0.0
        if element.law == "modulated":
            return values[i]["opening"] > OPEN
        return _carries(system, element)

    def refers(i: int, element: Element) -> Mask:
        if element.law == "void":
            return values[i]["flow"] > 0.0
        if element.law in UNITS:
            turns = np.abs(whole[element.terminals[3]]) > STILL_SHAFT
            moves: Bools = turns & (np.abs(values[i]["stroke"]) > OPEN)
            return moves
        return _refers(system, element)

    return _groups(system, joins, refers)
