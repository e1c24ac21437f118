"""Breaks a large netlist into several sheets; lines that go on say on which sheet.

The supply and what serves all branches stand on the first sheet, the branches follow in the
order of the text, unless the writer wishes a part on a certain sheet. Only lines that serve
several branches are cut: pressure, charge, return, load signal. What a shaft, a work line or a
pilot line joins stays together.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from circuitcheck.schematic.netlist import GOES_DOWN, GOES_UP, Item, Net, NetKind, Netlist
from circuitcheck.symbols import Symbol
from circuitcheck.symbols._parts import port, symbol

_CUT: frozenset[NetKind] = frozenset({"pressure", "charge", "return", "load_sense"})


def split(netlist: Netlist, most: int | None = None) -> list[Netlist]:
    """Give one netlist per sheet, each of about ``most`` items; a branch is never torn apart.

    Without ``most`` only what the writer wishes on another sheet leaves the first one. Every
    line that is cut ends on each of its sheets in a mark that names the others.
    ValueError if ``most`` is less than one.
    """
    if most is not None and most < 1:
        raise ValueError("a sheet holds at least one part")
    sheets = _fill(netlist, most)
    if len(sheets) < 2:
        return [netlist]
    of = {i: k for k, names in enumerate(sheets) for i in names}
    return [_sheet(netlist, number, of) for number in range(len(sheets))]


def _fill(netlist: Netlist, most: int | None) -> list[list[str]]:
    """Name the items of every sheet."""
    wished = [(h.first, int(h.second)) for h in netlist.hints if h.relation == "sheet"]
    groups = _groups(netlist)
    items = {item.id: item for item in netlist.items}
    first: list[str] = []
    branches: list[list[str]] = []
    elsewhere: list[tuple[int, list[str]]] = []
    for group in groups:
        wanted = next((number for item, number in wished if item in group), 0)
        if wanted:
            elsewhere.append((wanted, group))
            continue
        roles = {items[i].role for i in group}
        branch = roles & {"valve", "actuator", "compensator"} and not roles & {"pump", "drive"}
        if branch:
            branches.append(group)
        else:
            first += group
    sheets = [first] if first else []
    for branch_items in branches:
        if sheets and (most is None or len(sheets[-1]) + len(branch_items) <= most):
            sheets[-1] += branch_items
        else:
            sheets.append(list(branch_items))
    for number, group in elsewhere:
        sheets += [[] for _ in range(number - len(sheets))]
        sheets[number - 1] += group
    return [sheet for sheet in sheets if sheet]


def _groups(netlist: Netlist) -> list[list[str]]:
    """Join what must stay together, in the order of the text; tanks are on every sheet."""
    tanks = {item.id for item in netlist.items if item.role == "tank"}
    leader = {item.id: item.id for item in netlist.items if item.id not in tanks}

    def lead(name: str) -> str:
        while leader[name] != name:
            name = leader[name]
        return name

    whole = [{i for i, _ in n.pins} - tanks for n in netlist.nets if not _may_cut(n, tanks)]
    whole += [set(enclosure.items) & set(leader) for enclosure in netlist.enclosures]
    for joined in whole:
        names = sorted(joined, key=lambda i: list(leader).index(i))
        for name in names[1:]:
            leader[lead(name)] = lead(names[0])
    found: dict[str, list[str]] = {}
    for name in leader:
        found.setdefault(lead(name), []).append(name)
    return list(found.values())


def _may_cut(net: Net, tanks: set[str]) -> bool:
    """Tell whether a line may go on on another sheet; at a tank there is nothing to cut."""
    return net.kind in _CUT or any(i in tanks for i, _ in net.pins)


def _sheet(netlist: Netlist, number: int, of: dict[str, int]) -> Netlist:
    tanks = {item.id: item for item in netlist.items if item.role == "tank"}
    here = {i for i, sheet in of.items() if sheet == number}
    nets: list[Net] = []
    marks: list[Item] = []
    for net in netlist.nets:
        own = tuple(pin for pin in net.pins if pin[0] in here)
        to_tank = tuple(pin for pin in net.pins if pin[0] in tanks)
        others = sorted({of[i] for i, _ in net.pins if i in of} - {number})
        if not own:
            continue
        if others and not to_tank:
            mark = _mark(net, others, above=number == 0, order=10_000 + len(marks))
            marks.append(mark)
            own = (*own, (mark.id, "go on"))
        nets.append(replace(net, pins=(*own, *to_tank)))
    used = {i for net in nets for i, _ in net.pins}
    items = [i for i in netlist.items if i.id in here or (i.id in tanks and i.id in used)]
    return replace(
        netlist,
        items=(*items, *marks),
        nets=tuple(nets),
        hints=tuple(h for h in netlist.hints if set(h.items) <= here),
        values=tuple(v for v in netlist.values if v.item in here),
        hoses=tuple(v for v in netlist.hoses if v.item in here),
        enclosures=tuple(e for e in netlist.enclosures if set(e.items) <= here),
        tables=netlist.tables if number == 0 else (),
        sheet=number + 1,
        fields=(*netlist.fields, ("Sheet", f"{number + 1}/{max(of.values()) + 1}")),
    )


def _mark(net: Net, others: Iterable[int], *, above: bool, order: int) -> Item:
    """Give the mark at the end of a cut line, with the sheets on which it goes on."""
    kind = GOES_UP if above else GOES_DOWN
    sheets = {k + 1: "" for k in others}
    widest = mark_text(dict.fromkeys(sheets, "M12"))
    return Item(net.id, kind, _arrow(above=above), (mark_text(sheets),), order, room_for=widest)


def mark_text(fields: dict[int, str]) -> str:
    """Write on which sheets a line goes on, with the fields of their grids where known."""
    return "sheet " + ", ".join(f"{k} {field}".rstrip() for k, field in fields.items())


def _arrow(*, above: bool) -> Symbol:
    """Draw an open arrowhead at the end of a line that goes on elsewhere (own choice)."""
    if above:
        return symbol("L 0,2 0,0; L -1,1 0,0 1,1", {"go on": port(0, 2, "S")}, mirror=False)
    return symbol("L 0,-2 0,0; L -1,-1 0,0 1,-1", {"go on": port(0, -2, "N")}, mirror=False)
