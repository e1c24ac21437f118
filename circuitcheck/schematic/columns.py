"""Where things stand from left to right: order in every row, then compaction.

Upper band: an estimate by repeated averaging over the joined ports gives the order in each
row; lines that pass a row are held a place in it. Lower band: stacks in the order of the
text, parts that sit in one line above each other.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from itertools import pairwise

from circuitcheck.schematic.bodies import Body
from circuitcheck.schematic.branches import branches
from circuitcheck.schematic.case import Case
from circuitcheck.schematic.differences import Differences
from circuitcheck.schematic.netlist import CONTROL_KINDS, Hint, Net, Pin
from circuitcheck.schematic.signals import risers
from circuitcheck.schematic.stacks import Stack, drained_port, stack_lower
from circuitcheck.schematic.wishes import reorder_row, reorder_stacks, wish_places

_SHIFTS = 4  # rounds in which opposite taps of a rail are moved apart
_ROOM = 60.0  # first guess for the width of one branch [M]


@dataclass
class Passing:
    """A line on its way through a row of the upper band."""

    name: str
    net: str
    row: int
    guess: float


@dataclass
class Columns:
    """The order of the sheet from left to right."""

    guess: dict[str, float]
    rows: dict[int, list[str]]
    passing: dict[str, Passing]
    chains: list[tuple[Net, list[tuple[str, float]]]]
    stacks: list[Stack] = field(default_factory=list)
    under: dict[str, Pin] = field(default_factory=dict)
    """Parts of a drain line -> the port under which they hang."""


def guess_places(case: Case, bodies: dict[str, Body], hints: tuple[Hint, ...]) -> dict[str, float]:
    """Guess x of every item of the upper band from the ports it is joined to [M]."""
    roots = branches(case, hints)
    guess = {i: _ROOM * k for k, i in enumerate(roots)}
    fixed = set(guess)
    loose = sorted(
        (i for i in case.above() if i not in fixed),
        key=lambda i: (case.rows[i], case.items[i].order),
    )
    for _ in range(14):
        for i in loose:
            found: list[float] = []
            for net in case.nets_of(i):
                if case.is_rail(net) and net.kind not in CONTROL_KINDS:
                    continue
                for own in (p for k, p in net.pins if k == i):
                    for k, port in net.pins:
                        if k != i and k in guess and case.items[k].role != "instrument":
                            off = bodies[k].anchor(port).x - bodies[i].anchor(own).x
                            weight = 2 if case.rows[k] > case.rows[i] else 1
                            found += [guess[k] + off] * weight
            for shaft in case.shafts:
                if any(k == i for k, _ in shaft.pins):
                    found += [guess[k] for k, _ in shaft.pins if k != i and k in guess]
            if found:
                guess[i] = sum(found) / len(found)
    for i in loose:
        hangs = case.items[i].role == "pressure_control" and bool(case.tanks[i])
        if hangs or case.items[i].role in ("instrument", "accumulator"):
            guess[i] = _free_side(case, bodies, guess, i)
        guess.setdefault(i, _ROOM * len(roots) + case.items[i].order)
    _in_order_of_text(case, guess)
    return guess


def _in_order_of_text(case: Case, guess: dict[str, float]) -> None:
    """Let the actuators of one branch stand in the order of the text."""
    branches: dict[int, list[str]] = {}
    for i in case.above():
        if case.items[i].role == "actuator":
            branches.setdefault(round(guess[i] / _ROOM), []).append(i)
    for items in branches.values():
        for i, place in zip(items, sorted(guess[i] for i in items), strict=True):
            guess[i] = place


def _free_side(case: Case, bodies: dict[str, Body], guess: dict[str, float], item: str) -> float:
    """Put an instrument left of all on its rail, else outside of its work line."""
    order = case.items[item].order * 0.01
    net = case.nets_of(item)[0] if case.nets_of(item) else None
    if net is None:
        return -_ROOM + order
    others = [(k, p) for k, p in net.pins if k != item and k in guess]
    if not others or (case.is_rail(net) and net.kind != "work"):
        heads = [guess[k] for k, _ in others if case.items[k].role in ("valve", "compensator")]
        return min(heads, default=0.0) - _ROOM / 2 + order
    here = sum(guess[k] + bodies[k].anchor(p).x for k, p in others) / len(others)
    return here + (14 if _is_right_of_middle(case, bodies, guess, others) else -14) + order


def _is_right_of_middle(
    case: Case, bodies: dict[str, Body], guess: dict[str, float], pins: list[Pin]
) -> bool:
    """Tell whether a work line leaves its valve on the right side, else where its pins are."""
    for item, port in pins:
        ups = [p for p in case.joined(item) if bodies[item].anchor(p).side == "N"]
        if case.items[item].role == "valve" and port in ups and len(ups) > 1:
            xs = [bodies[item].anchor(p).x for p in ups]
            return bodies[item].anchor(port).x > sum(xs) / len(xs)
    here = sum(guess[k] + bodies[k].anchor(p).x for k, p in pins) / len(pins)
    heads = [k for k in guess if case.items[k].role == "valve"]
    nearest = min(heads, key=lambda k: abs(guess[k] - here), default="")
    middle = _ROOM * round(here / _ROOM)
    if nearest:
        x0, _, x1, _ = bodies[nearest].symbol.frame
        middle = guess[nearest] + (x0 + x1) / 2
    return here >= middle


def order_columns(case: Case, bodies: dict[str, Body], hints: tuple[Hint, ...]) -> Columns:
    """Order every row of the upper band and the stacks of the lower one."""
    guess = guess_places(case, bodies, hints)
    columns = Columns(guess, {}, {}, [])
    for net in case.nets.values():
        if net.kind not in CONTROL_KINDS or case.is_rail(net):
            _chain(case, bodies, columns, net)
    for net, pin in risers(case):
        _rise(case, bodies, columns, net, pin)
    names: dict[int, list[tuple[float, int, str]]] = {}
    for i in case.above():
        names.setdefault(case.rows[i], []).append((guess[i], case.items[i].order, i))
    for p in columns.passing.values():
        names.setdefault(p.row, []).append((p.guess, -1, p.name))
    for row, listed in names.items():
        columns.rows[row] = [name for _, _, name in sorted(listed)]
    columns.stacks = stack_lower(case, bodies)
    for hint in hints:
        reorder_row(columns.rows.get(case.rows.get(hint.first, -1), []), hint)
        reorder_stacks(case, columns.stacks, hint)
    for turned in case.shaft_rows:
        _keep_in_row(columns.rows[case.rows[turned[0]]], turned)
    for stack in list(columns.stacks):
        port = drained_port(case, stack[0][0]) if len(stack) == 1 else None
        if port is not None and port[0] not in columns.under:
            columns.under[stack[0][0]] = port
            columns.stacks.remove(stack)
    return columns


def _keep_in_row(row: list[str], turned: tuple[str, ...]) -> None:
    """Let what a motor turns follow it from left to right, with nothing between."""
    for name in turned[1:]:
        row.remove(name)
    at = row.index(turned[0]) + 1
    row[at:at] = turned[1:]


def _chain(case: Case, bodies: dict[str, Body], columns: Columns, net: Net) -> None:
    """Hold places for a net in the rows between each upper pin and the pin below it."""
    pins = [pin for pin in net.pins if pin[0] in case.upper]
    lows = [p for p in pins if case.side(p) == "N"]
    shared: dict[int, str] = {}
    for pin in sorted((p for p in pins if case.side(p) == "S"), key=lambda p: case.rows[p[0]]):
        row = case.rows[pin[0]]
        under = [p for p in lows if case.rows[p[0]] < row]
        base = max((case.rows[p[0]] for p in under), default=-1)
        at = columns.guess[pin[0]] + bodies[pin[0]].anchor(pin[1]).x
        links: list[tuple[str, float]] = [(pin[0], bodies[pin[0]].anchor(pin[1]).x)]
        for level in range(row - 1, base, -1):
            if under and level in shared:
                links.append((shared[level], 0.0))
                break
            name = f"~{net.id}/{pin[0]}.{pin[1]}/{level}"
            columns.passing[name] = Passing(name, net.id, level, at)
            links.append((name, 0.0))
            if under:
                shared[level] = name
        else:
            lowest = [p for p in under if case.rows[p[0]] == base]
            for p in lowest[:1]:
                links.append((p[0], bodies[p[0]].anchor(p[1]).x))
        columns.chains.append((net, links))


def _rise(case: Case, bodies: dict[str, Body], columns: Columns, net: Net, pin: Pin) -> None:
    """Hold places for a signal line beside everything above its valve."""
    anchor = bodies[pin[0]].anchor(pin[1])
    x = anchor.x + (1 if anchor.side == "E" else -1)
    links: list[tuple[str, float]] = [(pin[0], x)]
    shuttle = next(((i, p) for i, p in net.pins if case.items[i].role == "shuttle"), None)
    top = max(case.rows.values()) + 1 if shuttle is None else case.rows[shuttle[0]]
    for level in range(case.rows[pin[0]] + 1, top):
        name = f"~{net.id}/{pin[0]}.{pin[1]}/{level}"
        columns.passing[name] = Passing(name, net.id, level, columns.guess[pin[0]] + x)
        links.append((name, 0.0))
    if shuttle is not None:
        end = bodies[shuttle[0]].anchor(shuttle[1])
        links.append((shuttle[0], end.x + {"E": 1, "W": -1}.get(end.side, 0)))
    columns.chains.append((net, links[::-1]))


def place_columns(
    case: Case,
    bodies: dict[str, Body],
    columns: Columns,
    gap: float,
    hints: tuple[Hint, ...] = (),
) -> dict[str, int]:
    """Compact the order to places: x of every item's origin and of every passing line [M]."""
    lp = Differences()
    lp.place("|")
    for row in columns.rows.values():
        for name in row:
            lp.at_least("|", name, _reach(case, bodies, name, -1))
        for left, right in pairwise(row):
            apart = _reach(case, bodies, left, 1) + _reach(case, bodies, right, -1)
            turning = any({left, right} <= set(turned) for turned in case.shaft_rows)
            lp.at_least(left, right, apart + (1 if turning else gap))
            if turning:
                lp.shorten(left, right, apart + 1, 8.0)
        for left, right in pairwise(row):
            _keep_blocks_apart(case, bodies, (left, right), gap, lp)
    for stack in columns.stacks:
        for name, offset in stack[1:]:
            lp.equal(stack[0][0], name, offset - stack[0][1])
        for name, _ in stack:
            lp.at_least("|", name, _reach(case, bodies, name, -1))
    for first, second in pairwise(columns.stacks):
        for i, _ in first:
            for k, _ in second:
                apart = _reach(case, bodies, i, 1) + _reach(case, bodies, k, -1)
                lp.at_least(i, k, apart + (1 if case.on_one_shaft(i, k) else gap))
    for i, (pump, drain) in columns.under.items():
        marks = [mark.symbol.frame[2] for mark in bodies[pump].marks]
        free = max([bodies[pump].anchor(drain).x, *marks])
        lp.at_least(pump, i, free + gap + _reach(case, bodies, i, -1))
        lp.pull(pump, i, 1.0)
    for a, b in pairwise(columns.under):
        lp.at_least(a, b, _reach(case, bodies, a, 1) + _reach(case, bodies, b, -1) + gap)
    for net, links in columns.chains:
        weight = 4.0 if net.kind in ("work", "pressure", "charge") else 2.0
        for (a, ax), (b, bx) in pairwise(links):
            lp.shorten(a, b, ax - bx, weight)
    _pull_together(case, bodies, columns, lp)
    wish_places(bodies, columns.guess, hints, lp)
    for hint in hints:
        if hint.relation == "column" and hint.first in bodies and hint.first not in case.upper:
            heads = branches(case, hints)
            if int(hint.second) <= len(heads):
                over = heads[int(hint.second) - 1]
                lp.shorten(over, hint.first, 0.0, 30.0)
    found = lp.solve()
    for _ in range(_SHIFTS):
        facing = list(_opposite_taps(case, bodies, found))
        if not facing:
            break
        for below, above, distance in facing:
            lp.should(below, above, distance)
        found = lp.solve()
    return found


def _keep_blocks_apart(
    case: Case, bodies: dict[str, Body], pair: tuple[str, str], gap: float, lp: Differences
) -> None:
    """Keep neighbours of two blocks so far apart, with all their block, that outlines have room."""
    if not all(name in bodies for name in pair):
        return
    blocks = [name.rpartition("/")[0] for name in pair]
    if blocks[0] == blocks[1]:
        return
    sides = [
        [i for i in case.above() if block and i.startswith(f"{block}/")] or [name]
        for name, block in zip(pair, blocks, strict=True)
    ]
    for i in sides[0]:
        for k in sides[1]:
            lp.should(i, k, _reach(case, bodies, i, 1) + _reach(case, bodies, k, -1) + gap + 2)


def _opposite_taps(
    case: Case, bodies: dict[str, Body], xs: dict[str, int]
) -> Iterable[tuple[str, str, float]]:
    """Find taps that meet a rail at one point from above and from below.

    Where the rail runs on to both sides that would be a joint of four lines. Gives the lower
    item, the upper item and the least distance of their origins.
    """
    for net in case.nets.values():
        if not case.is_rail(net):
            continue
        taps = [(i, xs[i] + bodies[i].anchor(p).x, bodies[i].anchor(p)) for i, p in net.pins]
        ends = min(x for _, x, _ in taps), max(x for _, x, _ in taps)
        for low, x, anchor in taps:
            for high, x_high, above in taps:
                opposite = low not in case.upper and high in case.upper and anchor.side == "N"
                if opposite and x == x_high and above.side == "S" and ends[0] < x < ends[1]:
                    yield low, high, anchor.x + 2 - above.x


def _reach(case: Case, bodies: dict[str, Body], name: str, side: int) -> float:
    """Give how far a body reaches to one side, with a lane for each line that leaves there."""
    if name not in bodies:
        return 0.0
    x0, _, x1, _ = bodies[name].extent()
    letter = "W" if side < 0 else "E"
    lanes = sum(bodies[name].anchor(p).side == letter for p in case.joined(name))
    return (x1 if side > 0 else -x0) + 2.0 * lanes


def _pull_together(case: Case, bodies: dict[str, Body], columns: Columns, lp: Differences) -> None:
    """Keep nets narrow, actuators in the middle over their valve, the sheet narrow."""
    for net in case.nets.values():
        low, high = f"<{net.id}", f">{net.id}"
        for i, port in net.pins:
            x = bodies[i].anchor(port).x
            lp.at_least(low, i, -x)
            lp.at_least(i, high, x)
        lp.pull(low, high, 1.0)
    for i in case.above():
        if case.items[i].role != "actuator":
            continue
        centres = _centres(case, bodies, i)
        for other, offset in centres:
            lp.shorten(other, i, offset, 0.6)
    for net in case.shafts:
        above = [(i, p) for i, p in net.pins if i in case.upper and not case.in_row(i)]
        for (a, pa), (b, pb) in pairwise(above):
            lp.equal(a, b, bodies[a].anchor(pa).x - bodies[b].anchor(pb).x)
        machines = [i for i, _ in net.pins if i not in case.upper]
        for driven in machines[1:]:
            lp.shorten(machines[0], driven, 0.0, 0.5)
    for net in case.nets.values():
        if len(net.pins) == 2:
            _bring_to_face(bodies, net, lp)
    last = _last_return(case, bodies, columns)
    if last is not None:
        (a, ax), (b, bx) = last
        lp.shorten(a, b, ax - bx, 4.0)
    for name in [*bodies]:
        lp.pull("|", name, 0.01)


def _bring_to_face(bodies: dict[str, Body], net: Net, lp: Differences) -> None:
    """Let a port on a right side stand a little left of the port on a left side it is joined to."""
    east = next(((i, p) for i, p in net.pins if bodies[i].anchor(p).side == "E"), None)
    west = next(((i, p) for i, p in net.pins if bodies[i].anchor(p).side == "W"), None)
    if east and west and east[0] != west[0]:
        gap = bodies[east[0]].anchor(east[1]).x + 2 - bodies[west[0]].anchor(west[1]).x
        lp.shorten(east[0], west[0], gap, 1.0)


def _centres(case: Case, bodies: dict[str, Body], item: str) -> list[tuple[str, float]]:
    """Find valves that a pair of lines joins to an actuator, with the wanted x difference."""
    found: dict[str, list[float]] = {}
    for pin in ((i, p) for n in case.nets_of(item) for i, p in n.pins if i == item):
        seen = {item}
        frontier = [pin]
        while frontier:
            net = case.net_of(frontier.pop())
            if net is None or net.kind != "work":
                continue
            for other, port in net.pins:
                if other in seen or other not in case.upper:
                    continue
                seen.add(other)
                role = case.items[other].role
                if role == "valve":
                    off = bodies[other].anchor(port).x - bodies[item].anchor(pin[1]).x
                    found.setdefault(other, []).append(off)
                elif role in ("line_part", "check"):
                    ports = case.items[other].symbol.anchors
                    frontier += [(other, p) for p in ports if p != port]
    return [(v, float(round(sum(o) / len(o)))) for v, o in found.items() if len(o) == 2]


def _last_return(
    case: Case, bodies: dict[str, Body], columns: Columns
) -> tuple[tuple[str, float], tuple[str, float]] | None:
    """Pair the return part with the lowest end of the rightmost valve's return line."""
    best: tuple[float, tuple[str, float], tuple[str, float]] | None = None
    for net, links in columns.chains:
        if net.kind != "return" or not case.is_rail(net):
            continue
        low = next(((i, p) for i, p in net.pins if i not in case.upper), None)
        if low is None or case.side(low) != "N":
            continue
        head = columns.guess[links[0][0]]
        if best is None or head > best[0]:
            best = (head, links[-1], (low[0], bodies[low[0]].anchor(low[1]).x))
    return (best[1], best[2]) if best else None
