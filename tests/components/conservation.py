"""A part of any kind on a bench: whatever its figures, flow and energy balance.

The bench follows from what the kind says of itself: a tank under gas at every port, behind
a throttle or not; a drive on the shaft of what is driven, a pump on the shaft of what drives;
loads and poses from the orders of the step. A new kind is covered as it stands.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from hypothesis import assume
from hypothesis import strategies as st

from circuitcheck.basics.findings import Finding
from circuitcheck.components import kinds
from circuitcheck.components._parts import Figure, Kind, Parameter, Part
from circuitcheck.pipeline import Project, parse
from circuitcheck.solver.operating import OperatingPoint, PartState
from tests.components.bench import TEST_OIL, sources
from tests.components.ranges import WORDED, every, figures, written

PRESSURES = st.one_of(
    st.sampled_from((0.0, 0.3, 5.0, 100.0)), st.floats(0.0, 400.0), st.floats(-0.5, 3.0)
)
"""Pressures at the ports [bar gauge]."""

EMPTY = -0.85e5
"""Pressure under which a chamber goes empty: oil is missing there, and said to be [Pa]."""

DRIVES = (
    "D1 electric motor, 100 kW, {speed} rpm",
    "D1 motor, 200 cc/rev, volumetric 95 %, mechanical 90 %",
)
"""What turns a driven part: a held shaft, and one that gives way."""

MENDED = 12
"""Times a text is mended as its mistakes say, before it is given up."""

MANY = 6
"""Most figures said beside those that are needed."""


@dataclass
class Bench:
    """A part X1 between sources, as said: clauses by what they speak of."""

    kind: Kind
    ways: tuple[int, int] | None
    said: dict[str, str] = field(default_factory=dict)
    given: dict[str, float] = field(default_factory=dict)
    many: dict[str, str] = field(default_factory=dict)
    orders: dict[str, str] = field(default_factory=dict)
    driven: str = ""
    loaded: str = ""
    throttled: bool = False
    left_open: bool = False
    pressures: tuple[float, ...] = ()

    @property
    def part(self) -> Part:
        """The part, as far as it is settled by now what ports and positions it has."""
        choices = {c.group: c.default for c in self.kind.choices if c.default and not c.many}
        choices |= {c.group: self.said[c.group] for c in self.kind.choices if c.group in self.said}
        many = {group: (phrase,) for group, phrase in self.many.items()}
        found = Part("X1", self.kind, choices=choices, many=many, ways=self.ways)
        for p in every(self.kind):
            given = self.given.get(p.name, p.default)
            if given is not None:
                found.figures[p.name] = Figure(given, "", p.quantity)
        return found

    def sentence(self) -> str:
        """What the parts list says of X1."""
        ways = f" {self.ways[0]}/{self.ways[1]}" if self.ways else ""
        clauses = [f"X1 {self.kind.word}{ways}", *self.said.values(), *self.many.values()]
        if self.driven:
            clauses.append("driven by D1")
        return ", ".join(clauses)

    def text(self) -> str:
        """The circuit; the sentence of X1 stands in line 4, its orders in the last line."""
        letters = [p.letter for p in self.part.ports if p.needed or not self.left_open]
        tanks, lines = [], []
        for i, letter in enumerate(letters):
            tanks.append(sources(**{f"S{i}": self.pressures[i % len(self.pressures)]}))
            if self.throttled:
                tanks.append(f"TH{i} throttle, 20 L/min at 10 bar")
                lines += [f"from S{i} to TH{i} in", f"from TH{i} out to X1 {letter}"]
            else:
                lines.append(f"from S{i} to X1 {letter}")
        if self.driven:
            tanks.append(self.driven)
            if " motor, 200" in self.driven:
                tanks.append(f"{sources(SA=150.0, SB=0.0)}\nTHD throttle, 50 L/min at 50 bar")
                lines += ["from SA to THD in", "from THD out to D1 A", "from D1 B and D1 L to SB"]
        if self.loaded:
            tanks.append(f"{sources(SY=1.0, SZ=80.0)}\n{self.loaded}")
            lines += ["from SY to Y1 S", "from Y1 P to SZ"]
        orders = [f"X1 {order}" for order in self.orders.values()]
        cycle = f"cycle\n  step test, {', '.join(['4 s', *orders])}\n"
        listed = f"parts\n{self.sentence()}\n" + "\n".join(tanks)
        schedule = "lines\n" + "\n".join(lines) + "\n" if lines else ""
        return f'circuit "b"\noil {TEST_OIL}\n{listed}\n{schedule}{cycle}'


WAYS = {
    "valve": ((4, 3), (4, 2), (3, 2), (2, 2), (3, 3)),
}
"""Ways and positions tried where a kind has them; others are 3/3."""


def _give(draw: st.DrawFn, bench: Bench, p: Parameter) -> None:
    """Say a figure of the part, and the one behind its "at" or not."""
    if p.quantity == "code":
        bench.said[p.name] = f"{p.name} 101-2"
        return
    bench.given[p.name] = draw(figures(p))
    bench.said[p.name] = f"{p.name} {written(bench.given[p.name], p)}"
    if p.at is not None and draw(st.booleans()):
        bench.given[p.at.name] = draw(figures(p.at))
        bench.said[p.name] += f" at {written(bench.given[p.at.name], p.at)}"


def _withdraw(bench: Bench, name: str) -> None:
    """Say a figure or a choice no longer."""
    parameter = bench.kind.parameter(name)
    del bench.said[name]
    bench.given.pop(name, None)
    if parameter is not None and parameter.at is not None:
        bench.given.pop(parameter.at.name, None)


@st.composite
def benches(draw: st.DrawFn, word: str) -> str:
    """A circuit round a part of a kind that is understood, figures at random."""
    kind = kinds()[word]
    ways = draw(st.sampled_from(WAYS.get(word, ((3, 3),)))) if kind.has_ways else None
    bench = Bench(kind, ways)
    for choice in kind.choices:
        if draw(st.booleans()):
            said = bench.many if choice.many else bench.said
            said[choice.group] = draw(st.sampled_from(choice.options))
    free = [p for p in kind.parameters if not p.needed and p.quantity != "file"]
    for p in kind.parameters:
        if p.needed:
            _give(draw, bench, p)
    chosen = st.lists(st.sampled_from(free), unique_by=id, max_size=MANY) if free else st.just([])
    for p in draw(chosen):
        _give(draw, bench, p)
    if kind.driven:
        speed = draw(st.integers(200, 3000))
        bench.driven = draw(st.sampled_from(DRIVES)).format(speed=speed)
    if kind.drives and not any(order.name == "load" for order in kind.orders):
        size = draw(st.sampled_from((5, 50)))
        bench.loaded = f"Y1 pump, fixed, {size} cc/rev, driven by X1"
    moves = kind.drives or any(order.name == "load" for order in kind.orders)
    bench.throttled = moves or draw(st.booleans())
    bench.left_open = draw(st.integers(0, 3)) == 0
    bench.pressures = tuple(draw(st.lists(PRESSURES, min_size=6, max_size=6)))
    for order in kind.orders:
        if draw(st.booleans()):
            bench.orders[order.name] = f"{order.name} {written(draw(figures(order)), order)}"
    positions = list(bench.part.positions)
    if positions:
        share = draw(st.integers(0, 100))
        bench.orders["position"] = f"at {draw(st.sampled_from(positions))} {share} %"
    if kind.poses and draw(st.integers(0, 2)) == 0:
        bench.orders["pose"] = draw(st.sampled_from(kind.poses))
    for _ in range(MENDED):
        text = bench.text()
        mistakes = errors(parse(text, "bench.hyc"))
        if not mistakes:
            return text
        for mistake in mistakes:
            assert_clear(mistake, bench, text)
            _mend(draw, bench, mistake, text)
    assume(False)
    raise AssertionError


def errors(project: Project) -> list[Finding]:
    """Mistakes of a text that stop it."""
    return [found for found in project.mistakes if found.severity.name == "ERROR"]


def assert_clear(mistake: Finding, bench: Bench, text: str) -> None:
    """A refusal points into the text, names what is wrong, and says what can be done."""
    told = f"{mistake.place} {mistake.message} / {mistake.remedy}\n{text}"
    assert mistake.place.line > 0, told
    assert mistake.remedy, told
    names = ["X1", "D1", bench.kind.word, *(p.name for p in every(bench.kind))]
    names += [order.name for order in bench.kind.orders]
    names += [word for choice in bench.kind.choices for word in choice.options]
    assert any(name in f"{mistake.message} {mistake.remedy}" for name in names), told


def _mend(draw: st.DrawFn, bench: Bench, mistake: Finding, text: str) -> None:
    """Do what a refusal asks: give what is needed, or take the guilty clause away."""
    row = text.split("\n")[mistake.place.line - 1]
    start, end = mistake.place.column - 1, mistake.place.end_column - 1
    pointed = row[start:end]
    for said in (bench.said, bench.many, bench.orders):
        for key, clause in list(said.items()):
            shown = f"X1 {clause}" if said is bench.orders else clause
            at = row.find(shown)
            if pointed.strip() and at >= 0 and at <= start < at + len(shown):
                parameter = bench.kind.parameter(key)
                if said is bench.said and parameter is not None and parameter.needed:
                    _give(draw, bench, parameter)
                elif said is bench.said:
                    _withdraw(bench, key)
                else:
                    del said[key]
                return
    quoted = [p for p in bench.kind.parameters if f"'{p.name}'" in mistake.message]
    missing = [p for p in quoted if p.name not in bench.said and p.quantity not in WORDED]
    if missing:
        _give(draw, bench, missing[0])
        return
    told = f"{mistake.message} {mistake.remedy}"
    loose = [p.name for p in bench.kind.parameters if not p.needed and p.name in bench.said]
    loose += [c.group for c in bench.kind.choices if c.group in bench.said]
    named = [name for name in loose if name in told or bench.said[name] in told]
    absent = [p for p in bench.kind.parameters if p.name in told and p.name not in bench.said]
    absent = [p for p in absent if p.quantity not in WORDED]
    if absent and draw(st.booleans()):
        _give(draw, bench, draw(st.sampled_from(absent)))
    elif named or loose:
        _withdraw(bench, draw(st.sampled_from(named or loose)))
    elif bench.many:
        bench.many.clear()
    else:
        assume(False)


# ---- what must hold ------------------------------------------------------------------


def _circle(part: Part, name: str) -> float:
    return 0.25 * math.pi * (part.figure(name) or 0.0) ** 2


def _kept_by_cylinder(state: PartState, part: Part) -> float:
    """Area of the oil that a cylinder keeps as its rod moves out [m2]: bore, rod or none."""
    bore, rod = _circle(part, "bore"), _circle(part, "rod")
    kept = {"plunger": rod, "single acting": bore, "spring return": bore, "double rod": 0.0}
    return kept.get(part.choices["acting"], rod)


def _kept_by_telescope(state: PartState, part: Part) -> float:
    """The same of the stage that moves; of a double acting one the rod of the stage."""
    order = ("first", "second", "third", "fourth", "fifth", "sixth")[int(state.values["stage"]) - 1]
    what = "rod" if part.choices["acting"] == "double acting" else "stage"
    return _circle(part, f"{order} {what}")


RODS: Mapping[str, Callable[[PartState, Part], float]] = MappingProxyType(
    {"cylinder": _kept_by_cylinder, "telescopic cylinder": _kept_by_telescope}
)
"""Area of the oil that a part keeps as its rod moves out [m2]: closed forms."""

STORES = ("tank", "accumulator")
"""Kinds that keep what flows in."""

STANDS = 2e-5
"""Speed under which a rod is told to stand [m/s]."""


def conserves(text: str) -> OperatingPoint:
    """Solve a bench: what flows in flows out, and heat is the power that goes nowhere else."""
    project = parse(text)
    (point,) = project.solve()
    assert point.success, f"{point.message}\n{text}"
    part, state = project.circuit.parts["X1"], point["X1"]
    numbers = [v for port in state.ports.values() for v in (port.flow, port.pressure)]
    status = {j.status for j in point.junctions.values()}
    if "indeterminate" not in status:
        assert all(map(math.isfinite, numbers)), text
    assert math.isfinite(state.loss), text
    assert point.power_error < 1e-6, f"power error {point.power_error}\n{text}"
    _flow_balance(point, part, text)
    _power_balance(point, text)
    return point


def _flow_balance(point: OperatingPoint, part: Part, text: str) -> None:
    ports = point["X1"].ports.values()
    size = max((abs(port.flow) for port in ports), default=0.0)
    total = math.fsum(port.flow for port in ports)
    if part.kind.word in STORES or any(port.pressure < EMPTY for port in ports):
        return
    creep = 0.0
    if part.kind.word in RODS:
        area, speed = RODS[part.kind.word](point["X1"], part), point["X1"].values["speed"]
        total -= area * speed
        creep = 0.0 if speed else area * STANDS
    assert abs(total) <= 1e-9 * size + 1e-12 + creep, f"flow misses {total}\n{point['X1']}\n{text}"


def _power_balance(point: OperatingPoint, text: str) -> None:
    """Oil and drives bring what the loads take, and heat; nothing makes power."""
    turning = [point.parts[name] for name in ("X1", "Y1", "D1") if name in point.parts]
    flows = [p.pressure * p.flow for s in turning if s.kind != "tank" for p in s.ports.values()]
    shafts = [shaft.power for shaft in point.shafts.values()]
    lost = [state.loss for state in turning]
    warms = kinds()[point["X1"].kind].warms is not None
    # a heater brings its power into the oil from outside
    brought = max(point["X1"].values.get("power", 0.0), 0.0) if warms else 0.0
    size = max(map(abs, [*flows, *shafts, *lost, point.totals.useful]))
    if point["X1"].kind not in STORES and not any(
        p.pressure < EMPTY for s in turning for p in s.ports.values()
    ):
        left = math.fsum([*flows, *shafts, brought, -point.totals.useful, *(-one for one in lost)])
        assert abs(left) <= 1e-6 * size + 1e-6, f"power misses {left}\n{point['X1']}\n{text}"
    for state in turning:
        assert state.loss >= -1e-9 * size - 1e-6, f"{state.name} {state.loss} W\n{text}"
