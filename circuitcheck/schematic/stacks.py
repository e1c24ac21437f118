"""Stacks of the lower band: parts of one line above each other, and their order.

The drives stand with their pumps, what hangs on a pump's own line beside it, the parts of the
return line at the right end.
"""

from __future__ import annotations

from circuitcheck.schematic.bodies import Body
from circuitcheck.schematic.case import Case
from circuitcheck.schematic.netlist import CONTROL_KINDS, Net, Pin

Stack = list[tuple[str, float]]
"""Items of one stack, each with its x against the first one [M]."""


def stack_lower(case: Case, bodies: dict[str, Body]) -> list[Stack]:
    """Stack the parts of the lower band: (item, x against the first one), bottom last.

    Drives and pumps keep together, what hangs on the line of a pump stands beside it, the
    parts of the return line come last.
    """
    lower = case.below()
    lower.sort(key=lambda i: case.items[i].order)
    stacks: dict[str, Stack] = {}
    member: dict[str, str] = {}
    mains = [i for i in lower if case.is_machine(i)]
    for i in [*mains, *(k for k in lower if k not in mains)]:
        if i not in member:
            stacks[i] = [(i, 0.0)]
            member[i] = i
            _grow(case, bodies, stacks[i], member, i)
    return [stacks[head] for head in _stack_order(case, bodies, list(stacks))]


def drained_port(case: Case, item: str) -> Pin | None:
    """Give the downward port of a lower item whose drain runs down through this one.

    A pump's own drain comes before what else is led into its line.
    """
    for net in case.nets_of(item):
        if net.kind != "drain" or case.is_rail(net):
            continue
        if not any(i == item and case.side((i, p)) == "N" for i, p in net.pins):
            continue
        found = [pin for pin in net.pins if pin[0] != item and case.side(pin) == "S"]
        found.sort(key=lambda pin: case.items[pin[0]].role != "pump")
        if found:
            return found[0]
    return None


def _grow(
    case: Case,
    bodies: dict[str, Body],
    stack: Stack,
    member: dict[str, str],
    head: str,
) -> None:
    """Add to a stack, top first, what continues its line downwards and upwards."""
    for going, meeting in (("S", "N"), ("N", "S")):
        here: tuple[str, float] | None = (head, 0.0)
        while here is not None:
            following = None
            for pin, other in _facing(case, here[0], going, meeting):
                if other[0] in member or other[0] in case.upper:
                    continue
                if case.items[other[0]].role in ("pump", "drive"):
                    continue
                offset = here[1] + bodies[pin[0]].anchor(pin[1]).x
                offset -= bodies[other[0]].anchor(other[1]).x
                following = (other[0], offset)
                break
            if following is not None:
                member[following[0]] = head
                stack.insert(len(stack) if going == "S" else 0, following)
            here = following


def _facing(case: Case, item: str, going: str, meeting: str) -> list[tuple[Pin, Pin]]:
    """Find pins of other lower items that stand opposite pins of this item on one net."""
    found = []
    for net in case.nets_of(item):
        if case.is_rail(net) or net.kind in CONTROL_KINDS:
            continue
        for pin in net.pins:
            if pin[0] == item and case.side(pin) == going:
                found += [
                    (pin, other)
                    for other in net.pins
                    if other[0] != item and case.side(other) == meeting
                ]
    return found


def _stack_order(case: Case, bodies: dict[str, Body], heads: list[str]) -> list[str]:
    """Order stacks: drive with its pumps, their neighbours, the rest, the return line last."""
    mains = [h for h in heads if case.is_machine(h)]
    ordered = _on_shafts(case, bodies, mains)
    last_pump = next((h for h in reversed(ordered) if case.items[h].role == "pump"), "")
    sensed_right = last_pump and _is_sensed_from_right(case, bodies, last_pump)
    before: list[str] = []
    after: list[str] = []
    returning: list[str] = []
    for head in (h for h in heads if h not in mains):
        nets = case.nets_of(head)
        own = [n for n in nets if not case.is_rail(n) and case.pump_at(n)]
        if any(n.kind == "return" for n in nets):
            returning.append(head)
        elif (own and case.pump_at(own[0]) != last_pump) or (
            sensed_right and any(n.kind == "pressure" and case.pump_at(n) for n in nets)
        ):
            before.append(head)
        elif any(n.kind in CONTROL_KINDS and case.is_rail(n) for n in nets):
            (after if sensed_right else before).append(head)
        elif any(n.kind == "drain" for n in nets):
            after.insert(0, head)
        else:
            after.append(head)
    return before + ordered + after + returning


def _is_sensed_from_right(case: Case, bodies: dict[str, Body], pump: str) -> bool:
    """Tell whether the load signal comes to a pump from its right side."""
    return any(
        bodies[pump].anchor(port).side == "E"
        for net in case.nets_of(pump)
        if net.kind in ("load_sense", "pilot")
        for item, port in net.pins
        if item == pump
    )


def _on_shafts(case: Case, bodies: dict[str, Body], mains: list[str]) -> list[str]:
    """Put each pump beside its drive: right of it, or left where its shaft leaves there."""
    ordered: list[str] = []
    for net in _from_drives(case.shafts):
        here = [i for i, _ in net.pins if i in mains and i not in ordered]
        drives = [i for i in here if case.items[i].role == "drive"]
        pumps = [i for i in here if i not in drives]
        ends = dict(net.pins)
        left = [p for p in pumps if bodies[p].anchor(ends[p]).side == "E"][:1]
        ordered += left + drives + [p for p in pumps if p not in left]
    return ordered + [m for m in mains if m not in ordered]


def _from_drives(shafts: list[Net]) -> list[Net]:
    """Order shafts so that each comes right after the one that drives it."""
    driven = {i for net in shafts for i, _ in net.pins[1:]}
    ordered: list[Net] = []
    waiting = [net for net in reversed(shafts) if net.pins[0][0] not in driven]
    while waiting:
        net = waiting.pop()
        ordered.append(net)
        turned = {i for i, _ in net.pins[1:]}
        waiting += [other for other in reversed(shafts) if other.pins[0][0] in turned]
    return ordered + [net for net in shafts if net not in ordered]
