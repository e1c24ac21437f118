"""What must hold for the flows at all ports, whatever the pressures: volume is conserved."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from circuitcheck.circuit.model import Claim
from circuitcheck.components._parts import Part
from circuitcheck.laws.smoothing import Array
from circuitcheck.rules._case import Case
from circuitcheck.rules._loads import areas
from circuitcheck.rules._paths import State

Port = tuple[str, str]


class FlowAt(NamedTuple):
    """Port at which a flow was read, and its sign: 1 into the part."""

    port: Port
    sign: float


def port_index(case: Case) -> dict[Port, int]:
    """Number every joined port: (part, letter) to column."""
    ports = [(part, port) for part, joints in case.network.joints.items() for port in joints]
    return {port: i for i, port in enumerate(ports)}


def flow_at(case: Case, reading: Claim) -> FlowAt | None:
    """Where a reading of flow was taken; None where that is not one port."""
    part = case.circuit.parts.get(reading.subject)
    if part is None or reading.what not in ("flow", "case drain"):
        return None
    if reading.what == "case drain":
        return FlowAt((part.name, "L"), -1.0)
    if reading.port:
        return FlowAt((part.name, reading.port), 1.0)
    if part.kind.word == "pump":
        return FlowAt((part.name, "P"), -1.0)
    letters = [port.letter for port in part.ports]
    if letters == ["in", "out"]:
        return FlowAt((part.name, "in"), 1.0)
    return FlowAt((part.name, "start"), 1.0) if letters == ["start", "end"] else None


def balance_rows(case: Case, state: State, index: dict[Port, int]) -> Array:
    """Rows c with c . flows = 0, shape (rules, ports); flows count into the part."""
    rows: list[dict[int, float]] = []
    for junction in case.circuit.junctions.values():
        if junction.name not in case.network.tanks:
            rows.append({index[end.part, end.port]: 1.0 for end in junction.ends})
    for part in case.circuit.parts.values():
        rows += _part_rows(case, part, state, index)
    matrix = np.zeros((len(rows), len(index)))
    for i, row in enumerate(rows):
        for column, value in row.items():
            matrix[i, column] = value
    return matrix


def _part_rows(
    case: Case, part: Part, state: State, index: dict[Port, int]
) -> list[dict[int, float]]:
    at = {port: index[part.name, port] for port in case.network.joints[part.name]}
    word = part.kind.word
    # what these take up in a step is not known here
    if word in ("tank", "accumulator", "telescopic cylinder") or not at:
        return []
    if word == "cylinder":
        cap, rod = areas(part)
        if "cap" in at and "rod" in at:
            return [{at["cap"]: rod, at["rod"]: cap}]
        return []
    if len(at) == 1:
        return [{column: 1.0} for column in at.values()]
    if word == "valve":
        groups = [set(group) & set(at) for group in part.positions[state.position(part)]]
        joined = set().union(*groups)
        shut = [{at[port]: 1.0} for port in at if port not in joined]
        return shut + [{at[port]: 1.0 for port in group} for group in groups if group]
    return [dict.fromkeys(at.values(), 1.0)]
