"""What a rule sees: circuit, operating points, limits, and helpers to say what it found."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from circuitcheck.basics.findings import Finding, NotChecked, Note, Number, Severity
from circuitcheck.basics.limits import Limit
from circuitcheck.basics.limits import limit as default_limit
from circuitcheck.basics.places import NOWHERE, Place
from circuitcheck.basics.quantities import show
from circuitcheck.circuit.model import Circuit, Orders, Step
from circuitcheck.components._parts import Part
from circuitcheck.components._pump_controls import is_loop
from circuitcheck.rules._flows import Flows
from circuitcheck.rules._groups import Group, Groups
from circuitcheck.rules._inside import Way
from circuitcheck.rules._paths import NO_ORDERS, REST, Network, Reach, State, always_open
from circuitcheck.rules._rule import Rule
from circuitcheck.solver.operating import OperatingPoint, Solution


def outlets(pump: Part) -> tuple[str, ...]:
    """Ports from which a pump delivers."""
    return ("A", "B") if is_loop(pump) else ("P",)


@dataclass(frozen=True)
class Threshold:
    """A limit [SI] and where it is from, as the message says it."""

    value: float
    origin: str


class Facts:
    """What all rules share about one circuit; every search is done once."""

    def __init__(
        self,
        circuit: Circuit,
        solution: Solution | None,
        limits: Mapping[str, Mapping[str, Limit]] | None = None,
    ) -> None:
        self.circuit = circuit
        self._limits = limits or {}
        self.solution = solution
        self._points = {point.step.name: point for point in self.points}

    def limit(self, rule: str, name: str) -> Limit | None:
        """Threshold that the circuit, else the project, sets for a rule; None where neither."""
        own = self.circuit.limits.get(rule, {}).get(name)
        return own if own is not None else self._limits.get(rule, {}).get(name)

    @cached_property
    def network(self) -> Network:
        return Network(self.circuit)

    def of_kind(self, *words: str) -> list[Part]:
        """Parts whose kind has one of these words, kind by kind in the order of the text."""
        return [part for word in words for part in self._by_kind.get(word, ())]

    @cached_property
    def _by_kind(self) -> dict[str, list[Part]]:
        found: dict[str, list[Part]] = {}
        for part in self.circuit.parts.values():
            found.setdefault(part.kind.word, []).append(part)
        return found

    @cached_property
    def always_drained(self) -> Reach:
        """Junctions from which oil can always reach a tank."""
        return self.network.reach(self.network.tanks, always_open, backward=True)

    def region(self, junction: str) -> Reach:
        """Junctions joined to one by lines, filters and the like, whatever stands where."""
        return self.network.reach([junction], lambda passage: passage.way is Way.OPEN)

    def carried(self, junction: str) -> Reach:
        """Junctions that share the pressure of a load: what its oil reaches before any valve
        that holds, steers or limits it; throttles and shut-offs hold nothing."""
        ways = (Way.OPEN, Way.CHECK, Way.THROTTLE, Way.SHUT_OFF)
        return self.network.reach([junction], lambda passage: passage.way in ways)

    @cached_property
    def points(self) -> list[OperatingPoint]:
        """Operating points of the steps that were solved."""
        return [p for p in self.solution.points if p.success] if self.solution else []

    def solved_step(self, step: str) -> OperatingPoint | None:
        """Operating point of a step, None where it was not solved."""
        return self._points.get(step)

    @cached_property
    def steps(self) -> list[State]:
        """The valve state of every step."""
        return [State(f"step {step.name}", step) for step in self.circuit.steps]

    @cached_property
    def groups(self) -> Groups:
        """Stretches of the circuit whose valves act together, with all their combinations."""
        return Groups(self.circuit, self.network, self.whole, self.pump_outlets, self._sinks)

    def looks(self, *junctions: str) -> Iterator[tuple[State, Flows]]:
        """Give every state to look at for these junctions, with the searches of the state.

        That is every step, rest, and all combinations of the positions of the valves that
        decide what the junctions get (`Group.left_out` names those beyond the bound).
        """
        for state in (*self.steps, REST):
            yield state, self.whole
        for group in self.groups_of(*junctions):
            for state in group.states:
                yield state, group.flows

    def groups_of(self, *junctions: str) -> list[Group]:
        """The stretches in which junctions lie, each once."""
        found = (self.groups.of(junction) for junction in junctions)
        return list(dict.fromkeys(group for group in found if group is not None))

    @cached_property
    def whole(self) -> Flows:
        """Searches over the whole circuit."""
        return Flows(
            self.circuit, self.network, self.always_drained, self._sources, self.network.tanks,
            self._sinks,
        )  # fmt: skip

    def _sources(self, state: State) -> Iterator[str]:
        """Outlets of pumps, of hand pumps that are worked, and accumulators."""
        yield from self.pump_outlets
        yield from self._by_hand(state)
        stores = [self.network.at(part.name, "P") for part in self.of_kind("accumulator")]
        yield from (name for name in stores if name is not None)

    def supplied(self, state: State) -> Reach:
        """Junctions that get oil from a pump or accumulator in a state."""
        return self.whole.supplied(state)

    def supplied_from(self, outlet: str, state: State) -> Reach:
        """Junctions that get oil from one pump in a state."""
        return self.whole.supplied_from(outlet, state)

    def drained(self, state: State) -> Reach:
        """Junctions from which oil can reach a tank in a state, over a relief if need be."""
        return self.whole.drained(state)

    def vented(self, state: State) -> Reach:
        """Junctions that lose their pressure to tank in a state, no valve forced open by it."""
        return self.whole.vented(state)

    @cached_property
    def pump_outlets(self) -> list[str]:
        """Junctions into which pumps deliver, both sides of a closed loop among them."""
        found = [
            self.network.at(pump.name, port)
            for pump in self.of_kind("pump")
            for port in outlets(pump)
        ]
        return [name for name in found if name is not None]

    @cached_property
    def fed_by_pumps(self) -> frozenset[str]:
        """The same junctions, to be asked for."""
        return frozenset(self.pump_outlets)

    @cached_property
    def _sinks(self) -> list[str]:
        """Where oil ends: tanks, and the sides of a closed loop, from which its pump takes it."""
        loops = [
            self.network.at(pump.name, port)
            for pump in self.of_kind("pump")
            if is_loop(pump)
            for port in outlets(pump)
        ]
        return [*self.network.tanks, *(name for name in loops if name is not None)]

    def _by_hand(self, state: State) -> Iterator[str]:
        """Outlets of the hand pumps that are worked in a state."""
        for pump in self.of_kind("hand pump"):
            outlet = self.network.at(pump.name, "P")
            if outlet is not None and "at" in state.orders(pump.name).figures:
                yield outlet


@dataclass(frozen=True)
class Case:
    """The facts as one rule sees them."""

    facts: Facts
    rule: Rule

    @property
    def circuit(self) -> Circuit:
        return self.facts.circuit

    @property
    def solution(self) -> Solution | None:
        return self.facts.solution

    @property
    def network(self) -> Network:
        return self.facts.network

    def of_kind(self, *words: str) -> list[Part]:
        """Parts whose kind has one of these words."""
        return self.facts.of_kind(*words)

    @property
    def points(self) -> list[OperatingPoint]:
        """Operating points of the steps that were solved."""
        return self.facts.points

    def point(self, step: str) -> OperatingPoint | None:
        """Operating point of a step, None where it was not solved."""
        return self.facts.solved_step(step)

    def orders(self, step: Step, part: str) -> Orders:
        return step.orders.get(part, NO_ORDERS)

    # ---- limits ----------------------------------------------------------------------

    def limit(self, name: str, part: Part | None = None, figure: str = "") -> Threshold:
        """Give a threshold of this rule.

        The part's own figure wins, then what the circuit says, then the project's file, then
        the default.
        """
        if part is not None and figure and part.given(figure):
            value = part.figure(figure)
            if value is not None:
                return Threshold(value, f"limit from {part.name}")
        return self.limit_of(self.rule.slug, name)

    def limit_of(self, rule: str, name: str) -> Threshold:
        """Give a threshold of a rule, also of another one that means the same by it."""
        own = self.facts.limit(rule, name)
        if own is not None:
            return Threshold(own.value, own.source)
        return Threshold(default_limit(rule, name).value, "default limit")

    # ---- words -----------------------------------------------------------------------

    def show(self, value: float, quantity: str) -> str:
        """Give a figure in the units of the circuit's answers."""
        return show(value, quantity, self.units)

    @property
    def units(self) -> Mapping[str, str]:
        return self.circuit.units

    def bar(self, value: float) -> str:
        """Give a pressure."""
        return self.show(value, "pressure")

    def flow(self, value: float) -> str:
        """Give a flow."""
        return self.show(value, "flow")

    def power(self, value: float) -> str:
        """Give a power."""
        return self.show(value, "power")

    def oil_speed(self, value: float) -> str:
        """Give the speed of oil in a line, in m/s or ft/s."""
        inch = self.units.get("speed", "").startswith(("in", "ft"))
        return show(value, "speed", {"speed": "ft/s" if inch else "m/s"})

    # ---- results ---------------------------------------------------------------------

    def finding(
        self,
        message: str,
        part: Part | None = None,
        *,
        severity: Severity | None = None,
        port: str = "",
        step: str = "",
        place: Place | None = None,
        numbers: tuple[Number, ...] = (),
        notes: tuple[Note, ...] = (),
        remedy: str = "",
    ) -> Finding:
        """Make a finding of this rule; why, remedy and source come from its page."""
        if place is None:
            place = part.place if part is not None else self.circuit.place
        return Finding(
            slug=self.rule.slug,
            severity=severity or self.rule.severity,
            message=message,
            place=place or NOWHERE,
            remedy=remedy or self.rule.section("What to do"),
            why=self.rule.section("Why it matters on the machine"),
            source=self.rule.section("Source"),
            component=part.name if part is not None else "",
            port=port,
            step=step,
            numbers=numbers,
            notes=notes,
        )

    def left_out(self, groups: Iterable[Group]) -> Iterator[NotChecked]:
        """Name the combinations of valve positions that were not looked at."""
        for group in dict.fromkeys(groups):
            if group.left_out:
                yield self.not_checked("", group.left_out)

    def not_checked(self, component: str, missing: str) -> NotChecked:
        """Say that this rule could not be judged for want of data."""
        return NotChecked(self.rule.slug, component, missing)
