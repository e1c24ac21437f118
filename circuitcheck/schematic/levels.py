"""Where things stand from bottom to top: rails in the middle, both bands packed against them."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise

from circuitcheck.schematic.bodies import Body
from circuitcheck.schematic.case import Case
from circuitcheck.schematic.columns import Columns
from circuitcheck.schematic.differences import Differences
from circuitcheck.schematic.netlist import CONTROL_KINDS, Hint, Net, Pin
from circuitcheck.schematic.shaft_rows import outlet
from circuitcheck.schematic.signals import is_gallery, signal_shuttles
from circuitcheck.schematic.stacks import Stack
from circuitcheck.schematic.wishes import wish_levels

_RAIL_ORDER = ("load_sense", "pilot", "drain", "work", "return", "charge", "pressure", "suction")
"""Rails from top to bottom: what hangs under the pressure rail need not cross the return."""


def place_levels(
    case: Case,
    bodies: dict[str, Body],
    columns: Columns,
    xs: dict[str, int],
    gap: float,
    hints: tuple[Hint, ...] = (),
) -> tuple[dict[str, int], dict[str, int]]:
    """Give y of every item's origin and y of every rail, by net id [M]."""
    lp = Differences()
    lp.place("=")
    rails = _in_order(case, bodies, xs)
    names = ["=", *(f"={net.id}" for net in rails)]
    for above, below in pairwise(names):
        lp.at_least(above, below, 2)
    bottom = names[-1]
    _upper(case, bodies, columns, xs, gap, lp)
    _lower(case, bodies, columns, xs, gap, lp, bottom)
    for net in rails:
        for i, port in net.pins:
            anchor = bodies[i].anchor(port)
            if i in case.upper:
                lp.pull(i, f"={net.id}", 0.3)
                if (i, port) in case.texts and anchor.side == "S":
                    lp.at_least(i, f"={net.id}", anchor.y + _text_room(case, (i, port)))
            elif anchor.side == "N":
                lp.at_least(f"={net.id}", i, _text_room(case, (i, port)) - anchor.y)
                lp.pull(f"={net.id}", i, 0.3)
    wish_levels(case, bodies, hints, lp)
    galleries = [net for net in case.nets.values() if is_gallery(case, net)]
    _above_all(case, bodies, galleries, lp)
    places = lp.solve()
    return (
        {i: places[i] for i in case.items},
        {net.id: places[f"={net.id}"] for net in [*rails, *galleries]},
    )


def _above_all(case: Case, bodies: dict[str, Body], galleries: list[Net], lp: Differences) -> None:
    """Keep the lines of load signals and their shuttles above everything else."""
    shuttles = signal_shuttles(case) if case.signals_above else []
    tops = [(f"={net.id}", 0.0, 2.0 * k) for k, net in enumerate(galleries)]
    tops += [(i, bodies[i].extent()[3], 1.0) for i in shuttles]
    for i in case.above() if tops else ():
        if i not in shuttles:
            lp.at_least("^", i, 1 - bodies[i].extent()[1])
    for name, foot, more in tops:
        lp.at_least(name, "^", foot + more)
        lp.pull(name, "=", 1.0)
    for a, b in pairwise(shuttles):
        lp.equal(a, b)


def _in_order(case: Case, bodies: dict[str, Body], xs: dict[str, int]) -> list[Net]:
    """Order the rails from top to bottom so that few taps cross them, else as is usual."""
    rails = sorted(
        (net for net in case.nets.values() if case.is_rail(net)),
        key=lambda n: (_RAIL_ORDER.index(n.kind), n.id),
    )
    from_above, from_below, spans = [], [], []
    for net in rails:
        taps = [(i in case.upper, xs[i] + bodies[i].anchor(p).x) for i, p in net.pins]
        from_above.append([x for above, x in taps if above])
        from_below.append([x for above, x in taps if not above])
        spans.append((min(x for _, x in taps), max(x for _, x in taps)))

    def crossed(high: int, low: int) -> int:
        """Count the crossings of two rails' taps if one lies above the other."""
        return sum(spans[high][0] < x < spans[high][1] for x in from_above[low]) + sum(
            spans[low][0] < x < spans[low][1] for x in from_below[high]
        )

    order = list(range(len(rails)))
    for _ in order:
        before = list(order)
        for moved in before:
            rest = [k for k in order if k != moved]
            costs = [
                sum(crossed(k, moved) for k in rest[:at])
                + sum(crossed(moved, k) for k in rest[at:])
                for at in range(len(order))
            ]
            now = order.index(moved)
            best = min(range(len(order)), key=lambda at: (costs[at], abs(at - now)))
            order = [*rest[:best], moved, *rest[best:]]
        if order == before:
            break
    return [rails[k] for k in order]


def _text_room(case: Case, pin: Pin) -> float:
    """Give the length that a line needs for the texts beside it at a port [M]."""
    rows = case.texts.get(pin, 0)
    return 2.0 + (2.0 * rows if rows else 0.0)


def _upper(
    case: Case,
    bodies: dict[str, Body],
    columns: Columns,
    xs: dict[str, int],
    gap: float,
    lp: Differences,
) -> None:
    tracks = _tracks(case, bodies, columns, xs)
    for i in case.above():
        lp.at_least(i, "=", bodies[i].extent()[3] + 1 + 2 * tracks.get(-1, 0) * 0)
        lp.pull(i, "=", 1.0)
        for k in case.above():
            if case.rows[k] <= case.rows[i] or case.on_one_shaft(i, k):
                continue
            runs = max((tracks.get(r, 0) for r in range(case.rows[i], case.rows[k])), default=0)
            drives = (case.items[i].role, case.items[k].role) == ("valve", "actuator")
            if drives or _over(bodies[i], xs[i], bodies[k], xs[k]) or _share_net(case, i, k):
                # lines may use the height of a label that stands beside them
                apart = bodies[k].extent()[3] - bodies[i].extent()[1] + gap + runs
                bare = bodies[k].symbol.frame[3] - bodies[i].symbol.frame[1] + gap + 2 * runs
                lp.at_least(k, i, max(apart, bare))
    for low, high, straight in _joined(case, bodies, xs):
        (i, yi), (k, yk) = low, high
        room = 2 if straight else 2 + 2 * max(1, tracks.get(case.rows[i], 0))
        lp.should(k, i, yk - yi + room)
    for role in ("actuator", "valve", "compensator"):
        for row in set(case.rows.values()):
            line = [i for i in case.above() if case.rows[i] == row and case.items[i].role == role]
            for a, b in pairwise(line):
                lp.equal(a, b)
    for row in set(case.rows.values()):
        line = [
            i
            for i in case.above()
            if case.rows[i] == row and case.items[i].role == "pressure_control"
        ]
        for a, b in pairwise(line):
            lp.shorten(a, b, 0.0, 1.5)
    for net in case.shafts:
        above = sorted(
            ((i, p) for i, p in net.pins if i in case.upper and not case.in_row(i)),
            key=lambda e: case.rows[e[0]],
        )
        for (a, pa), (b, pb) in pairwise(above):
            lp.equal(b, a, bodies[b].anchor(pb).y - bodies[a].anchor(pa).y + 2)

    for turned in case.shaft_rows:
        for left, right in pairwise(turned):
            leaves = bodies[left].anchor(outlet(bodies[left].symbol.anchors))
            lp.equal(left, right, leaves.y - bodies[right].anchor("shaft").y)


def _share_net(case: Case, a: str, b: str) -> bool:
    """Tell whether a part beside a line is joined to another item by a line of the branch."""
    if "shuttle" not in (case.items[a].role, case.items[b].role):
        return False
    return any(b in {i for i, _ in net.pins} and not case.is_rail(net) for net in case.nets_of(a))


def _over(a: Body, ax: int, b: Body, bx: int) -> bool:
    ea, eb = a.extent(), b.extent()
    return min(ea[2] + ax, eb[2] + bx) - max(ea[0] + ax, eb[0] + bx) > -2


def _joined(
    case: Case, bodies: dict[str, Body], xs: dict[str, int]
) -> Iterable[tuple[tuple[str, float], tuple[str, float], bool]]:
    """Give pairs of facing pins on one net: (lower item, its y), (upper item, its y), straight."""
    for net in case.nets.values():
        if net.kind in CONTROL_KINDS:
            continue
        pins = [p for p in net.pins if p[0] in case.upper]
        for low in (p for p in pins if case.side(p) == "N"):
            for high in (p for p in pins if case.side(p) == "S"):
                if case.rows[high[0]] > case.rows[low[0]]:
                    a, b = bodies[low[0]].anchor(low[1]), bodies[high[0]].anchor(high[1])
                    straight = xs[low[0]] + a.x == xs[high[0]] + b.x and len(net.pins) == 2
                    straight = straight and not case.wants_text(net)
                    yield (low[0], a.y), (high[0], b.y), straight


def _tracks(
    case: Case, bodies: dict[str, Body], columns: Columns, xs: dict[str, int]
) -> dict[int, int]:
    """Count the horizontal runs that lie above each other between a row and the next."""
    spans: dict[int, list[tuple[float, float]]] = {}
    for _, links in columns.chains:
        for (a, ax), (b, bx) in pairwise(links):
            low = b if b in bodies else columns.passing[b]
            row = case.rows[low] if isinstance(low, str) else low.row
            left, right = sorted((xs[a] + ax, xs[b] + bx))
            if left != right:
                spans.setdefault(row, []).append((left, right))
    for net in case.nets.values():
        if net.kind in CONTROL_KINDS and not case.is_rail(net):
            places = [
                (case.rows[i], xs[i] + bodies[i].anchor(p).x)
                for i, p in net.pins
                if i in case.upper
            ]
            if len(places) > 1:
                row = min(r for r, _ in places)
                across = [x for _, x in places]
                spans.setdefault(row, []).append((min(across), max(across)))
    return {row: _density(found) for row, found in spans.items()}


def _density(spans: list[tuple[float, float]]) -> int:
    events = sorted(
        [(a, 1) for a, _ in spans] + [(b, -1) for _, b in spans], key=lambda e: (e[0], -e[1])
    )
    most = now = 0
    for _, step in events:
        now += step
        most = max(most, now)
    return most


def _lower(
    case: Case,
    bodies: dict[str, Body],
    columns: Columns,
    xs: dict[str, int],
    gap: float,
    lp: Differences,
    bottom: str,
) -> None:
    lower = case.below()
    for i in lower:
        lp.at_least(bottom, i, 2 - bodies[i].extent()[1])
        lp.pull(bottom, i, 1.0)
    for net in case.nets.values():
        if not case.is_rail(net):
            _local(case, bodies, xs, net, lp)
    for stack in columns.stacks:
        _stacked(case, bodies, stack, lp)
    for i in columns.under:
        for k in lower:
            if k not in columns.under and _over(bodies[i], xs[i], bodies[k], xs[k]):
                lp.at_least(k, i, bodies[k].extent()[3] - bodies[i].extent()[1] + gap)
    for shaft in case.shafts:
        row = [(i, p) for i, p in shaft.pins if i not in case.upper]
        for (a, pa), (b, pb) in pairwise(row):
            lp.equal(a, b, bodies[a].anchor(pa).y - bodies[b].anchor(pb).y)


def _local(
    case: Case, bodies: dict[str, Body], xs: dict[str, int], net: Net, lp: Differences
) -> None:
    """Keep pins that look up below their net's own level, pins that look down above it."""
    pins = [(i, bodies[i].anchor(p)) for i, p in net.pins if i not in case.upper]
    if len(pins) < 2:
        return
    columns = {xs[i] + anchor.x for i, anchor in pins}
    room = 2 if len(columns) > 1 or case.wants_text(net) else 1
    for i, anchor in pins:
        if anchor.side == "N":
            lp.should(f"-{net.id}", i, room - anchor.y)
        elif anchor.side == "S":
            lp.should(i, f"-{net.id}", anchor.y + room)


def _stacked(case: Case, bodies: dict[str, Body], stack: Stack, lp: Differences) -> None:
    """Keep the members of a stack apart, from top to bottom."""
    for (high, _), (low, _) in pairwise(stack):
        texts = any(
            case.wants_text(net) for net in case.nets_of(high) if any(i == low for i, _ in net.pins)
        )
        apart = bodies[high].extent()[3] - bodies[low].extent()[1]
        lp.at_least(high, low, apart + (4 if texts else 2))
