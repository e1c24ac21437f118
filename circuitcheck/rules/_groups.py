"""Stretches of a circuit whose valves act together, and every combination of their positions.

Whatever stands where, a pressure gallery is fed and a return line is open to tank. What lies
between such junctions falls into stretches that no oil joins to each other but over them: in
each, the combinations of its own valves decide what gets oil and what can empty, and the
valves of the others do not matter. So the work is the sum over the stretches, not the product
over all valves.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from circuitcheck.circuit.model import Circuit
from circuitcheck.components._parts import Part
from circuitcheck.rules._flows import RETURNS, Flows
from circuitcheck.rules._inside import Way
from circuitcheck.rules._paths import REST, Network, Passage, Reach, State, Ways, stays

MOST = 2187
"""Combinations of one stretch up to which all are looked at: seven valves of three
positions; own choice."""

WORK = 60_000
"""Combinations times ways of one stretch up to which all are looked at; own choice, some
tenths of a second."""

MOST_STOPS = 81
"""States after a stop that are looked at: four valves of three positions with detents."""

LEAST = 24
"""States of a large stretch that are looked at in any case."""

SIDES = (("cylinder", ("cap", "rod")), ("telescopic cylinder", ("cap", "rod")))
"""Actuators whose two ports are looked at together."""

ALWAYS = (Way.OPEN, Way.CHECK, Way.THROTTLE, Way.MOTOR)
"""Ways that no valve decides."""


@dataclass(eq=False)
class Group:
    """One stretch: its valves, its ways, and what comes into it and leaves it."""

    circuit: Circuit
    valves: list[Part]
    flows: Flows
    size: int

    @property
    def combinations(self) -> int:
        """Combinations of the positions of its valves."""
        return math.prod(len(valve.positions) for valve in self.valves)

    @property
    def _all(self) -> bool:
        return self.combinations <= MOST and self.combinations * self.size <= WORK

    @cached_property
    def states(self) -> list[State]:
        """All combinations of its valves but rest, those of other stretches at rest.

        Where there are too many: one valve moved, then two, as many as the bounds let.
        """
        places = [
            [valve.rest, *(name for name in valve.positions if name != valve.rest)]
            for valve in self.valves
        ]
        found: Iterator[dict[str, str]]
        if self._all:
            found = (
                {v.name: p for v, p in zip(self.valves, row, strict=True) if p != v.rest}
                for row in itertools.product(*places)
            )
        else:
            most = min(MOST, max(LEAST, WORK // max(self.size, 1)))
            found = itertools.islice(self._few(places), most)
        return [State(_label(moved), None, moved) for moved in found if moved]

    def _few(self, places: list[list[str]]) -> Iterator[dict[str, str]]:
        for count in (1, 2):
            for chosen in itertools.combinations(range(len(places)), count):
                for row in itertools.product(*(places[i][1:] for i in chosen)):
                    yield {self.valves[i].name: p for i, p in zip(chosen, row, strict=True)}

    @property
    def left_out(self) -> str:
        """What of the combinations was not looked at, in words; empty where all were."""
        if self._all:
            return ""
        names = [valve.name for valve in self.valves]
        some = ", ".join(names[:6]) + (f" and {len(names) - 6} more" if len(names) > 6 else "")
        count = f"{self.combinations:,}" if self.combinations < 1e9 else "far too many"
        return (
            f"{count} combinations of {some}: looked at are the steps, rest, and {len(self.states)}"
            " with one or two of them moved"
        )


def after_stop(valves: Sequence[Part]) -> Iterator[State]:
    """Give every state in which a stop can leave the valves, the first `MOST_STOPS` of them.

    Those with springs fall to rest, those with detents stay in any position they keep.
    """
    kept = {
        valve.name: [
            valve.rest,
            *(p for p in valve.positions if p != valve.rest and stays(valve, p)),
        ]
        for valve in valves
        if any(p != valve.rest and stays(valve, p) for p in valve.positions)
    }
    rests = {valve.name: valve.rest for valve in valves}
    for row in itertools.islice(itertools.product(*kept.values()), MOST_STOPS):
        moved = {name: p for name, p in zip(kept, row, strict=True) if p != rests[name]}
        yield State(_label(moved), None, moved) if moved else REST


def _label(moved: dict[str, str]) -> str:
    return ", ".join(f"{name} at {position}" for name, position in moved.items())


class Groups:
    """All stretches of a circuit, by the junctions in them."""

    def __init__(
        self, circuit: Circuit, network: Network, whole: Flows, pumps: Iterable[str],
        sinks: Iterable[str],
    ) -> None:  # fmt: skip
        self._circuit, self._network, self._whole = circuit, network, whole
        self._drained_always = network.reach(
            network.tanks, lambda p: p.way in (Way.OPEN, Way.CHECK), True
        )
        self._fed = network.reach(pumps, self._always_feeds)
        self._let_off = network.reach(network.tanks, lambda p: p.way in ALWAYS, True)
        over = (*ALWAYS, Way.SETTING, Way.RELIEF)
        self._sinks = network.reach(sinks, lambda p: p.way in over, True)
        judged = self._over_poppets()
        self._parent: dict[str, str] = {
            name: name
            for name in circuit.junctions
            if (name not in self._fed or name in judged) and name not in self._let_off
        }
        self._beside: dict[str, list[str]] = {}
        self._join()
        self._ways: dict[str, list[Passage]] = {}
        for passages in network.of_part.values():
            for passage in passages:
                ends = (name for name in (passage.start, passage.stop) if name in self._parent)
                root = next((self._root(name) for name in ends), None)
                if root is not None:
                    self._ways.setdefault(root, []).append(passage)
        stores = circuit.of_kind("accumulator")
        self._stores = {network.at(part.name, "P") for part in stores}
        self._made: dict[str, Group] = {}

    def of(self, junction: str) -> Group | None:
        """Give the stretch of a junction; None where no valve decides what it gets."""
        if junction not in self._parent:
            return None
        root = self._root(junction)
        if root not in self._ways:
            return None
        if root not in self._made:
            self._made[root] = self._group(self._ways[root])
        return self._made[root]

    def _always_feeds(self, passage: Passage) -> bool:
        if passage.outlet in RETURNS and passage.stop in self._drained_always:
            return False
        if passage.way is Way.SHUT_OFF:
            return REST.shut_off_open(self._circuit.parts[passage.part])
        return passage.way in (*ALWAYS, Way.SETTING)

    def _over_poppets(self) -> set[str]:
        """Junctions over the poppets of cartridges: fed or not, it counts who lets them down."""
        pilots = {
            passage.pilot
            for part in self._circuit.of_kind("cartridge")
            for passage in self._network.of_part[part.name]
            if passage.pilot
        }
        lines = self._network.reach(pilots, lambda p: p.way is Way.OPEN)
        return set(lines.found)

    def _root(self, name: str) -> str:
        while self._parent[name] != name:
            self._parent[name] = self._parent[self._parent[name]]
            name = self._parent[name]
        return name

    def _join(self) -> None:
        """Join the junctions between which oil or a pilot line can pass, or a spool stands."""
        sides = dict(SIDES)
        for name, passages in self._network.of_part.items():
            spool: list[str] = []
            for passage in passages:
                if passage.way is Way.SIGNAL:
                    continue
                if passage.way is Way.SPOOL:
                    spool += (passage.start, passage.stop)
                self._unite((passage.start, passage.stop, passage.pilot))
            self._unite(spool)
            ports = sides.get(self._circuit.parts[name].kind.word, ())
            both = [self._network.at(name, port) or "" for port in ports]
            self._unite(both)
            for one, other in (both, both[::-1]) if len(both) == 2 else ():
                if one in self._parent and other and other not in self._parent:
                    self._beside.setdefault(one, []).append(other)

    def _unite(self, names: Iterable[str]) -> None:
        inside = [self._root(name) for name in names if name in self._parent]
        for name in inside[1:]:
            self._parent[self._root(name)] = self._root(inside[0])

    def _group(self, passages: list[Passage]) -> Group:
        there = dict.fromkeys(name for p in passages for name in (p.start, p.stop, p.pilot) if name)
        for name in list(there):
            there |= dict.fromkeys(self._beside.get(name, ()))
        parts = dict.fromkeys(passage.part for passage in passages)
        ways = Ways(there, self._network.tanks)
        for passage in passages:
            ways.add(passage)
        fed = [name for name in there if name in self._fed or name in self._stores]
        # others at rest: a gallery that another valve unloads takes oil, too
        open_ = self._whole.vented(REST)
        let_off = [
            name for name in there
            if name in self._let_off or (name in self._fed and _past(open_, name, parts))
        ]  # fmt: skip
        ends = [name for name in there if name in self._sinks or name in let_off]
        ends = [name for name in ends if name not in self._parent]
        flows = Flows(self._circuit, ways, self._drained_always, lambda _: fed, let_off, ends)
        valves = [self._circuit.parts[name] for name in parts]
        valves = [valve for valve in valves if len(valve.positions) > 1]
        return Group(self._circuit, valves, flows, len(passages))


def _past(reached: Reach, junction: str, parts: dict[str, None]) -> bool:
    """Whether a search came to a junction past none of these parts."""
    return junction in reached and not any(p.part in parts for p in reached.path(junction))
