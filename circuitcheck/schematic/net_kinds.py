"""What each net of a circuit is for, judged by the ports on it and by what lies behind them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from circuitcheck.components._parts import Part, PortKind
from circuitcheck.schematic.netlist import NetKind, Pin

_LOADED = (
    "cylinder", "telescopic cylinder", "motor", "rotary actuator", "valve", "section",
    "bank section", "counterbalance", "pilot check", "double pilot check", "brake valve",
    "crossport relief", "port relief", "burst valve",
)  # fmt: skip
"""Kinds whose work ports are those of a load."""
_IN_PILOT_LINES = (
    "valve", "orifice", "throttle", "throttle-check", "shuttle", "two-pressure valve", "relief",
    "gauge", "test point", "pressure switch", "quick coupling",
)  # fmt: skip
"""Kinds that may stand in a line which only shifts spools and holds poppets."""


def net_kinds(nets: Mapping[str, Sequence[Pin]], parts: Mapping[str, Part]) -> dict[str, NetKind]:
    """Give the kind of every net; nets of pins (part, port letter; a tank has the port "T")."""
    known: dict[str, NetKind] = {}
    for name, pins in nets.items():
        kind = _by_ports(pins, parts)
        if kind is not None:
            known[name] = kind
    _spread(known, nets, parts)
    known.update(dict.fromkeys(_pilot_nets(known, nets, parts), "pilot"))
    for name in nets:
        if known.get(name) == "return" and not _reaches_tank(name, nets, parts):
            known[name] = "work"
    return {name: known.get(name, "work") for name in nets}


def _port_kind(pin: Pin, parts: Mapping[str, Part]) -> PortKind | None:
    part = parts[pin[0]]
    return next((port.kind for port in part.ports if port.letter == pin[1]), None)


def _by_ports(pins: Sequence[Pin], parts: Mapping[str, Part]) -> NetKind | None:
    found = {(parts[item].kind.word, port): _port_kind((item, port), parts) for item, port in pins}
    kinds = set(found.values())
    if PortKind.SUCTION in kinds:
        return "suction"
    if any(word == "pump" and kind is PortKind.PRESSURE for (word, _), kind in found.items()):
        return "pressure"
    if PortKind.DRAIN in kinds:
        return "drain"
    if any(word in _LOADED and kind is PortKind.WORK for (word, _), kind in found.items()):
        return "work"
    if PortKind.PRESSURE in kinds:
        return "pressure"
    if PortKind.RETURN in kinds and any(word != "tank" for word, _ in found):
        returning = any(
            word != "tank" and kind is PortKind.RETURN for (word, _), kind in found.items()
        )
        if returning:
            return "return"
    if PortKind.SENSE in kinds:
        return "load_sense"
    if PortKind.PILOT in kinds:
        return "pilot"
    if PortKind.WORK in kinds:
        return "work"
    return None


def _pilot_nets(
    known: Mapping[str, NetKind], nets: Mapping[str, Sequence[Pin]], parts: Mapping[str, Part]
) -> set[str]:
    """Name the nets that carry pilot oil only: the lines of cartridge covers and pilot valves.

    Such a net leads to a pilot port, or feeds a valve all of whose work lines do; nothing that
    moves a load or brings the flow of a pump is joined to it.
    """
    small = {
        name
        for name, pins in nets.items()
        if known.get(name) in ("work", "pressure", "pilot", None)
        and all(
            parts[item].kind.word in _IN_PILOT_LINES or _leads_pilot((item, port), parts)
            for item, port in pins
        )
    }
    back = {
        n
        for n, pins in nets.items()
        if known.get(n) == "return" or any(parts[item].kind.word == "tank" for item, _ in pins)
    }
    found = {n for n in small if any(_leads_pilot(pin, parts) for pin in nets[n])}
    work = {
        item: [n for n, pins in nets.items() if any(p[0] == item for p in pins)]
        for item, part in parts.items()
        if part.kind.word == "valve"
    }
    for _ in range(len(small)):
        fed = {
            n
            for n in small - found
            for item, port in nets[n]
            if item in work
            and port == "P"
            and any(m in found for m in work[item])
            and all(m in found or m in back for m in work[item] if m != n)
        }
        if not fed:
            break
        found |= fed
    return found


def _leads_pilot(pin: Pin, parts: Mapping[str, Part]) -> bool:
    return _port_kind(pin, parts) is PortKind.PILOT


def _spread(
    known: dict[str, NetKind], nets: Mapping[str, Sequence[Pin]], parts: Mapping[str, Part]
) -> None:
    """Let nets of plain through parts take the kind of the net on the part's other side."""
    for _ in range(len(nets)):
        changed = False
        for name in nets:
            if name in known:
                continue
            for beyond in _beyond(name, nets, parts):
                if beyond in known:
                    known[name] = known[beyond]
                    changed = True
                    break
        if not changed:
            return


def _beyond(name: str, nets: Mapping[str, Sequence[Pin]], parts: Mapping[str, Part]) -> list[str]:
    """Name the nets on the other sides of the through parts on a net."""
    found: list[str] = []
    for item, port in nets[name]:
        through = parts[item].kind.through
        if through is None or port not in through:
            continue
        other = through[1] if port == through[0] else through[0]
        found += [n for n, pins in nets.items() if (item, other) in pins and n != name]
    return found


def _reaches_tank(name: str, nets: Mapping[str, Sequence[Pin]], parts: Mapping[str, Part]) -> bool:
    seen, waiting = {name}, [name]
    while waiting:
        here = waiting.pop()
        if any(parts[item].kind.word == "tank" for item, _ in nets[here]):
            return True
        ahead = [n for n in _beyond(here, nets, parts) if n not in seen]
        seen.update(ahead)
        waiting += ahead
    return False
