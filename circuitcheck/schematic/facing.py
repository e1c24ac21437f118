"""Which symbols are drawn mirrored, so that their ports look where their lines go."""

from __future__ import annotations

from circuitcheck.basics.shapes import Pose
from circuitcheck.schematic.bodies import Body, make_body
from circuitcheck.schematic.case import Case
from circuitcheck.schematic.signals import signal_shuttles, signal_valves

_WRONG_WAY = 12.0  # cost of a port that looks away from where its line goes [M]
_BETTER_BY = 1.5  # a symbol is mirrored only for a clear gain [M]


def make_bodies(case: Case, mirrored: frozenset[str]) -> dict[str, Body]:
    """Prepare all items in the given orientation; the tank is labelled once, at the suction."""
    labelled: set[str] = set()
    several = len({tank.id for marks in case.tanks.values() for tank in marks.values()}) > 1
    bodies: dict[str, Body] = {}
    order = sorted(
        case.items.values(), key=lambda i: (i.role not in ("pump", "conditioner"), i.order)
    )
    for item in order:
        tanks = case.tanks[item.id]
        first = {tank.id for tank in tanks.values()} - labelled
        turned = item.id in mirrored or item.id in case.mirrored
        pose = Pose(0.0, 0.0, case.quarters.get(item.id, 0), turned)
        bodies[item.id] = make_body(
            item,
            pose,
            case.joined(item.id) | case.shaft_ports(item.id),
            tanks,
            roomy=case.roomy(item.id),
            tank_label=bool(first),
            tank_codes=several,
            drains=len(item.symbol.anchors) == 2
            and any(net.kind == "drain" for net in case.nets_of(item.id)),
            shaft="" if case.in_row(item.id) else case.shaft_end(item.id, at_least=3),
        )
        labelled |= first
    return {i: bodies[i] for i in case.items}


def choose_mirrored(
    case: Case,
    bodies: dict[str, Body],
    xs: dict[str, int],
    before: frozenset[str],
) -> frozenset[str]:
    """Decide for every symbol that may be mirrored, judged by the present places."""
    chosen = set(before)
    high = signal_shuttles(case) if case.signals_above else []
    # a bank has all its signal ports on one side
    fixed = signal_valves(case) | case.turned | case.mirrored
    for item in sorted(case.items.values(), key=lambda i: i.order):
        if item.id in fixed or not item.symbol.may_mirror:
            continue
        crossed = _inlets_are_crossed(case, bodies, xs, item.id) if item.id in high else None
        if crossed is not None:
            chosen = chosen ^ {item.id} if crossed else chosen
            continue
        now = _cost(case, bodies, xs, item.id, 1, high)
        turned = _cost(case, bodies, xs, item.id, -1, high)
        outer = _outer_side(case, xs, item.id)
        if outer:
            chosen = chosen | {item.id} if outer < 0 else chosen - {item.id}
        elif turned + _BETTER_BY < now:
            chosen ^= {item.id}
    return frozenset(chosen)


def _inlets_are_crossed(
    case: Case, bodies: dict[str, Body], xs: dict[str, int], item: str
) -> bool | None:
    """Tell whether the left inlet of a shuttle above the actuators comes from the right one's side.

    None if it has not two.
    """
    found: dict[str, float] = {}
    for net in case.nets_of(item):
        places = [xs[i] + bodies[i].anchor(p).x for i, p in net.pins if i != item]
        own = next(port for i, port in net.pins if i == item)
        if places:
            found[bodies[item].anchor(own).side] = sum(places) / len(places)
    return found["W"] > found["E"] if {"W", "E"} <= set(found) else None


def _outer_side(case: Case, xs: dict[str, int], item: str) -> int:
    """Give the side on which a plain part in a work line has free room: -1 left, 1 right.

    0 if its ports decide how it stands, or if it stands in the middle of its branch.
    """
    anchors = case.items[item].symbol.anchors
    if item not in case.upper or len(anchors) != 2 or any(a.x for a in anchors.values()):
        return 0
    around = [
        xs[i]
        for net in case.nets_of(item)
        for i, _ in net.pins
        if i in case.upper and case.items[i].role in ("valve", "actuator")
    ]
    if not around:
        return 0
    away = xs[item] - sum(around) / len(around)
    return 0 if abs(away) < 1 else (1 if away > 0 else -1)


def _cost(
    case: Case, bodies: dict[str, Body], xs: dict[str, int], item: str, sign: int, high: list[str]
) -> float:
    total = 0.0
    anchors = bodies[item].symbol.anchors.values()
    ports = [a.x for a in anchors if a.side in "NS"] or [a.x for a in anchors]
    middle = sum(ports) / len(ports)
    here = xs[item] + middle
    nets = case.nets_of(item)
    nets += [net for net in case.shafts if any(i == item for i, _ in net.pins)]
    for net in nets:
        far = [] if item in high else high
        others = [xs[i] + bodies[i].anchor(p).x for i, p in net.pins if i not in (item, *far)]
        if not others:
            continue
        for port in (p for i, p in net.pins if i == item):
            anchor = bodies[item].anchor(port)
            if case.items[item].role == "valve" and anchor.side != "N":
                continue  # the ports of a bank of valves keep one order
            x = here + sign * (anchor.x - middle)
            nearest = min(others, key=lambda o: abs(o - here))
            total += abs(nearest - x)
            if anchor.side in "EW":
                looks = sign * (1 if anchor.side == "E" else -1)
                total += _WRONG_WAY if (nearest - x) * looks < 0 else 0.0
    return total
