"""The ways of oil inside each kind of part, and what opens them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import Enum

from circuitcheck.components._parts import Part
from circuitcheck.components._pump_controls import is_loop
from circuitcheck.components.bank_section import feed
from circuitcheck.components.gear_divider import outlets
from circuitcheck.components.unloading_valve import sensed


class Way(Enum):
    """What opens a passage."""

    OPEN = "always open"
    CHECK = "open in this direction"
    AGAINST = "against a check"
    THROTTLE = "open, but narrow"
    SPOOL = "open in some positions"
    SHUT_OFF = "open unless somebody shuts it"
    PILOTED = "opened by pilot pressure"
    LET_GO = "opened where its pilot is let down"
    SETTING = "opened by its own inlet pressure"
    RELIEF = "opened by pressure, to tank"
    CROSS = "opened by pressure, to the other line"
    SIGNAL = "small, for signals only"
    MOTOR = "through a motor, which turns"


@dataclass(frozen=True)
class Inside:
    """A way from port to port of a part; ``pilot`` is the port that opens it.

    ``said`` and ``unsaid``: phrases that the text must, and must not, say of the part.
    """

    inlet: str
    outlet: str
    way: Way
    pilot: str = ""
    said: str = ""
    unsaid: str = ""


TWO_WAY: Mapping[str, Way] = {
    "line": Way.OPEN, "filter": Way.OPEN, "strainer": Way.OPEN, "cooler": Way.OPEN,
    "heater": Way.OPEN, "gallery": Way.OPEN, "rotary union": Way.OPEN, "burst valve": Way.OPEN,
    "flowmeter": Way.OPEN, "orifice": Way.THROTTLE, "throttle": Way.THROTTLE,
    "throttle-check": Way.THROTTLE, "flow control": Way.THROTTLE, "shut-off": Way.SHUT_OFF,
    "quick coupling": Way.SHUT_OFF, "motor": Way.MOTOR, "rotary actuator": Way.MOTOR,
}  # fmt: skip
"""Parts that pass oil both ways between their first two ports, and what opens them."""

_BALLS = (
    Inside("1", "out", Way.SIGNAL), Inside("2", "out", Way.SIGNAL),
    Inside("out", "1", Way.SIGNAL), Inside("out", "2", Way.SIGNAL),
)  # fmt: skip
_FEEDS = (Inside("T", "A", Way.CHECK), Inside("T", "B", Way.CHECK))
_CROSS = "crossport reliefs"

ONE_WAY: Mapping[str, tuple[Inside, ...]] = {
    "check": (Inside("in", "out", Way.CHECK), Inside("out", "in", Way.AGAINST)),
    "pilot check": (Inside("in", "out", Way.CHECK), Inside("out", "in", Way.PILOTED, "X")),
    "double pilot check": (
        Inside("A1", "A2", Way.CHECK), Inside("A2", "A1", Way.PILOTED, "B1"),
        Inside("B1", "B2", Way.CHECK), Inside("B2", "B1", Way.PILOTED, "A1"),
    ),
    "counterbalance": (Inside("V", "C", Way.CHECK), Inside("C", "V", Way.SETTING, "X")),
    "brake valve": (
        Inside("A1", "A2", Way.CHECK), Inside("A2", "A1", Way.SETTING, "B1"),
        Inside("B1", "B2", Way.CHECK), Inside("B2", "B1", Way.SETTING, "A1"),
        Inside("A2", "B2", Way.CROSS, said=_CROSS), Inside("B2", "A2", Way.CROSS, said=_CROSS),
        Inside("T", "A2", Way.CHECK), Inside("T", "B2", Way.CHECK),
    ),
    "crossport relief": (
        Inside("A", "B", Way.CROSS), Inside("B", "A", Way.CROSS), *_FEEDS,
    ),
    "anti-cavitation": _FEEDS,
    "port relief": (Inside("A", "T", Way.RELIEF), Inside("T", "A", Way.CHECK)),
    "relief": (Inside("P", "T", Way.RELIEF),),
    "sequence": (
        Inside("P", "A", Way.SETTING, "X"),
        Inside("A", "P", Way.CHECK, said="free-flow check"),
    ),
    "reducing valve": (
        Inside("P", "A", Way.OPEN), Inside("A", "T", Way.RELIEF, unsaid="not relieving"),
        Inside("A", "P", Way.CHECK, said="free-flow check"),
    ),
    "compensator": (Inside("P", "A", Way.OPEN),),
    # the bypass opens by the drop over its edge, so only where the outlet takes its flow
    "bypass flow control": (Inside("in", "out", Way.THROTTLE), Inside("in", "T", Way.SETTING)),
    # one spool: of its outlets one or the other can be shut
    "priority valve": (
        Inside("P", "CF", Way.SETTING), Inside("P", "EF", Way.SETTING),
        Inside("CF", "LS", Way.SIGNAL, said="dynamic"),
    ),
    "flow divider": (
        Inside("P", "A", Way.THROTTLE), Inside("P", "B", Way.THROTTLE),
        Inside("A", "P", Way.THROTTLE), Inside("B", "P", Way.THROTTLE),
    ),
    "flushing valve": (Inside("A", "T", Way.PILOTED, "B"), Inside("B", "T", Way.PILOTED, "A")),
    "intensifier": (
        Inside("P", "H", Way.MOTOR), Inside("P", "H", Way.CHECK, said="filling check"),
    ),
    "pump": (Inside("L1", "L", Way.OPEN), Inside("L", "L1", Way.OPEN)),
    "shuttle": _BALLS,
    "two-pressure valve": _BALLS,
}  # fmt: skip
"""Passages with a direction; one whose port a part does not have is left out."""


def ways(part: Part, joints: Mapping[str, str]) -> Iterator[Inside]:
    """Give the ways inside a part, those through the spool of a valve left out.

    ``joints``: junction of every port that is joined.
    """
    word = part.kind.word
    if word in TWO_WAY:
        a, b = [port.letter for port in part.ports][:2]
        way = Way.OPEN if part.says("locked open") else TWO_WAY[word]
        yield Inside(a, b, way)
        yield Inside(b, a, way)
        if part.says("free-flow check") or word == "throttle-check":
            yield Inside(b, a, Way.CHECK)
    for inside in ONE_WAY.get(word, ()):
        if inside.said and not part.says(inside.said):
            continue
        if not inside.unsaid or not part.says(inside.unsaid):
            yield inside
    if word in _BY_PART:
        yield from _BY_PART[word](part, joints)


def _unloading(part: Part, joints: Mapping[str, str]) -> Iterator[Inside]:
    at = sensed(part)
    yield Inside("P", "T", Way.RELIEF) if at == "P" else Inside("P", "T", Way.PILOTED, at)
    if at == "A":
        yield Inside("P", "A", Way.CHECK)


def _cartridge(part: Part, joints: Mapping[str, str]) -> Iterator[Inside]:
    """What is joined to the chamber over the poppet makes it a check or a valve."""
    over = joints.get("X")
    if over is not None and over in (joints.get("A"), joints.get("B")):
        a, b = ("B", "A") if over == joints.get("A") else ("A", "B")
        yield Inside(a, b, Way.CHECK)
        yield Inside(b, a, Way.AGAINST)
        return
    yield Inside("A", "B", Way.LET_GO, "X")
    yield Inside("B", "A", Way.LET_GO, "X")


def _loop_pump(part: Part, joints: Mapping[str, str]) -> Iterator[Inside]:
    if is_loop(part):
        yield Inside("A", "B", Way.MOTOR)
        yield Inside("B", "A", Way.MOTOR)


def _gears(part: Part, joints: Mapping[str, str]) -> Iterator[Inside]:
    for outlet in outlets(part):
        yield Inside("P", outlet, Way.MOTOR)
        yield Inside(outlet, "P", Way.MOTOR)


_BY_PART = {
    "unloading valve": _unloading,
    "cartridge": _cartridge,
    "pump": _loop_pump,
    "gear divider": _gears,
}


def spool_ways(part: Part) -> dict[tuple[str, str], frozenset[str]]:
    """Directed ways through the spool of a valve or section and the positions that open them."""
    found: dict[tuple[str, str], set[str]] = {}
    barred = _barred(part)
    for name, joints in part.positions.items():
        for group in joints:
            for a in group:
                for b in group:
                    if a != b and not (b == barred and a in ("A", "B")):
                        found.setdefault((a, b), set()).add(name)
    return {ports: frozenset(names) for ports, names in found.items()}


def _barred(part: Part) -> str:
    """Supply port to which a compensator or load check lets nothing back from the work ports."""
    if part.kind.word == "section":
        return "P"
    if part.kind.word == "bank section" and not part.says("no load check"):
        return feed(part)
    return ""
