"""Leads of parts in pilot and drain lines are dashed as their lines are (ISO 1219-1 8.1).

The rule that pilot, drain and bleed lines share one line type is from memory of the standard.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from circuitcheck.components._parts import Part
from circuitcheck.schematic.netlist import DASHED_KINDS, Net

_TAPS = ("orifice", "throttle", "shuttle", "two-pressure valve")
"""Kinds through which a working line gives a signal: their branch of it is a pilot line."""
_SIGNALS = ("pilot", "load_sense")


def dashed_ports(nets: Iterable[Net], parts: Mapping[str, Part]) -> dict[str, frozenset[str]]:
    """Give the ports of each part at which a dashed line ends.

    What lies in a drain line, such as a cooler, has both its ports there.
    """
    nets = list(nets)
    found: dict[str, set[str]] = {}
    to_tank = {
        pin
        for net in nets
        if any(parts[item].kind.word == "tank" for item, _ in net.pins)
        for pin in net.pins
    }
    for net in nets:
        if net.kind not in DASHED_KINDS:
            continue
        for item, port in net.pins:
            found.setdefault(item, set()).add(port)
            if net.kind in _SIGNALS and parts[item].kind.word in _TAPS:
                found[item].update(other.letter for other in parts[item].ports)
            others = [other.letter for other in parts[item].ports if other.letter != port]
            if net.kind == "drain" and len(others) == 1 and (item, others[0]) in to_tank:
                found[item].update(others)
    return {item: frozenset(ports) for item, ports in found.items()}
