"""How valves and rods stand in a solved step, as their states say, in words of the symbols."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

from circuitcheck.circuit.model import Circuit

if TYPE_CHECKING:
    from circuitcheck.components._parts import Part
    from circuitcheck.solver.operating import OperatingPoint, PartState

BETWEEN = "between"
"""A valve that throttles between its end positions."""
_RELIEVES = {"open": "open", "fully open": "open", "regulating": "open", "held open": "open",
             "about to shut": "open", "relieving": "open", "feeding": "check"}  # fmt: skip
_HOLDS = {"lowering": "open", "braking": "open", "fully open": "open", "check open": "check"}
_SEATS = {"open": "open", "released": "open"}
_SIDES = {"passes 1": "1", "passes 2": "2", "midway": "midway"}
_STATES: dict[str, Mapping[str, str]] = {
    "relief": {
        "open": "open, pilot",
        "fully open": "open, pilot",
        "open, held by port X": "open",
    },
    "port relief": _RELIEVES,
    "unloading valve": _RELIEVES,
    "sequence": _RELIEVES | {"check open": "check"},
    "reducing valve": {"regulating": BETWEEN, "closed": "closed", "relieving": "closed"},
    "compensator": {"regulating": BETWEEN, "closed": "closed"},
    "counterbalance": _HOLDS,
    "priority valve": {"throttling CF": BETWEEN, "throttling EF": BETWEEN},
    "bypass flow control": {
        "regulating": BETWEEN,
        "at its limit": f"{BETWEEN}, pilot",
        "bypass wide open": "open",
    },
    "cartridge": {"part open": BETWEEN, "open": "open"},
    "flushing valve": {"lets A out": "b", "lets B out": "a"},
    "shuttle": _SIDES,
    "two-pressure valve": _SIDES,
    "check": _SEATS,
    "pilot check": _SEATS,
    "burst valve": {"shut": "shut"},
    "filter": {"bypassing": "check", "element collapses": "check"},
    "strainer": {"bypassing": "check", "element collapses": "check"},
    "winch": {"hauling in": "in"},
    "wheel": {"rolling back": "back"},
    "pump": {
        "on margin": "load sensing",
        "on remote pressure": "load sensing",
        "on cut-off": "pressure",
        "on torque limit": "torque",
    },
}
"""Kind -> state of a part -> what its symbol shows; at rest where it says nothing."""
_IN_PAIRS: dict[str, Mapping[str, str]] = {
    "brake valve": _HOLDS,
    "double pilot check": _SEATS,
}
"""Kinds with the same element in line A and line B, each with a state of its own."""
_LOOKS = {
    "pump": "dashed square",
    "priority valve": "dashed square",
    "cartridge": "poppet half lifted",
}
"""Kind -> how it looks while it throttles, where no arrow tells."""
_IN_SHORT = "control underlined"
"""How a pump in short form shows which of its controls takes it back."""
_AS_SAID = ("A to B", "B to A", "feeding A", "feeding B")
"""States of parts between two lines that their symbols show in the same words."""
_METERS = ("metering", "sharing short flow", "at its limit")
"""What a section says while its compensator throttles."""
_IN_WORDS = ("shut-off", "quick coupling", "brake", "clutch")
"""Kinds whose state is written beside them: their symbol knows one position only."""


def positions_in(circuit: Circuit, point: OperatingPoint) -> dict[str, str]:
    """Give the position of every part that does not stand as it is drawn at rest."""
    found: dict[str, str] = {}
    for name, state in point.parts.items():
        part = circuit.parts[name]
        position = _position(part, state)
        if position and position != part.rest:
            found[name] = position
    return found


def places_in(circuit: Circuit, point: OperatingPoint) -> dict[str, float]:
    """Give where the rods stand in the middle of a step, as shares of their strokes."""
    found: dict[str, float] = {}
    for name, state in point.parts.items():
        place = state.values.get("place", math.nan)
        stroke = circuit.parts[name].figures.get("stroke")
        if stroke is not None and math.isfinite(place):
            found[name] = min(max(place / stroke.value, 0.0), 1.0)
    return found


def words_in(part: Part, point: OperatingPoint) -> tuple[str, ...]:
    """Give the state of a part in words, where its symbol cannot show it."""
    if part.name not in point.parts:
        return ()
    state = point.parts[part.name].state
    if part.kind.word in _IN_WORDS:
        return (state,)
    return (state,) if "pilot" in state and part.positions else ()


def how_throttling_looks(
    circuit: Circuit, stands: Mapping[str, str], *, short: bool = False
) -> tuple[str, ...]:
    """Say how parts look that stand between two end positions; empty if none does.

    ``short``: controls of pumps are drawn in short form.
    """
    found: dict[str, None] = {}
    for name, shown in stands.items():
        word = circuit.parts[name].kind.word
        if BETWEEN in shown.split(", ") or word == "pump":
            look = _LOOKS.get(word, "arrow half in line")
            found[_IN_SHORT if short and word == "pump" else look] = None
    return tuple(found)


def _position(part: Part, state: PartState) -> str:
    word, said = part.kind.word, state.state
    if part.positions:
        return _spool(part, said)
    if word in _STATES:
        return _STATES[word].get(said, "")
    if word in _IN_PAIRS:
        return ", ".join(_sides(said, _IN_PAIRS[word]))
    if word == "pressure switch":
        made = said == "contact made"
        return "operated" if made != part.says("breaks at setting") else ""
    if word == "anti-cavitation":
        return said.replace(" and B", ", feeding B") if said.startswith("feeding") else ""
    if word == "crossport relief":
        return ", ".join(text for text in said.split(", ") if text in _AS_SAID)
    if word in ("cylinder", "telescopic cylinder"):
        return _way(state)
    return ""


def _spool(part: Part, said: str) -> str:
    """Give the position of a spool, and what the compensator or the check before it does."""
    first, _, more = said.partition(", ")
    position = first.removeprefix("at ")
    if position not in part.positions or position == part.rest:
        return part.rest
    if part.kind.word == "section" and more in _METERS:
        return f"{position}, {BETWEEN}"
    if part.kind.word == "bank section" and more != "load check shut":
        return f"{position}, check"
    return position


def _sides(said: str, words: Mapping[str, str]) -> Iterable[str]:
    """Give what each of two equal elements shows: ``said`` is "both open" or "A open, B seated"."""
    both = said.removeprefix("both ")
    of_side = dict.fromkeys("AB", both) if both != said else {}
    for text in said.split(", ") if not of_side else ():
        of_side[text[0]] = text[2:]
    for side, word in of_side.items():
        if word in words:
            yield f"{side} {words[word]}"


def _way(state: PartState) -> str:
    """Give the way that a rod goes; one that only creeps stands."""
    speed = state.values.get("speed", 0.0)
    if state.state.startswith("creeping") or not math.isfinite(speed) or speed == 0.0:
        return ""
    return "out" if speed > 0.0 else "in"
