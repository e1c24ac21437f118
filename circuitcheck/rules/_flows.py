"""Where oil comes from and goes to in a state of the valves, in a circuit or a stretch of it."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable

from circuitcheck.circuit.model import Circuit
from circuitcheck.rules._inside import Way
from circuitcheck.rules._paths import Passage, Reach, State, Ways, in_state, signal_in_state

RETURNS = ("T", "NO")
"""Ports from which spent oil goes on."""


class Flows:
    """Searches over the ways of a circuit or of a stretch of it; every search is done once.

    ``fed`` gives the junctions from which oil comes in a state, ``let_off`` those at which it
    loses its pressure, ``sinks`` those at which it ends, be it over a relief. ``drained_always``
    are junctions from which oil can always reach a tank.
    """

    def __init__(
        self, circuit: Circuit, ways: Ways, drained_always: Collection[str] | Reach,
        fed: Callable[[State], Iterable[str]], let_off: Iterable[str], sinks: Iterable[str],
    ) -> None:  # fmt: skip
        self.ways = ways
        self._circuit = circuit
        self._drained_always = drained_always
        self._fed, self.let_off, self._sinks = fed, list(let_off), list(sinks)
        self._supplied: dict[str, Reach] = {}
        self._drained: dict[str, Reach] = {}
        self._vented: dict[str, Reach] = {}

    def supplied(self, state: State) -> Reach:
        """Junctions that get oil from a pump or accumulator in a state."""
        if state.label not in self._supplied:
            self._supplied[state.label] = self._fed_from(list(self._fed(state)), state)
        return self._supplied[state.label]

    def supplied_from(self, outlet: str, state: State) -> Reach:
        """Junctions that get oil from one pump in a state."""
        key = f"{state.label} from {outlet}"
        if key not in self._supplied:
            self._supplied[key] = self._fed_from([outlet], state)
        return self._supplied[key]

    def _fed_from(self, starts: list[str], state: State) -> Reach:
        allowed = in_state(self._circuit, state)
        small = signal_in_state(self._circuit, state)

        def not_back(passage: Passage) -> bool:
            # a return line carries oil, but feeds nothing that stands on it
            return passage.outlet not in RETURNS or passage.stop not in self._drained_always

        first = self.ways.reach(starts, lambda p: not_back(p) and small(p))
        let_go = self.vented(state)

        def fed(passage: Passage) -> bool:
            if passage.way is Way.PILOTED:
                return passage.pilot in first and not_back(passage)
            if passage.way is Way.LET_GO:
                return passage.pilot in let_go and not_back(passage)
            return not_back(passage) and allowed(passage)

        return self.ways.reach(starts, fed)

    def drained(self, state: State) -> Reach:
        """Junctions from which oil can reach a tank in a state, over a relief if need be.

        A pilot-operated valve counts as open where its pilot is supplied, a cartridge where
        the oil over its poppet can go to tank, over a pilot relief if need be.
        """
        if state.label not in self._drained:
            allowed, supplied = in_state(self._circuit, state), self.supplied(state)

            def open_now(passage: Passage) -> bool:
                if passage.way is Way.PILOTED:
                    return passage.pilot in supplied
                return passage.way is Way.RELIEF or allowed(passage)

            first = self.ways.reach(self.let_off, open_now, True)

            def open_then(passage: Passage) -> bool:
                return open_now(passage) or (passage.way is Way.LET_GO and passage.pilot in first)

            self._drained[state.label] = self.ways.reach(self._sinks, open_then, True)
        return self._drained[state.label]

    def vented(self, state: State) -> Reach:
        """Junctions that lose their pressure to tank in a state, no valve forced open by it."""
        if state.label not in self._vented:
            allowed = signal_in_state(self._circuit, state)

            def empties(passage: Passage) -> bool:
                return passage.way is not Way.SETTING and allowed(passage)

            self._vented[state.label] = self.ways.reach(self.let_off, empties, True)
        return self._vented[state.label]
