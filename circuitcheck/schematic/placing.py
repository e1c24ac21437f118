"""Places and routes a netlist once, with a given amount of room."""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import pairwise

from circuitcheck.basics.shapes import Box, Point, Pose
from circuitcheck.schematic.bodies import Body, union
from circuitcheck.schematic.case import Case, make_case
from circuitcheck.schematic.check import Frame, Wire
from circuitcheck.schematic.columns import Columns, order_columns, place_columns
from circuitcheck.schematic.facing import choose_mirrored, make_bodies
from circuitcheck.schematic.grid import Grid
from circuitcheck.schematic.levels import place_levels
from circuitcheck.schematic.netlist import DASHED_KINDS, Hint, Net, Netlist, Pin
from circuitcheck.schematic.pairs import level_pairs
from circuitcheck.schematic.routing import Router, polylines, tees
from circuitcheck.schematic.shaft_rows import outlet
from circuitcheck.schematic.signals import is_gallery, keeps_to_level, risers_first
from circuitcheck.symbols import Anchor

_OFF_TEXT = 0.3  # least distance of a line from a label [M]
_TURNS = 3  # rounds in which symbols are mirrored
_MARGIN = 14  # free nodes round the sheet [M]


@dataclass
class Line:
    """One drawn net: its polylines and joints; ``pins`` are the ports that it joins."""

    net: Net
    ways: list[tuple[Point, ...]]
    joints: list[Point]
    pins: list[tuple[Pin, Anchor]]

    @property
    def dashed(self) -> bool:
        return self.net.kind in DASHED_KINDS

    def ends_in_pilot(self, way: tuple[Point, ...]) -> bool:
        """Tell whether a branch of a working line serves as the pilot line of a port."""
        controls = {(anchor.x, anchor.y) for _, anchor in self.pins if anchor.dashed}
        return way[0] in controls or way[-1] in controls


@dataclass
class Layout:
    """A placed and routed netlist; ``missing`` are nets for which there was no way."""

    case: Case
    bodies: dict[str, Body]
    lines: list[Line]
    shafts: list[tuple[Net, Point, Point]]
    missing: list[Net] = field(default_factory=list)
    work: int = 0
    """How much was looked at to route it, a measure of time that needs no clock."""

    def extent(self) -> Box:
        boxes = [body.extent() for body in self.bodies.values()]
        points = [p for line in self.lines for way in line.ways for p in way]
        return union(boxes + [(x, y, x, y) for x, y in points])


@dataclass(frozen=True)
class Moves:
    """Changes against the usual layout: items that are mirrored, neighbours to swap places, the
    line of the load signal above the actuators. Without ``mirrored`` that is to be found."""

    mirrored: frozenset[str] | None = None
    orders: tuple[Hint, ...] = ()
    signals_above: bool = False


AS_USUAL = Moves()


@dataclass(frozen=True)
class Placed:
    """Where everything stands, before the lines are drawn; ``levels`` gives y of the rails."""

    case: Case
    bodies: dict[str, Body]
    levels: dict[str, int]
    mirrored: frozenset[str]

    def poses(self) -> frozenset[tuple[str, Pose]]:
        """Give the place of every item, to tell two sheets apart."""
        return frozenset((i, body.pose) for i, body in self.bodies.items())


def lay_out(netlist: Netlist, room: float, moves: Moves = AS_USUAL) -> Layout:
    """Place the items, then route the nets; ``room`` is the least gap between items [M].

    UnplaceableError if there is no room for a label or mark, or if the gaps contradict.
    """
    return route(place(netlist, room, moves))


def place(netlist: Netlist, room: float, moves: Moves = AS_USUAL, turns: int = 0) -> Placed:
    """Give every item its place; what ``lay_out`` says of room and errors holds.

    What is mirrored is found in a few rounds, unless the moves tell it; then in ``turns`` rounds.
    """
    hints = (*moves.orders, *netlist.hints)
    case = make_case(netlist, signals_above=moves.signals_above)
    mirrored = moves.mirrored or frozenset()
    bodies, columns, xs = _across(case, mirrored, room, hints)
    for _ in range(_TURNS if moves.mirrored is None else turns):
        better = choose_mirrored(case, bodies, xs, mirrored)
        if better == mirrored:
            break
        mirrored = better
        bodies, columns, xs = _across(case, mirrored, room, hints)
    ys, levels = place_levels(case, bodies, columns, xs, room, netlist.hints)
    placed = {i: moved_body(body, xs[i], ys[i]) for i, body in bodies.items()}
    return Placed(case, placed, levels, mirrored)


def _across(
    case: Case, mirrored: frozenset[str], room: float, hints: tuple[Hint, ...]
) -> tuple[dict[str, Body], Columns, dict[str, int]]:
    """Prepare the items, order them from left to right and give x of each."""
    bodies = make_bodies(case, mirrored)
    columns = order_columns(case, bodies, hints)
    return bodies, columns, place_columns(case, bodies, columns, room, hints)


def moved_body(body: Body, x: float, y: float) -> Body:
    """Shift a body with its marks and its label."""
    by = Pose(x, y)
    marks = tuple(
        type(mark)(
            mark.tank,
            mark.port,
            tuple(by.point(p) for p in mark.line),
            mark.symbol.posed(by),
            mark.dashed,
        )
        for mark in body.marks
    )
    return Body(
        body.item,
        Pose(body.pose.x + x, body.pose.y + y, body.pose.quarters, body.pose.mirrored),
        body.symbol.posed(by),
        marks,
        tuple(shape.posed(by) for shape in body.label),
        by.box(body.label_box) if body.label_box else None,
    )


def route(placed: Placed, *, quick: bool = False) -> Layout:
    """Draw the lines between placed items; ``quick``, less carefully, for comparing sheets."""
    case, bodies, levels = placed.case, placed.bodies, placed.levels
    shafts = _shafts(case, bodies)
    box = union([body.extent() for body in bodies.values()])
    ys = [*levels.values(), box[1], box[3]]
    grid = grid_for(bodies, shafts, (box[0], min(ys), box[2], max(ys)), _MARGIN)
    nets = list(case.nets.values())
    pins = {
        net.id: [(pin, bodies[pin[0]].anchor(pin[1])) for pin in risers_first(case, net)]
        for net in nets
    }
    places = {n: [anchor for _, anchor in found] for n, found in pins.items()}
    level = frozenset(net.id for net in nets if keeps_to_level(case, net))
    in_order = frozenset(net.id for net in nets if is_gallery(case, net))
    router = Router(grid, nets, places, levels, level=level, in_order=in_order, quick=quick)
    missing = router.run()
    lines = [
        Line(done.net, polylines(grid, done.arms), tees(grid, done.arms), pins[done.net.id])
        for _, done in sorted(router.drawn.items())
    ]
    level_pairs(lines, bodies)
    return Layout(case, bodies, lines, shafts, missing, grid.looked)


def grid_for(
    bodies: dict[str, Body], shafts: list[tuple[Net, Point, Point]], box: Box, margin: int
) -> Grid:
    """Give the grid of a sheet in which all that stands there is closed to lines."""
    x0, y0 = int(box[0]) - margin, int(box[1]) - margin
    grid = Grid(x0, y0, int(box[2]) + margin - x0, int(box[3]) + margin - y0)
    for body in bodies.values():
        for part in body.boxes():
            grid.block(part)
        if body.label_box:
            grid.block(_widened(body.label_box, _OFF_TEXT))
    for _, (ax, ay), (bx, by) in shafts:
        grid.block((min(ax, bx), min(ay, by), max(ax, bx), max(ay, by)))
    return grid


def _widened(box: Box, by: float) -> Box:
    return box[0] - by, box[1] - by, box[2] + by, box[3] + by


def _shafts(case: Case, bodies: dict[str, Body]) -> list[tuple[Net, Point, Point]]:
    """Join the items of a shaft in a row, each to the next one from left to right."""
    found: list[tuple[Net, Point, Point]] = []
    for net in case.shafts:
        row = next((r for r in case.shaft_rows if net.pins[0][0] in r), ())
        if row:
            turned = [bodies[i] for i in row if any(i == k for k, _ in net.pins)]
            for before, after in pairwise(turned):
                a = before.anchor(outlet(before.symbol.anchors))
                b = after.anchor("shaft")
                found.append((net, (a.x, a.y), (b.x, b.y)))
            continue
        ends = [(bodies[i], bodies[i].anchor(p)) for i, p in net.pins if i in bodies]
        upright = all(anchor.side in "NS" for _, anchor in ends)
        if upright:
            ends.sort(key=lambda e: -e[1].y)
            for (_, a), (_, b) in pairwise(ends):
                found.append((net, (a.x, a.y), (b.x, b.y)))
            continue
        ends.sort(key=lambda e: e[0].pose.x)
        for (left, a), (right, b) in pairwise(ends):
            start = a.x if a.side == "E" else _through(left)
            end = b.x if b.side == "W" else right.pose.x - 3
            found.append((net, (start, a.y), (end, b.y)))
    return found


def _through(body: Body) -> float:
    """Give x where a through shaft leaves a machine whose own shaft end is on its left."""
    return body.pose.x + 3


def wires_of(layout: Layout) -> list[Wire]:
    """List every drawn line, tank lines and shafts included."""
    wires = [
        Wire(
            line.net.id,
            tuple(line.ways),
            tuple((f"{item}.{port}", anchor) for (item, port), anchor in line.pins),
        )
        for line in layout.lines
    ]
    for body in layout.bodies.values():
        for mark in body.marks:
            name = f"{body.id}.{mark.port}"
            pins = ((name, body.anchor(mark.port)),)
            wires.append(Wire(f"{mark.tank} at {name}", (mark.line,), pins))
    wires += [Wire(f"{net.id} shaft", ((a, b),), ()) for net, a, b in layout.shafts if a != b]
    return wires


def frames_of(layout: Layout) -> list[Frame]:
    """List every symbol and tank mark on the sheet."""
    frames = [Frame(body.id, body.symbol.frame) for body in layout.bodies.values()]
    frames += [
        Frame(f"{mark.tank} at {body.id}.{mark.port}", mark.symbol.frame)
        for body in layout.bodies.values()
        for mark in body.marks
    ]
    return frames
