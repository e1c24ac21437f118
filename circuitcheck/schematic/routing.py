"""Routes all nets over the grid: working lines first, then control lines, then improvement."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from itertools import pairwise

from circuitcheck.basics.shapes import Point
from circuitcheck.schematic.grid import (
    CROSSING,
    DIRECTION,
    OFF_GALLERY,
    OFF_RAIL,
    STEP,
    Arms,
    Grid,
    Reached,
)
from circuitcheck.schematic.netlist import CONTROL_KINDS, Net
from circuitcheck.schematic.ways import Search, ahead, find_way
from circuitcheck.symbols import Anchor

_ROUNDS = 3  # of improvement
_SMALL = 40  # nets; a larger sheet is routed in one order only
_PUSHES = 3  # rip-ups allowed per net
_LARGE = 12_000  # nodes of a window, where a smaller one is tried first
_NEAR, _FARTHER = 24, 150  # round the port and the nearest place of the line [M]


@dataclass
class Routed:
    """A net as drawn: arms of its nodes; ``cost`` in tenths of a module of length.

    ``least`` is what no way between its pins could cost less.
    """

    net: Net
    arms: Arms
    cost: int
    least: int


@dataclass
class Router:
    """Keeps the grid and the nets drawn on it."""

    grid: Grid
    nets: list[Net]
    pins: dict[str, list[Anchor]]
    levels: dict[str, int]
    drawn: dict[int, Routed] = field(default_factory=dict)
    level: frozenset[str] = frozenset()
    """Nets that are to keep to their level."""
    in_order: frozenset[str] = frozenset()
    """Nets whose pins are joined in the order in which they are given."""
    quick: bool = False
    """Route in one order only: for comparing sheets."""

    def run(self) -> list[Net]:
        """Route everything in a few orders, keep the best; give the nets left without a way."""
        for number, net in enumerate(self.nets):
            for anchor in self.pins[net.id]:
                self.grid.keep(self._exit(anchor), number)
        usual = sorted(range(len(self.nets)), key=self._difficulty)
        orders = [usual]
        if len(usual) <= _SMALL and not self.quick:
            orders += [self._rails_first(usual), usual[::-1]]
        best: tuple[tuple[int, int], list[int], dict[int, Routed]] | None = None
        for order in orders:
            missing = self._attempt(order)
            rank = (len(missing), sum(done.cost for done in self.drawn.values()))
            if best is None or rank < best[0]:
                best = (rank, missing, dict(self.drawn))
            for number, done in self.drawn.items():
                self.grid.lift(number, done.arms)
            self.drawn.clear()
            if missing:
                break  # more room is needed, not another order
        if best is None:
            return []
        self.drawn.update(best[2])
        return [self.nets[n] for n in best[1]]

    def _attempt(self, order: list[int]) -> list[int]:
        missing = self._push_through([n for n in order if not self._route(n)])
        for _ in range(_ROUNDS):
            better = [n for n in order if self._improve(n)]
            if not better:
                break
        return missing

    def _rails_first(self, order: list[int]) -> list[int]:
        return sorted(order, key=lambda n: self.nets[n].id not in self.levels)

    def _exit(self, anchor: Anchor) -> int:
        return self.grid.node(anchor.x, anchor.y) + self.grid.steps()[DIRECTION[anchor.side]]

    def _difficulty(self, number: int) -> tuple[int, int, float, str]:
        net = self.nets[number]
        places = self.pins[net.id]
        xs, ys = [a.x for a in places], [a.y for a in places]
        span = max(xs) - min(xs) + max(ys) - min(ys)
        straight = len(places) == 2 and (len(set(xs)) == 1 or len(set(ys)) == 1)
        return (int(net.kind in CONTROL_KINDS), int(not straight), span, net.id)

    def _route(self, number: int, *, push: bool = False) -> bool:
        """Grow a net from its two nearest pins; every further pin joins what is there."""
        net = self.nets[number]
        anchors = list(self.pins[net.id])
        level = self.levels.get(net.id)
        others = frozenset(y for i, y in self.levels.items() if i != net.id)
        off_level = OFF_GALLERY if net.id in self.level else OFF_RAIL
        order = _growing_order(anchors)
        if net.id in self.in_order:
            order = list(range(len(anchors)))
        arms: Arms = {}
        pending: Arms = {}
        for anchor in anchors:
            back = 1 << ((DIRECTION[anchor.side] + 2) % 4)
            pending[self._exit(anchor)] = pending.get(self._exit(anchor), 0) | back
        reach = _Reach(self.grid)
        cost = least = 0
        for place in order:
            anchor = anchors[place]
            own = self.grid.node(anchor.x, anchor.y)
            heading = DIRECTION[anchor.side]
            start = self._exit(anchor)
            pending[start] &= ~(1 << ((heading + 2) % 4))
            if not arms or start in arms:
                link(arms, own, start, heading)
                reach.take_in((own, start))
                continue
            ask = Search(
                number, start, heading, arms, pending, reach.box, level, others, push, off_level
            )
            found = self._near_way(ask, reach.with_node(start))
            for margin in (8, 1000) if found is None else ():
                window = self._window(reach.with_node(start), margin)
                found = find_way(self.grid, ask, window)
                if found is not None:
                    break
            if found is None:
                return False
            nodes, spent = found
            cost += spent
            y, x = divmod(start, self.grid.width)
            least += ahead(x, y, heading, ask.reach)
            way = [own, *nodes]
            reach.take_in(way)
            for a, b in pairwise(way):
                link(arms, a, b, self.grid.steps().index(b - a))
        if push:
            self._lift_others(number, arms)
        self.grid.lay(number, arms)
        self.drawn[number] = Routed(net, arms, cost, least)
        return True

    def _near_way(self, ask: Search, whole: Reached) -> tuple[list[int], int] | None:
        """Give the cheapest way to a long line within some modules, if it is not a bad one."""
        if (whole[2] - whole[0]) * (whole[3] - whole[1]) < _LARGE:
            return None
        width = self.grid.width
        y, x = divmod(ask.start, width)
        there = min(ask.tree, key=lambda n: abs(n // width - y) + abs(n % width - x))
        y1, x1 = divmod(there, width)
        box = min(x, x1), min(y, y1), max(x, x1), max(y, y1)
        for margin, most in ((_NEAR, STEP * _NEAR + CROSSING), (_FARTHER, STEP * _FARTHER)):
            found = find_way(self.grid, ask, self._window(box, margin))
            # a way that leaves the window has so much to go, and mostly something to cross
            if found is not None and found[1] <= most:
                return found
        return None

    def _window(self, box: Reached, margin: int) -> Reached:
        x0, y0, x1, y1 = box
        g = self.grid
        return (
            max(x0 - margin, 1),
            max(y0 - margin, 1),
            min(x1 + margin, g.width - 2),
            min(y1 + margin, g.height - 2),
        )

    def _lift_others(self, number: int, arms: Arms) -> None:
        """Take away the nets that a pushed line runs over."""
        for node, bits in arms.items():
            for other in self.grid.owners(node) - {number}:
                theirs = self.drawn[other].arms.get(node, 0) if other in self.drawn else 0
                crossing = {bits, theirs} == {0b0101, 0b1010}
                if not crossing and other in self.drawn:
                    self.grid.lift(other, self.drawn.pop(other).arms)

    def _push_through(self, missing: list[int]) -> list[int]:
        """Route what had no way by taking others away, which are then routed again."""
        pushes: dict[int, int] = {}
        waiting = list(missing)
        lost: list[int] = []
        while waiting:
            number = waiting.pop(0)
            if number in self.drawn or self._route(number):
                continue
            pushes[number] = pushes.get(number, 0) + 1
            if pushes[number] > _PUSHES or not self._route(number, push=True):
                lost.append(number)
                continue
            waiting += [
                n
                for n in range(len(self.nets))
                if n not in self.drawn and n not in waiting and n not in lost
            ]
        return lost

    def _improve(self, number: int) -> bool:
        """Route a net again now that the others are there; keep the cheaper way."""
        old = self.drawn.get(number)
        if old is None or old.cost <= old.least:
            return False
        self.grid.lift(number, old.arms)
        del self.drawn[number]
        if self._route(number):
            new = self.drawn[number]
            if new.cost < old.cost:
                return True
            self.grid.lift(number, new.arms)
        self.grid.lay(number, old.arms)
        self.drawn[number] = old
        return False


class _Reach:
    """The box round a line as far as it is there, in columns and rows of the grid."""

    def __init__(self, grid: Grid) -> None:
        self.width = grid.width
        self.box: Reached = (grid.width, grid.height, 0, 0)

    def take_in(self, nodes: Iterable[int]) -> None:
        for node in nodes:
            self.box = self.with_node(node)

    def with_node(self, node: int) -> Reached:
        y, x = divmod(node, self.width)
        x0, y0, x1, y1 = self.box
        return min(x0, x), min(y0, y), max(x1, x), max(y1, y)


def link(arms: Arms, a: int, b: int, heading: int) -> None:
    """Join two neighbouring nodes of a line."""
    arms[a] = arms.get(a, 0) | 1 << heading
    arms[b] = arms.get(b, 0) | 1 << ((heading + 2) % 4)


def _growing_order(anchors: list[Anchor]) -> list[int]:
    """Order pins so that each next one is the nearest to those already there."""
    left = list(range(len(anchors)))

    def apart(i: int, k: int) -> float:
        return abs(anchors[i].x - anchors[k].x) + abs(anchors[i].y - anchors[k].y)

    pairs = [(apart(i, k), i, k) for i in left for k in left if i < k]
    if not pairs:
        return left
    _, i, k = min(pairs)
    order = [i, k]
    nearest = {n: min(apart(n, i), apart(n, k)) for n in left if n not in order}
    while nearest:
        following = min(nearest, key=lambda n: (nearest[n], n))
        del nearest[following]
        order.append(following)
        for n, distance in nearest.items():
            nearest[n] = min(distance, apart(n, following))
    return order


def polylines(grid: Grid, arms: Arms) -> list[tuple[Point, ...]]:
    """Cut a net into polylines from end or tee to end or tee, corners only."""
    steps = grid.steps()
    seen: set[tuple[int, int]] = set()
    lines: list[tuple[Point, ...]] = []
    for start in sorted(n for n, bits in arms.items() if bits.bit_count() != 2):
        for heading in range(4):
            if not arms[start] >> heading & 1 or (start, heading) in seen:
                continue
            nodes, here, going = [start], start, heading
            while True:
                seen.add((here, going))
                here += steps[going]
                seen.add((here, (going + 2) % 4))
                if arms[here].bit_count() != 2:
                    nodes.append(here)
                    break
                onward = next(d for d in range(4) if arms[here] >> d & 1 and d != (going + 2) % 4)
                if onward != going:
                    nodes.append(here)
                going = onward
            lines.append(tuple((float(x), float(y)) for x, y in map(grid.place, nodes)))
    return lines


def tees(grid: Grid, arms: Arms) -> list[Point]:
    """Give the places where three branches of a net meet."""
    return [
        (float(x), float(y))
        for x, y in (grid.place(n) for n in sorted(arms) if arms[n].bit_count() >= 3)
    ]
