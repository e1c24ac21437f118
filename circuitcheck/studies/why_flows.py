"""Where oil comes from and what sets its flow: along the lines to a pump, a valve, a rod."""

from __future__ import annotations

import math

from circuitcheck.laws.library import STORES
from circuitcheck.laws.smoothing import Array
from circuitcheck.studies.why_balances import MOST
from circuitcheck.studies.why_formula import Formula, Term
from circuitcheck.studies.why_laws import (
    felt,
    flow_by_drop,
    keeps_difference,
    piloted_pressure,
)
from circuitcheck.studies.why_network import UNITS, Branch
from circuitcheck.studies.why_trail import LARGE, LITTLE, SETS, Reason
from circuitcheck.studies.why_units import Units

LOST = 5e-4
"""Share of a flow that may leak away on the way without the way being told in two; own choice."""


class Flows(Units):
    """The part of the walk that follows oil."""

    def flow(self, branch: Branch) -> Reason:
        value = branch.values["flow"]
        gains, size = self.own_gains(branch)
        if branch.word in UNITS:
            sets = abs(self.share_of(branch, gains, size) + 1.0) >= SETS
            return self.unit(branch, branch.ends[0], sets)
        if size == 0.0:
            return Reason(f"flow of {self.passage_name(branch)}", value, "flow", self._shut(branch))
        if abs(self.share_of(branch, gains, size) + 1.0) >= SETS:
            return self._by_law(branch)
        sides = sorted(branch.ends[:2], key=lambda end: -abs(gains[end]))
        found = self.arriving(sides[0], branch)
        name, known = f"flow of {self.passage_name(branch)}", self.known_as(branch.part)
        if not math.isclose(found.value, abs(value), rel_tol=1e-9):
            said = f"{known} passes what comes to it"
            return Reason(name, abs(value), "flow", said, None, (found,))
        said = f"{known} passes what comes to it: {found.said}"
        return Reason(name, abs(value), "flow", said, found.formula, found.because)

    def _shut(self, branch: Branch) -> str:
        return f"nothing flows: {self.known_as(branch.part)}"

    def arriving(self, junction: int, taker: Branch) -> Reason:
        """Follow the oil that ``taker`` takes from a junction (or gives to it)."""
        net = self.net
        if taker.word == "piston":
            gains, size = net.gains_of(taker.ends[2]), float(net.x[taker.ends[2]])
        elif taker.word in UNITS:
            gains, size = net.gains_of(taker.ends[3]), float(net.x[taker.ends[3]])
        else:
            gains, size = self.own_gains(taker)
        return self.follow(junction, taker, gains, size)

    def follow(self, junction: int, taker: Branch, gains: Array, size: float) -> Reason:
        start, path = junction, list[str]()
        while True:
            taken = -taker.into(junction)
            way = math.copysign(1.0, taken)
            others = self.others_at(junction, taker, way)
            main = max(others, key=lambda b: others[b], default=None)
            if main is None or self.net.pinned[junction] or others[main] <= 0.0:
                break
            rest = abs(abs(taken) - others[main])
            passes = main.passage and abs(self.share_of(main, gains, size)) < SETS
            if rest > LOST * abs(taken) or not passes:
                break
            if not self.once("passed", id(main)):
                break
            path.append(main.part)
            junction, taker = main.across(junction), main
        return self._told(start, junction, taker, path, gains, size)

    def _told(
        self, start: int, junction: int, taker: Branch, path: list[str], gains: Array, size: float
    ) -> Reason:
        """Tell of the place where the oil parts, or of what sets it there."""
        taken = -taker.into(junction)
        come, give = ("comes", "from") if taken > 0.0 else ("goes", "to")
        through = f" through {', '.join(dict.fromkeys(path))}" if path else ""
        whose = self._whose(start, taker, path)
        of = f"flow {'into' if taken > 0.0 else 'out of'} {whose}"
        if path:
            ways = (self.label(junction), whose) if taken > 0.0 else (whose, self.label(junction))
            of = f"flow from {ways[0]} to {ways[1]}"
        if self.net.pinned[junction]:
            said = f"it {come} {give} {self.label(junction)}{through}"
            return Reason(of, abs(taken), "flow", said)
        if not self.once("balance", junction):
            said = f"it {come}{through}; what {self.label(junction)} gets is told elsewhere"
            return Reason(of, abs(taken), "flow", said)
        others = self.others_at(junction, taker, math.copysign(1.0, taken))
        told = sorted(others, key=lambda b: -abs(others[b]))
        notable = [b for b in told[:MOST] if abs(others[b]) > LITTLE * abs(taken)]
        place = self.label(junction)
        with self.deeper():
            if len(notable) == 1 and abs(others[notable[0]] - abs(taken)) <= LOST * abs(taken):
                said = f"it {come} {give} {self.named_at(notable[0], junction)}{through}"
                cause = self._cause(notable[0], junction, gains, size)
                return Reason(of, abs(taken), "flow", said, None, cause)
            causes = [
                reason
                for b in notable
                for reason in (
                    self._cause(b, junction, gains, size)
                    if b is told[0] or others[b] > LARGE * abs(taken)
                    else self.besides(b, junction)
                )
            ]
        said = f"it {come}{through}; at {place} the flows must add up"
        formula = self.sum_of(others, notable, junction)
        return Reason(of, abs(taken), "flow", said, formula, tuple(causes))

    def _whose(self, junction: int, taker: Branch, path: list[str]) -> str:
        return self.label(junction) if path or taker.word in ("piston", *UNITS) else (
            self.passage_name(taker)
        )  # fmt: skip

    def _cause(
        self, branch: Branch, junction: int, gains: Array, size: float
    ) -> tuple[Reason, ...]:
        """Reasons of what one element brings to a junction."""
        if branch.word in UNITS:
            sets = abs(self.share_of(branch, gains, size)) >= SETS
            return (self.unit(branch, junction, sets),)
        if branch.word in STORES:
            return (self.store(branch),)
        if not branch.passage:
            return self.besides(branch, junction)
        if abs(self.share_of(branch, gains, size)) >= SETS:
            return (self._by_law(branch),)
        if not self.once("passed", id(branch)):
            return ()
        return (self.follow(branch.across(junction), branch, gains, size),)

    def _by_law(self, branch: Branch) -> Reason:
        """The flow of a passage that sets it, by its drop."""
        name, q = self.passage_name(branch), abs(branch.values["flow"])
        known = self.known_as(branch.part)
        said = f"{known} sets it: as much as its drop drives through"
        if not self.open(branch):
            said = f"leakage of {known}: in proportion to its drop"
        formula = flow_by_drop(self.net, branch)
        if not self.once("law", id(branch)):
            return Reason(f"flow of {name}", q, "flow", said, formula)
        with self.deeper():
            return Reason(f"flow of {name}", q, "flow", said, formula, self._drop(branch))

    def _drop(self, branch: Branch) -> tuple[Reason, ...]:
        """Why there is this drop: kept by a compensator, or by the pressures of both sides."""
        a, b = branch.ends[:2]
        if self.net.x[a] < self.net.x[b]:
            a, b = b, a
        high, low = float(self.net.x[a]), float(self.net.x[b])
        terms = (
            Term("p1", high, "pressure", self.pressure_name(a)),
            Term("p2", low, "pressure", self.pressure_name(b)),
        )
        formula = Formula("dp", "pressure", "p1 - p2", terms)
        name = f"drop over {self.passage_name(branch)}"
        for other in self.net.of(branch.part):
            feels = felt(other)
            if other is not branch and keeps_difference(feels) and self._in_series(other, branch):
                names = {end: self.pressure_name(end) for end in feels}
                inner = a if a in feels and a in other.ends[:2] else b
                if inner not in feels:
                    continue
                kept = piloted_pressure(self.net, other, inner, names)
                said = f"the compensator of {branch.part} keeps it, whatever the load"
                kept_at = float(self.net.x[inner])
                more = Reason(
                    self.pressure_name(inner), kept_at, "pressure",
                    f"the compensator stands {100 * other.values['opening']:.0f} % open", kept,
                )  # fmt: skip
                return (Reason(name, high - low, "pressure", said, formula, (more,)),)
        sides = tuple(
            self.pressure(end) for end in (a, b) if self.worth(end, LARGE * abs(high - low))
        )
        said = "what stands before it, less what stands behind it"
        return (Reason(name, high - low, "pressure", said, formula, sides),)

    def _in_series(self, one: Branch, other: Branch) -> bool:
        """Whether two passages of a part pass the same oil one after the other."""
        flows = abs(one.values["flow"]), abs(other.values["flow"])
        joined = set(one.ends[:2]) & set(other.ends[:2])
        return bool(joined) and self.open(other) and min(flows) > 0.9 * max(flows)
