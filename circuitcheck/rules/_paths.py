"""Where oil can go: the passages of all parts, and searches over them.

Junctions are the points, passages the ways between them. A passage knows what opens it, so
that one search serves every valve state. A tank is an end: no search runs through it.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Mapping, Set
from dataclasses import dataclass, field

from circuitcheck.circuit.model import Circuit, Orders, Step
from circuitcheck.components._parts import Part
from circuitcheck.rules._inside import Inside, Way, spool_ways, ways

NO_ORDERS = Orders()


@dataclass(frozen=True, slots=True)
class Passage:
    """A way for oil through a part, from junction ``start`` to junction ``stop``."""

    part: str
    inlet: str
    outlet: str
    start: str
    stop: str
    way: Way
    positions: frozenset[str] = frozenset()
    pilot: str = ""  # junction of the pilot


@dataclass(frozen=True)
class State:
    """Where every valve stands: as in a step, or all at rest with one moved by hand."""

    label: str
    step: Step | None = None
    moved: Mapping[str, str] = field(default_factory=dict)

    def orders(self, part: str) -> Orders:
        return self.step.orders.get(part, NO_ORDERS) if self.step else NO_ORDERS

    def position(self, part: Part) -> str:
        """Position of a spool."""
        return self.moved.get(part.name) or self.orders(part.name).position or part.rest

    def stands(self, circuit: Circuit, part: str) -> str:
        """Position of a spool by its name; as `position`, for searches that ask very often."""
        return self.moved.get(part) or self.orders(part).position or circuit.rests.get(part, "")

    def shut_off_open(self, part: Part) -> bool:
        """Whether a hand-worked shut-off or coupling stands open."""
        words = self.orders(part.name).words
        if part.says("normally closed"):
            return "open" in words
        return "closed" not in words and "parted" not in words


REST = State("rest")


def in_a_step(steps: Iterable[State], valves: Iterable[Part], state: State) -> bool:
    """Whether some step has these valves as they stand in a state."""
    stand = [(valve, state.position(valve)) for valve in valves]
    return any(all(step.position(v) == at for v, at in stand) for step in steps)


def stays(valve: Part, position: str) -> bool:
    """Whether a valve keeps a position by a detent when nobody holds it there any more."""
    if valve.says("spring centred") or valve.says("spring return"):
        return valve.says(f"detent {position}")
    return valve.says("detent") or valve.says(f"detent {position}")


class Ways:
    """Passages by the junction they start from and by the one they end in, and tanks."""

    def __init__(self, junctions: Iterable[str], tanks: Set[str]) -> None:
        self.tanks = tanks
        self.out: dict[str, list[Passage]] = {name: [] for name in junctions}
        self.into: dict[str, list[Passage]] = {name: [] for name in self.out}

    def add(self, passage: Passage) -> None:
        self.out[passage.start].append(passage)
        self.into[passage.stop].append(passage)

    def reach(
        self,
        starts: Iterable[str],
        allowed: Callable[[Passage], bool],
        backward: bool = False,
    ) -> Reach:
        """Search from junctions along allowed passages; it ends at tanks.

        Only a backward search may start from a tank.

        Every junction and passage is looked at once, so the time grows with their number.
        """
        found: dict[str, Passage | None] = dict.fromkeys(starts)
        queue = deque(found)
        while queue:
            here = queue.popleft()
            if here in self.tanks and not (backward and found[here] is None):
                continue
            for passage in self.into[here] if backward else self.out[here]:
                there = passage.start if backward else passage.stop
                if there not in found and allowed(passage):
                    found[there] = passage
                    queue.append(there)
        return Reach(found, backward)


class Network(Ways):
    """All passages of a circuit by the junction they start from and by the one they end in."""

    def __init__(self, circuit: Circuit) -> None:
        self.circuit = circuit
        self.joints: dict[str, dict[str, str]] = {name: {} for name in circuit.parts}
        for junction in circuit.junctions.values():
            for end in junction.ends:
                self.joints[end.part][end.port] = junction.name
        tanks = {
            place for tank in circuit.of_kind("tank") for place in self.joints[tank.name].values()
        }
        super().__init__(circuit.junctions, tanks)
        self.of_part: dict[str, list[Passage]] = {name: [] for name in circuit.parts}
        for part in circuit.parts.values():
            for passage in self._passages(part):
                self.add(passage)
                self.of_part[part.name].append(passage)

    def at(self, part: str, port: str) -> str | None:
        """Junction of a port, None where nothing is joined."""
        return self.joints[part].get(port)

    def _passages(self, part: Part) -> Iterable[Passage]:
        joints = self.joints[part.name]
        for inside in ways(part, joints):
            yield from self._passage(part, inside)
        through = spool_ways(part)
        for (a, b), names in through.items():
            yield from self._passage(part, Inside(a, b, Way.SPOOL), names)
        if part.kind.word == "section" or part.says("LS vented at centre"):
            for end in ("A", "B"):
                if fed := through.get(("P", end)):
                    yield from self._passage(part, Inside(end, "LS", Way.SIGNAL), fed)
            rest = frozenset({part.rest})
            yield from self._passage(part, Inside("LS", "T", Way.SIGNAL), rest)

    def _passage(
        self, part: Part, inside: Inside, positions: frozenset[str] = frozenset()
    ) -> Iterable[Passage]:
        """Give the passage of a way, nothing where one of its ends is not joined."""
        joints, a, b = self.joints[part.name], inside.inlet, inside.outlet
        if a in joints and b in joints:
            pilot = joints.get(inside.pilot, "")
            yield Passage(part.name, a, b, joints[a], joints[b], inside.way, positions, pilot)


@dataclass(frozen=True)
class Reach:
    """Junctions that a search found, each with the passage that led to it."""

    found: Mapping[str, Passage | None]
    backward: bool = False

    def __contains__(self, junction: object) -> bool:
        return junction in self.found

    def any_of(self, junctions: Iterable[str]) -> str | None:
        """First of these junctions that was found, None if none was.

        Of a set it is the one nearest to the start.
        """
        if isinstance(junctions, Set):
            return next((name for name in self.found if name in junctions), None)
        return next((name for name in junctions if name in self.found), None)

    def path(self, junction: str) -> list[Passage]:
        """Passages from the start of the search to a junction that it found, in that order."""
        way: list[Passage] = []
        passage = self.found[junction]
        while passage is not None:
            way.append(passage)
            passage = self.found[passage.stop if self.backward else passage.start]
        return way[::-1]


# ---- what is open ------------------------------------------------------------------------


def always_open(passage: Passage) -> bool:
    """Lines, fittings, filters, coolers, meters, and checks in their free direction."""
    return passage.way in (Way.OPEN, Way.CHECK)


def in_state(circuit: Circuit, state: State) -> Callable[[Passage], bool]:
    """Passages that oil under pressure can take in a state, reliefs and pilots left out."""

    def allowed(passage: Passage) -> bool:
        if passage.way in (Way.OPEN, Way.CHECK, Way.THROTTLE, Way.MOTOR, Way.SETTING):
            return True
        if passage.way is Way.SPOOL:
            return state.stands(circuit, passage.part) in passage.positions
        if passage.way is Way.SHUT_OFF:
            return state.shut_off_open(circuit.parts[passage.part])
        return False

    return allowed


def signal_in_state(circuit: Circuit, state: State) -> Callable[[Passage], bool]:
    """As `in_state`, and the small passages of load signals."""
    main = in_state(circuit, state)

    def allowed(passage: Passage) -> bool:
        if passage.way is Way.SIGNAL:
            position = state.stands(circuit, passage.part)
            return not passage.positions or position in passage.positions
        return main(passage)

    return allowed
