"""Which pressures anything decides: floating and closed volumes, from the connections."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import scipy.sparse as sp
from scipy.sparse.csgraph import connected_components

from circuitcheck.laws.library import STORES
from circuitcheck.laws.machines import STILL_SHAFT
from circuitcheck.laws.measured import CASE, UNITS
from circuitcheck.laws.net import PRESSURE, Bools, Element, System
from circuitcheck.laws.smoothing import Array

OPEN = 1e-6
"""Opening under which a modulated passage counts as shut."""

Joins = Callable[[Element, int], bool]


def _groups(system: System, joins: Joins, refers: Joins, variant: int) -> Bools:
    """Unknowns whose group, under ``joins``, holds no reference in this variant."""
    n = len(system.unknowns)
    if n == 0:
        return np.zeros(0, dtype=bool)
    from_: list[int] = []
    to: list[int] = []
    referred = np.array([u.kind != PRESSURE or bool(u.pinned[variant]) for u in system.unknowns])
    for element in system.elements:
        if joins(element, variant):
            from_.append(element.terminals[0])
            to.append(element.terminals[1])
            if element.law == "measured" and _coefficient(element, "to_case", variant) > 0.0:
                from_.append(element.terminals[0])
                to.append(element.terminals[CASE])
        if refers(element, variant):
            referred[list(element.terminals[:2])] = True  # a shaft or rod among them is one
    ends = (np.array(from_, dtype=np.int64), np.array(to, dtype=np.int64))
    graph = sp.coo_matrix((np.ones(len(from_)), ends), shape=(n, n))
    count, label = connected_components(graph, directed=False)
    has = np.zeros(count, dtype=bool)
    has[label[referred]] = True
    loose: Bools = ~has[label]
    return loose


def _coefficient(element: Element, name: str, variant: int) -> float:
    found = element.coefficients.get(name)
    return 0.0 if found is None else float(found[variant])


def _carries(system: System, element: Element, v: int) -> bool:
    """Whether a piston carries pressure from one side to the other: its rod is free."""
    return element.law == "piston" and not system.unknowns[element.terminals[2]].pinned[v]


def _open_to_air(system: System, element: Element, v: int) -> bool:
    """Whether a piston has the atmosphere on its rod side, which settles its cap side."""
    return _carries(system, element, v) and _coefficient(element, "rod_area", v) == 0.0


def _holds(element: Element, v: int) -> bool:
    """Whether oil in a store decides the pressure of a volume that is else closed."""
    return (
        element.law in STORES
        and _coefficient(element, "rate", v) > 0.0
        and _coefficient(element, "start", v) > 0.0
    )


def floating(system: System) -> Bools:
    """Junctions that nothing joins to a known pressure, not even leakage.

    Shape (unknowns, variants). A rod that is free to move carries pressure from one side
    of its piston to the other, and a single-acting one to the atmosphere.
    """

    def joins(element: Element, v: int) -> bool:
        if element.law in ("resistor", "pipe", "tube"):
            return True
        if element.law == "gap":
            return _coefficient(element, "g", v) > 0.0
        if element.law in ("orifice", "hole", "modulated"):
            return _coefficient(element, "k", v) + _coefficient(element, "leak", v) > 0.0
        return element.law in UNITS or _carries(system, element, v)

    def refers(element: Element, v: int) -> bool:
        return _open_to_air(system, element, v) or _holds(element, v)

    columns = [_groups(system, joins, refers, v) for v in range(system.variants)]
    return np.stack(columns, axis=1)


def unattached(system: System) -> list[int]:
    """Rods and shafts on which no piston, rotary unit or governor acts: they stand still."""
    worked = {
        terminal
        for element in system.elements
        if element.law in ("piston", *UNITS, "slip", "coupling")
        for terminal in element.terminals
    }
    return [i for i, u in enumerate(system.unknowns) if u.kind != PRESSURE and i not in worked]


def closed(system: System, whole: Array, values: dict[int, dict[str, Array]]) -> Bools:
    """Junctions of closed volumes at a solved point: only leakage decides their pressure.

    ``whole``: unknowns in SI, (unknowns, variants); ``values``: by position of the element
    in the system, its values by name.
    """
    index = {id(element): i for i, element in enumerate(system.elements)}

    def joins(element: Element, v: int) -> bool:
        if element.law in ("resistor", "pipe", "tube"):
            return True
        if element.law in ("orifice", "hole"):
            return _coefficient(element, "k", v) > 0.0
        if element.law == "modulated":
            return bool(values[index[id(element)]]["opening"][v] > OPEN)
        return _carries(system, element, v)

    def refers(element: Element, v: int) -> bool:
        if element.law == "void":
            return bool(values[index[id(element)]]["flow"][v] > 0.0)
        if element.law in UNITS:
            stroke = float(values[index[id(element)]]["stroke"][v])
            return bool(abs(whole[element.terminals[3], v]) > STILL_SHAFT and abs(stroke) > OPEN)
        return _open_to_air(system, element, v) or _holds(element, v)

    columns = [_groups(system, joins, refers, v) for v in range(system.variants)]
    return np.stack(columns, axis=1)
