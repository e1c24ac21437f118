"""In which position the valves stand in a solved step, as its state says."""

from __future__ import annotations

from typing import TYPE_CHECKING

from circuitcheck.circuit.model import Circuit

if TYPE_CHECKING:
    from circuitcheck.components._parts import Part
    from circuitcheck.solver.operating import OperatingPoint

OPEN = "open"
"""Position of a pressure valve that lets oil through."""
_PRESSURE_VALVES = ("relief", "port relief", "unloading valve", "sequence", "counterbalance")
_SHUT = ("closed", "feeding", "check open")
"""States in which the seat of a pressure valve is shut."""
_SIDES = {"lets A out": "b", "lets B out": "a"}
"""State of a flushing valve -> the side whose pressure pushes its spool over."""
_IN_WORDS = ("shut-off", "quick coupling", "brake", "clutch")
"""Kinds whose state is written beside them: their symbol knows one position only."""


def positions_in(circuit: Circuit, point: OperatingPoint) -> dict[str, str]:
    """Give the position of every valve that does not stand as it is drawn at rest."""
    found: dict[str, str] = {}
    for name, state in point.parts.items():
        part = circuit.parts[name]
        position = _position(part, state.state)
        if position and position != part.rest:
            found[name] = position
    return found


def words_in(part: Part, point: OperatingPoint) -> tuple[str, ...]:
    """Give the state of a part in words, where its symbol cannot show it."""
    if part.name not in point.parts:
        return ()
    state = point.parts[part.name].state
    if part.kind.word in _IN_WORDS:
        return (state,)
    return (state,) if "pilot" in state and part.positions else ()


def _position(part: Part, state: str) -> str:
    if part.positions:
        said = state.partition(",")[0].removeprefix("at ")
        return said if said in part.positions else part.rest
    if part.kind.word == "flushing valve":
        return _SIDES.get(state, "")
    if part.kind.word in _PRESSURE_VALVES:
        return "" if state in _SHUT else OPEN
    return ""
