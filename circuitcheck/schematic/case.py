"""A netlist made ready for placing: tank pins cut off, items sorted into bands and rows.

The sheet has a lower band (drive, pumps, what hangs under the rails, conditioning on the way
to the tank) and an upper band (valves, parts in the work lines, actuators on top); the
pressure and return rails run between them.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from circuitcheck.schematic.netlist import CONTROL_KINDS, Item, Net, NetKind, Netlist, Pin
from circuitcheck.schematic.shaft_rows import OUTLETS, set_up_rows
from circuitcheck.symbols import Side

_RAILS = ("pressure", "charge", "return")
_STANDING = ("instrument", "accumulator")
_UPPER = ("valve", "compensator", "actuator", "load", "shuttle", "goes_on")
"""Roles that always stand above the rails."""
_SUPPLY: frozenset[NetKind] = frozenset({"pressure", "charge", "load_sense", "pilot"})


@dataclass
class Case:
    """Items and nets without tanks; ``rows`` counts the upper band from 0, upwards."""

    items: dict[str, Item]
    nets: dict[str, Net]
    shafts: list[Net]
    tanks: dict[str, dict[str, Item]]
    upper: set[str] = field(default_factory=set)
    rows: dict[str, int] = field(default_factory=dict)
    quarters: dict[str, int] = field(default_factory=dict)
    texts: dict[Pin, int] = field(default_factory=dict)
    """Pin -> how many texts are to stand beside its line."""
    hoses: dict[Pin, str] = field(default_factory=dict)
    """Pin with a tank mark -> the size of the hose or tube to the tank."""
    mirrored: set[str] = field(default_factory=set)
    """Pumps that are mirrored, so that their shaft end faces the clutch or gearbox before it."""
    shaft_rows: list[tuple[str, ...]] = field(default_factory=list)
    """Motors with all they turn, each from left to right."""

    def above(self) -> list[str]:
        """Name the items of the upper band, in the order of the text."""
        return [i for i in self.items if i in self.upper]

    def below(self) -> list[str]:
        """Name the items of the lower band, in the order of the text."""
        return [i for i in self.items if i not in self.upper]

    def net_of(self, pin: Pin) -> Net | None:
        return next((net for net in self.nets.values() if pin in net.pins), None)

    def nets_of(self, item: str) -> list[Net]:
        return [net for net in self.nets.values() if any(i == item for i, _ in net.pins)]

    def joined(self, item: str) -> frozenset[str]:
        """Name the ports of an item from which a line leaves."""
        return frozenset(p for net in self.nets.values() for i, p in net.pins if i == item)

    def on_one_shaft(self, a: str, b: str) -> bool:
        """Tell whether two items turn together."""
        return any({a, b} <= {i for i, _ in net.pins} for net in self.shafts)

    def shaft_end(self, item: str, at_least: int = 2) -> str:
        """Name the port where an item joins a shaft of so many items, empty if it does not."""
        ends = (pin for net in self.shafts if len(net.pins) >= at_least for pin in net.pins)
        return next((port for i, port in ends if i == item), "")

    def shaft_ports(self, item: str) -> frozenset[str]:
        """Name the ports where the shafts of an item leave it."""
        found = {port for net in self.shafts for i, port in net.pins if i == item}
        if self.in_row(item):
            found |= set(OUTLETS) & set(self.items[item].symbol.anchors)
        return frozenset(found)

    def in_row(self, item: str) -> bool:
        """Tell whether an item stands in the row of a motor's shaft."""
        return any(item in row for row in self.shaft_rows)

    def is_machine(self, item: str) -> bool:
        """Tell whether an item stands in a row of drives and pumps, or between them."""
        return self.items[item].role in ("pump", "drive") or bool(self.shaft_end(item))

    def roomy(self, item: str) -> frozenset[str]:
        """Name the ports of an item beside whose line a text is to stand."""
        return frozenset(p for i, p in self.texts if i == item)

    def wants_text(self, net: Net) -> bool:
        """Tell whether a text is to stand beside a net."""
        return bool(net.label) or any(pin in self.texts for pin in net.pins)

    def side(self, pin: Pin) -> Side:
        """Give the side on which a pin's line leaves, as the item is turned now."""
        order: tuple[Side, ...] = ("N", "E", "S", "W")
        side = self.items[pin[0]].symbol.anchors[pin[1]].side
        return order[(order.index(side) + self.quarters.get(pin[0], 0)) % 4]

    def is_rail(self, net: Net) -> bool:
        """Tell whether a net runs between the bands."""
        above = [pin for pin in net.pins if pin[0] in self.upper]
        if net.kind == "shaft":
            return False
        if net.kind in _RAILS:
            return bool(above) and (
                len(above) < len(net.pins) or all(self.side(p) == "S" for p in above)
            )
        return bool(above) and len(above) < len(net.pins)

    def pump_at(self, net: Net) -> str:
        """Name the pump whose pressure port is on a net, empty if there is none."""
        return next((i for i, p in net.pins if self.items[i].role == "pump" and p not in "SLX"), "")


def make_case(netlist: Netlist) -> Case:
    """Cut the tank pins off and sort the items into bands and rows."""
    every = {item.id: item for item in netlist.items}
    items = {i: item for i, item in every.items() if item.role != "tank"}
    nets: dict[str, Net] = {}
    tanks: dict[str, dict[str, Item]] = {i: {} for i in items}
    for net in netlist.nets:
        if net.kind == "shaft":
            continue
        tank = next((every[i] for i, _ in net.pins if every[i].role == "tank"), None)
        pins = tuple(pin for pin in net.pins if every[pin[0]].role != "tank")
        if tank is not None:
            for item, port in pins:
                tanks[item][port] = tank
        elif len(pins) > 1:
            nets[net.id] = Net(net.id, net.kind, pins, net.label)
    shafts = [net for net in netlist.nets if net.kind == "shaft"]
    hoses = {
        (v.item, v.port): v.text
        for v in netlist.hoses
        # the mark of a drain is too near for a text; its size stands in the list of parts
        if v.port in tanks.get(v.item, ()) and not items[v.item].symbol.anchors[v.port].dashed
    }
    case = Case(items, nets, list(shafts), tanks, hoses=hoses)
    case.texts.update(dict.fromkeys(hoses, 1))
    for value in netlist.values:
        pin = (value.item, value.port)
        case.texts[pin] = case.texts.get(pin, 0) + 1
    _sort_into_bands(case)
    set_up_rows(case)
    for net in shafts:
        if not _is_straight_shaft(case, net):
            case.shafts.remove(net)
            case.nets[net.id] = net
    _turn_lower(case)
    _turn_upper(case)
    _rows(case)
    return case


def _is_straight_shaft(case: Case, net: Net) -> bool:
    """Tell whether a shaft is held straight by placing; others are routed like lines."""
    sides = [case.side(pin) for pin in net.pins]
    if any({i for i, _ in net.pins} <= set(row) for row in case.shaft_rows):
        return True
    if all(i in case.upper for i, _ in net.pins):
        return sorted(sides) == ["N", "S"]
    if sides == ["E", "W"] and not any(i in case.upper for i, _ in net.pins):
        return True
    machines = all(case.items[i].role in ("pump", "drive") for i, _ in net.pins)
    driven = case.items[net.pins[-1][0]]
    if sides == ["E", "E"] and not machines and driven.role == "pump":
        case.mirrored.add(driven.id)
        return driven.symbol.may_mirror
    return machines and all(side in "EW" for side in sides)


def _sort_into_bands(case: Case) -> None:
    for item in case.items.values():
        touched = {net.kind for net in case.nets_of(item.id)}
        if _leads_to_tank(case, item):
            continue
        works = "work" in touched and item.role not in ("pump", "drive")
        always = item.role in _UPPER
        if works or always or (item.role in _STANDING and touched & _SUPPLY):
            case.upper.add(item.id)
    for item in case.items.values():
        if item.role in _STANDING and item.id not in case.upper:
            others = {i for net in case.nets_of(item.id) for i, _ in net.pins}
            if others & case.upper:
                case.upper.add(item.id)
    for item in case.items.values():
        if item.id in case.upper or item.role in ("pump", "drive", "check", "conditioner"):
            continue
        if _leads_to_tank(case, item):
            continue
        nets = case.nets_of(item.id)
        if len(nets) >= 2 and any(_feeds_one_branch(case, item, net) for net in nets):
            case.upper.add(item.id)
        elif len(nets) >= 2 and all(n.kind in CONTROL_KINDS for n in nets):
            others = {i for n in nets for i, _ in n.pins if i != item.id}
            if others <= case.upper:
                case.upper.add(item.id)
    _keep_blocks_together(case)


def _keep_blocks_together(case: Case) -> None:
    """Lift the parts of a block to its valve, so that an outline can hold them."""
    blocks = {item.rpartition("/")[0] for item in case.upper}
    for item in case.items.values():
        block = item.id.rpartition("/")[0]
        if block and block in blocks and item.role in ("pressure_control", "check", "line_part"):
            case.upper.add(item.id)


def _feeds_one_branch(case: Case, item: Item, net: Net) -> bool:
    """Tell whether a net leads from a part in the pressure line to just one upper item."""
    others = [i for i, _ in net.pins if i != item.id and case.items[i].role != "instrument"]
    return len(others) == 1 and others[0] in case.upper and not case.pump_at(net)


def _leads_to_tank(case: Case, item: Item, seen: frozenset[str] = frozenset()) -> bool:
    """Tell whether a part in a line, or one behind it, has its outlet at the tank."""
    ports = _two_ports(item)
    if ports is None or item.role not in ("conditioner", "line_part") or item.id in seen:
        return False
    if ports[1] in case.tanks[item.id]:
        return True
    net = case.net_of((item.id, ports[1]))
    if net is None or len(net.pins) != 2:
        return False
    behind = next((pin for pin in net.pins if pin[0] != item.id), None)
    if behind is None or behind[1] != next(iter(case.items[behind[0]].symbol.anchors)):
        return False
    return _leads_to_tank(case, case.items[behind[0]], seen | {item.id})


def _two_ports(item: Item) -> tuple[str, str] | None:
    """Name inlet and outlet of a part that may be turned to lie in a line."""
    ports = tuple(item.symbol.anchors)
    if not item.symbol.may_turn or len(ports) != 2:
        return None
    return (ports[0], ports[1])


def _face(case: Case, item: Item, port: str, side: Side) -> None:
    order: tuple[Side, ...] = ("N", "E", "S", "W")
    now = item.symbol.anchors[port].side
    case.quarters[item.id] = (order.index(side) - order.index(now)) % 4


def _turn_lower(case: Case) -> None:
    """Let parts of the lower band carry their flow up from the tank or down to it."""
    for item in case.items.values():
        ports = _two_ports(item)
        if item.id in case.upper or ports is None:
            continue
        inlet, outlet = ports
        kinds = {net.kind for net in case.nets_of(item.id)}
        down = bool(kinds & {"return", "drain"}) or outlet in case.tanks[item.id]
        down = down or _leads_to_tank(case, item)
        _face(case, item, inlet, "N" if down else "S")


def _turn_upper(case: Case) -> None:
    """Let parts in work lines stand with the end that is nearer to the supply below."""
    distance: dict[str, int] = {
        i: 0
        for i in case.above()
        if case.items[i].role in ("valve", "compensator")
        and any(n.kind in _RAILS and case.is_rail(n) for n in case.nets_of(i))
    }
    frontier = sorted(distance, key=lambda i: case.items[i].order)
    while frontier:
        following: list[str] = []
        for here in frontier:
            for net in case.nets_of(here):
                if case.is_rail(net) or net.kind in CONTROL_KINDS:
                    continue
                for other, port in net.pins:
                    if other in distance or other not in case.upper:
                        continue
                    distance[other] = distance[here] + 1
                    following.append(other)
                    if _two_ports(case.items[other]) and not case.tanks[other]:
                        _face(case, case.items[other], _fed_from_below(case, other) or port, "S")
        frontier = [i for i in following if case.items[i].role != "actuator"]
    for item in (case.items[i] for i in case.above()):
        outlet = item.symbol.anchors.get("out")
        if item.role == "shuttle" and outlet is not None and item.symbol.may_turn:
            led = case.net_of((item.id, "out"))
            to_actuator = led is not None and any(
                case.items[i].role == "actuator" for i, _ in led.pins
            )
            _face(case, item, "out", "N" if to_actuator else "S")


def _fed_from_below(case: Case, item: str) -> str:
    """Name the port by which a part of the upper band hangs on the supply, empty if none."""
    for net in case.nets_of(item):
        if net.kind in ("pressure", "charge") and any(i not in case.upper for i, _ in net.pins):
            return next(port for i, port in net.pins if i == item)
    return ""


def _edges(case: Case) -> Iterable[tuple[str, str]]:
    """Give pairs (lower item, upper item) that a working line joins from top to bottom."""
    for net in case.nets.values():
        if net.kind in CONTROL_KINDS:
            continue
        for low in net.pins:
            for high in net.pins:
                both = low[0] in case.upper and high[0] in case.upper
                if both and case.side(low) == "N" and case.side(high) == "S":
                    yield low[0], high[0]


def _rows(case: Case) -> None:
    """Count the rows of the upper band by the longest way up from the rails."""
    edges = [
        (a, b)
        for a, b in _edges(case)
        if case.items[b].role not in _STANDING and not _in_one_bank(case, a, b)
    ]
    edges = _without_circles(case, edges)
    control = {
        i
        for i in case.above()
        if case.items[i].role == "shuttle" and all(n.kind in CONTROL_KINDS for n in case.nets_of(i))
    }
    first = 1 if control else 0
    rows = {i: 0 if i in control else first for i in case.above()}
    comps = any(case.items[i].role == "compensator" for i in case.above())
    if comps:
        rows = {i: 0 if case.items[i].role == "compensator" else rows[i] for i in rows}
    valves = [
        i
        for i in case.above()
        if case.items[i].role == "valve"
        and any(case.is_rail(n) or _from_compensator(case, i, n) for n in case.nets_of(i))
    ]
    for _ in range(len(case.upper)):
        before = dict(rows)
        for low, high in edges:
            if low != high and rows[high] <= rows[low] < len(case.upper):
                rows[high] = rows[low] + 1
        level = max((rows[i] for i in valves), default=0)
        rows.update(dict.fromkeys([i for i in valves if _is_root(case, i)], level))
        if rows == before:
            break
    _rows_of_side_parts(case, rows, control)
    top = max(rows.values(), default=0)
    movers = [i for i in case.above() if case.items[i].role == "actuator"]
    top = max([top, *(rows[i] + 1 for i in case.above() if case.items[i].role == "valve")])
    rows.update(dict.fromkeys(movers, top))
    for net in case.shafts:
        driven = [i for i, _ in net.pins if i in rows and case.items[i].role == "load"]
        rows.update(dict.fromkeys(driven, top + 1))
    rows.update({i: top for row in case.shaft_rows for i in row})
    case.rows = _without_empty_rows(rows)


def _is_root(case: Case, item: str) -> bool:
    return any(
        (case.is_rail(n) and n.kind in ("pressure", "charge")) or _from_compensator(case, item, n)
        for n in case.nets_of(item)
    )


def _without_circles(case: Case, edges: list[tuple[str, str]]) -> list[tuple[str, str]]:
    """Drop what would put a part above itself; actuators, then valves, keep their place."""
    weight = {"actuator": 0, "valve": 1}
    above: dict[str, set[str]] = {}
    kept = []
    for low, high in sorted(edges, key=lambda e: weight.get(case.items[e[1]].role, 2)):
        reached, frontier = {high}, [high]
        while frontier:
            fresh = above.get(frontier.pop(), set()) - reached
            reached |= fresh
            frontier += fresh
        if low not in reached:
            above.setdefault(low, set()).add(high)
            kept.append((low, high))
    return kept


def _in_one_bank(case: Case, low: str, high: str) -> bool:
    """Tell whether two valves are fed by one supply: then they stand side by side."""
    valves = case.items[low].role == case.items[high].role == "valve"
    return valves and _is_root(case, low) and _is_root(case, high)


def _from_compensator(case: Case, item: str, net: Net) -> bool:
    return any(case.items[i].role == "compensator" for i, _ in net.pins if i != item) and (
        net.kind not in CONTROL_KINDS
    )


def _rows_of_side_parts(case: Case, rows: dict[str, int], control: set[str]) -> None:
    """Put shuttles between work lines above their valve, and instruments above their line."""
    for i in sorted(case.upper, key=lambda k: case.items[k].order):
        item = case.items[i]
        if i in control:
            continue
        nets = case.nets_of(i)
        below = [
            rows[k]
            for net in nets
            for k, port in net.pins
            if k in rows and k != i and case.side((k, port)) == "N"
            if net.kind == "work" or not case.is_rail(net)
        ]
        if item.role == "shuttle" and below:
            rows[i] = max(below) + 1
        elif item.role == "pressure_control" and case.tanks[i] and below:
            rows[i] = max(below)
        elif item.role in _STANDING:
            if below:
                rows[i] = max(below) + 1
            else:
                rows[i] = 0


def _without_empty_rows(rows: dict[str, int]) -> dict[str, int]:
    used = sorted(set(rows.values()))
    return {i: used.index(row) for i, row in rows.items()}
