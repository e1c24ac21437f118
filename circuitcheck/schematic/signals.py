"""The line of the load signal led above the actuators, outside the working lines.

A signal line between valves and rails crosses the pressure and the return line of every section
that it passes. Above the actuators it crosses nothing: one riser at the side of each valve, the
shuttles in a row, and one line down to the pump.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from circuitcheck.schematic.netlist import CONTROL_KINDS, Net, Pin

if TYPE_CHECKING:
    from circuitcheck.schematic.case import Case


def signal_valves(case: Case) -> set[str]:
    """Name the valves that give a load signal at a side port."""
    return {i for net in case.nets.values() for i, _ in _tapped(case, net)}


def signal_shuttles(case: Case) -> list[str]:
    """Name the shuttles through which load signals reach the pump."""
    return [
        i
        for i in case.above()
        if case.items[i].role == "shuttle"
        and all(net.kind in CONTROL_KINDS for net in case.nets_of(i))
        and any(net.kind == "load_sense" for net in case.nets_of(i))
    ]


def is_gallery(case: Case, net: Net) -> bool:
    """Tell whether a net is one signal line along a bank that is to run above the actuators."""
    return case.signals_above and len(_tapped(case, net)) > 1


def risers_first(case: Case, net: Net) -> list[Pin]:
    """Give the pins of a net, those first that make out a line along a bank."""
    taps = _tapped(case, net) if is_gallery(case, net) else []
    return [*taps, *(pin for pin in net.pins if pin not in taps)]


def keeps_to_level(case: Case, net: Net) -> bool:
    """Tell whether a net must not leave its level for a shorter way: risers stand beside it."""
    return is_gallery(case, net) or (
        case.signals_above and net.kind == "return" and case.is_rail(net)
    )


def risers(case: Case) -> Iterable[tuple[Net, Pin]]:
    """Give the side ports of valves from which a signal line goes up, with its net."""
    for net in case.nets.values() if case.signals_above else ():
        high = any(case.items[i].role == "shuttle" for i, _ in net.pins)
        if high or is_gallery(case, net):
            for pin in _tapped(case, net):
                yield net, pin


def _tapped(case: Case, net: Net) -> list[Pin]:
    if net.kind != "load_sense":
        return []
    return [
        pin for pin in net.pins if case.items[pin[0]].role == "valve" and case.side(pin) in "EW"
    ]
