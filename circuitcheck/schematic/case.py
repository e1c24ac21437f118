"""A netlist made ready for placing: tank pins cut off, items sorted into bands and rows.

The sheet has a lower band (drive, pumps, what hangs under the rails, conditioning on the way
to the tank) and an upper band (valves, parts in the work lines, actuators on top); the
pressure and return rails run between them.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from circuitcheck.schematic.netlist import CONTROL_KINDS, STANDING, Item, Net, NetKind, Netlist, Pin
from circuitcheck.schematic.rows import set_rows
from circuitcheck.schematic.shaft_rows import OUTLETS, set_up_rows
from circuitcheck.schematic.signals import is_gallery, signal_shuttles
from circuitcheck.schematic.wished_rows import lift_wished, raise_wished, turn_wished
from circuitcheck.symbols import Side

_RAILS = ("pressure", "charge", "return")
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
    turned: set[str] = field(default_factory=set)
    """Items that are turned as the writer wished."""
    signals_above: bool = False
    """Whether the line of the load signal runs above the actuators."""
    _on_item: dict[str, list[Net]] = field(default_factory=dict)
    _on_pin: dict[Pin, Net] = field(default_factory=dict)

    def __post_init__(self) -> None:
        for net in self.nets.values():
            self._enter(net)

    def add_net(self, net: Net) -> None:
        """Take in one more net to be routed."""
        self.nets[net.id] = net
        self._enter(net)

    def _enter(self, net: Net) -> None:
        for item in dict.fromkeys(i for i, _ in net.pins):
            self._on_item.setdefault(item, []).append(net)
        for pin in net.pins:
            self._on_pin.setdefault(pin, net)

    def above(self) -> list[str]:
        """Name the items of the upper band, in the order of the text."""
        return [i for i in self.items if i in self.upper]

    def below(self) -> list[str]:
        """Name the items of the lower band, in the order of the text."""
        return [i for i in self.items if i not in self.upper]

    def net_of(self, pin: Pin) -> Net | None:
        return self._on_pin.get(pin)

    def nets_of(self, item: str) -> list[Net]:
        return list(self._on_item.get(item, ()))

    def joined(self, item: str) -> frozenset[str]:
        """Name the ports of an item from which a line leaves."""
        return frozenset(p for net in self.nets_of(item) for i, p in net.pins if i == item)

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
        if net.kind == "shaft" or is_gallery(self, net):
            return False
        if net.kind in _RAILS:
            return bool(above) and (
                len(above) < len(net.pins) or all(self.side(p) == "S" for p in above)
            )
        return bool(above) and len(above) < len(net.pins)

    def pump_at(self, net: Net) -> str:
        """Name the pump whose pressure port is on a net, empty if there is none."""
        return next((i for i, p in net.pins if self.items[i].role == "pump" and p not in "SLX"), "")


def make_case(netlist: Netlist, *, signals_above: bool = False) -> Case:
    """Cut the tank pins off and sort the items into bands and rows.

    With ``signals_above`` the line of the load signal runs above the actuators.
    """
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
            nets[net.id] = replace(net, pins=pins)
    shafts = [net for net in netlist.nets if net.kind == "shaft"]
    hoses = {(v.item, v.port): v.text for v in netlist.hoses if v.port in tanks.get(v.item, ())}
    case = Case(items, nets, list(shafts), tanks, hoses=hoses, signals_above=signals_above)
    case.texts.update(dict.fromkeys(hoses, 1))
    for value in netlist.values:
        pin = (value.item, value.port)
        case.texts[pin] = case.texts.get(pin, 0) + 1
    _sort_into_bands(case)
    lift_wished(case, netlist.hints)
    set_up_rows(case)
    for net in shafts:
        if not _is_straight_shaft(case, net):
            case.shafts.remove(net)
            case.add_net(net)
    _turn_lower(case)
    _turn_upper(case)
    turn_wished(case, netlist.hints)
    set_rows(case)
    raise_wished(case, netlist.hints)
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
    closed = [i for i, _ in net.pins[1:] if not _lets_shaft_through(case.items[i])]
    machines = machines and (len(net.pins) == 2 or len(closed) < 2)
    driven = case.items[net.pins[-1][0]]
    if sides == ["E", "E"] and not machines and driven.role == "pump":
        case.mirrored.add(driven.id)
        return driven.symbol.may_mirror
    return machines and all(side in "EW" for side in sides)


def _lets_shaft_through(item: Item) -> bool:
    """Tell whether a shaft can be drawn on both sides of a machine, a circle about its origin."""
    x0, _, x1, _ = item.symbol.frame
    return x0 < 0 < x1 and (x0 >= -5 or x1 <= 5)


def _sort_into_bands(case: Case) -> None:
    for item in case.items.values():
        touched = {net.kind for net in case.nets_of(item.id)}
        if _leads_to_tank(case, item):
            continue
        works = "work" in touched and item.role not in ("pump", "drive")
        always = item.role in _UPPER
        if works or always or (item.role in STANDING and touched & _SUPPLY):
            case.upper.add(item.id)
    for item in case.items.values():
        if item.role in STANDING and item.id not in case.upper:
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
    pins = net.pins if net is not None else ()
    pins = tuple(pin for pin in pins if case.items[pin[0]].role != "instrument")
    if len(pins) != 2:
        return False
    behind = next((pin for pin in pins if pin[0] != item.id), None)
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
        if item.role == "shuttle" and item.symbol.may_turn:
            outlet = _middle_port(item)
            led = case.net_of((item.id, outlet)) if outlet else None
            high = case.signals_above and item.id in signal_shuttles(case)
            up = led is not None and (not case.is_rail(led) if high else _joins_actuator(case, led))
            if outlet:
                _face(case, item, outlet, "N" if up else "S")


def _middle_port(item: Item) -> str:
    """Name the outlet of a shuttle: the port between its two inlets, empty if there is none."""
    outlets = [port for port, a in item.symbol.anchors.items() if a.side in "NS"]
    return outlets[0] if len(outlets) == 1 else ""


def _joins_actuator(case: Case, net: Net) -> bool:
    return any(case.items[i].role == "actuator" for i, _ in net.pins)


def _fed_from_below(case: Case, item: str) -> str:
    """Name the port by which a part of the upper band hangs on the supply, empty if none."""
    for net in case.nets_of(item):
        if net.kind in ("pressure", "charge") and any(i not in case.upper for i, _ in net.pins):
            return next(port for i, port in net.pins if i == item)
    return ""
