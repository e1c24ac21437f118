"""The order of the first start: what is done, to which parts of this circuit."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from circuitcheck.basics.tables import read_toml
from circuitcheck.circuit.model import Circuit
from circuitcheck.components._parts import Part, PortKind
from circuitcheck.review.meters import ACTUATORS, DRIVES


@dataclass(frozen=True)
class Point:
    """One thing to do at the first start."""

    title: str
    text: str
    source: str


def start_up(circuit: Circuit, has_settings: bool) -> list[Point]:
    """Give the points of the first start in their order; those without parts are left out."""
    found = []
    for entry in read_toml("start_up.toml")["point"]:
        when = entry.get("when", "")
        if when == "setting" and not has_settings:
            continue
        names = [part.name for part in circuit.parts.values() if _is(when, part, circuit)]
        if names or when in ("", "setting"):
            text = entry["text"].replace("{parts}", ", ".join(names))
            found.append(Point(entry["title"], text, entry["source"]))
    return found


def _kinds(*words: str) -> Callable[[Part, Circuit], bool]:
    return lambda part, _: part.kind.word in words


def _case_drain(part: Part, _: Circuit) -> bool:
    rotary = part.kind.word in ("pump", "motor")
    return rotary and any(port.kind is PortKind.DRAIN for port in part.ports)


def _in_suction(part: Part, circuit: Circuit) -> bool:
    """Whether a shut-off stands in a suction line, lines and strainers between left aside."""
    if part.kind.word != "shut-off":
        return False
    seen = {part.name}
    queue = [part.name]
    while queue:
        here = queue.pop()
        for _, junction in circuit.graph.edges(here):
            for end in circuit.graph.nodes[junction]["junction"].ends:
                kind = circuit.parts[end.part].kind.word
                if kind in ("pump", "hand pump") and end.port == "S":
                    return True
                if kind in ("line", "strainer", "filter") and end.part not in seen:
                    seen.add(end.part)
                    queue.append(end.part)
    return False


WHEN: Mapping[str, Callable[[Part, Circuit], bool]] = {
    "accumulator": _kinds("accumulator"),
    "tank": _kinds("tank"),
    "pump": _kinds("pump"),
    "relief": _kinds("relief", "port relief", "crossport relief"),
    "drive": _kinds(*DRIVES),
    "actuator": _kinds(*ACTUATORS),
    "case drain": _case_drain,
    "suction shut-off": _in_suction,
}


def _is(when: str, part: Part, circuit: Circuit) -> bool:
    return when in WHEN and WHEN[when](part, circuit)
