"""Rules on what flows back: return pressure, case drains, tanks."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._drains import CASE, drain_path, with_case
from circuitcheck.rules._idle import cycle_time
from circuitcheck.rules._inside import Way
from circuitcheck.rules._paths import Passage, always_open
from circuitcheck.rules._rule import Needs, Outcome, Rule

VALVES = ("valve", "section", "bank section")


def return_pressure_high(case: Case) -> Iterator[Outcome]:
    """Return side of a valve under pressure.

    What is checked
        In every solved step in which oil leaves it there: the pressure at the T port of every
        directional valve and section, against 10 bar.

    Why it matters on the machine
        Force is lost, pilots fail, motor seals go.

    What to do
        A larger return or fewer parts in it; look at the greater flow of the cap side first.

    Limits of this rule
        Only T ports whose line always leads to tank. A return kept under pressure on purpose (a
        check for make-up oil) is told as well above 10 bar.

    Source
        common practice, no source
    """
    most = case.limit("most")
    for valve in case.of_kind(*VALVES):
        found = [
            (ports["T"].pressure, point)
            for point in case.points
            if "T" in (ports := point.parts[valve.name].ports) and ports["T"].flow < -1e-6
        ]
        if not found or case.network.at(valve.name, "T") not in case.facts.always_drained:
            continue
        pressure, point = max(found, key=lambda pair: pair[0])
        if pressure > most.value:
            yield case.finding(
                f"return side of {valve.name} stands at {case.bar(pressure)} in step "
                f"{point.step.name} ({case.bar(most.value)} is usual at most, {most.origin})",
                valve,
                port="T",
                step=point.step.name,
                numbers=(Number("return pressure", pressure, "pressure"),),
            )


def _feeds(case: Case, valve: str) -> str:
    """Nearest valve whose P port the T port of another feeds; empty if there is none."""
    start = case.network.at(valve, "T")
    if start is None:
        return ""
    for name in case.network.reach([start], always_open).found:
        if name in case.network.tanks:
            continue
        for end in case.circuit.junctions[name].ends:
            fed = end.port == "P" and case.circuit.parts[end.part].kind.word in VALVES
            if fed and end.part != valve:
                return end.part
    return ""


def series_tank_port(case: Case) -> Iterator[Outcome]:
    """Tank port of a valve that carries working pressure.

    What is checked
        Valves whose T port feeds the P port of another: in every solved step the pressure at
        that T port, against the valve's tank-port rating, else 50 bar.

    Why it matters on the machine
        Tank galleries and their seals are often rated far below P.

    What to do
        A valve with a carry-over port, or a parallel feed.

    Limits of this rule
        The default stands for valves whose data give no rating of T.

    Source
        common practice, no source; 50 bar from memory
    """
    for valve in case.of_kind("valve", "section"):
        downstream = _feeds(case, valve.name)
        if not downstream:
            continue
        limit = case.limit("most", valve, "tank rated")
        found = [
            (point.parts[valve.name].ports["T"].pressure, point)
            for point in case.points
            if "T" in point.parts[valve.name].ports
        ]
        if not found:
            continue
        pressure, point = max(found, key=lambda pair: pair[0])
        if pressure > limit.value:
            yield case.finding(
                f"T port of {valve.name} sees {case.bar(pressure)} of {downstream} in step "
                f"{point.step.name} (rated {case.bar(limit.value)}, {limit.origin})",
                valve,
                port="T",
                step=point.step.name,
                numbers=(Number("pressure", pressure, "pressure"),),
            )


def case_drain_shares_return(case: Case) -> Iterator[Outcome]:
    """Case drain that shares a line with the return.

    What is checked
        In every solved step: does a part on the way from a case to the tank carry more than
        twice what the cases leak, and does the case stand over half of its limit then?

    Why it matters on the machine
        Surges of the return and the drop of its filter land on the shaft seal.

    What to do
        Run the drain to the tank by itself, ending below the oil level.

    Limits of this rule
        In the steps as solved: a clogged filter in that line does worse.

    Source
        trade articles on case drains
    """
    factor, share = case.limit("factor"), case.limit("share")
    machines = with_case(case)
    leaks = [
        sum(abs(p.parts[m.name].ports[CASE].flow) for m in machines
            if CASE in p.parts[m.name].ports)
        for p in case.points
    ]  # fmt: skip
    for machine in machines:
        limit = case.limit("case_limit", machine, "case limit")
        worst: tuple[float, str, str, float] | None = None
        for passage in drain_path(case, machine) or ():
            for point, leaking in zip(case.points, leaks, strict=True):
                through = abs(point.parts[passage.part].ports[passage.inlet].flow)
                pressure = point.parts[machine.name].ports[CASE].pressure
                shared = through > factor.value * leaking and through > 1e-5
                shared = shared and pressure > share.value * limit.value
                if shared and (worst is None or pressure > worst[0]):
                    worst = (pressure, passage.part, point.step.name, through)
        if worst is not None:
            pressure, part, step, through = worst
            yield case.finding(
                f"case drain of {machine.name} joins the return at {part}: "
                f"{case.flow(through)} there, and the case at {case.bar(pressure)} in step "
                f"{step} (limit {case.bar(limit.value)}, {limit.origin})",
                machine,
                port=CASE,
                step=step,
                numbers=(Number("case pressure", pressure, "pressure"),),
            )


def drain_line_small(case: Case) -> Iterator[Outcome]:
    """Case drain line too small for a worn machine.

    What is checked
        The case drain of every pump and motor, brought from the solved steps to a flow of 10 %
        of the greatest flow of the machine, as a worn one leaks: laminar, in proportion to
        the drop seen.

    Why it matters on the machine
        The line must do for the worn machine, else its seal goes first.

    What to do
        At least the bore of the port, short, without elbows.

    Limits of this rule
        At the oil temperature of the steps: a cold morning is worse. Shared returns are told
        by case-drain-shares-return.

    Source
        insufficient drain capacity pushes the seal out: trade page on drains; 10 % seen:
        trade article on case drain monitoring
    """
    share = case.limit("worn_share")
    for machine in with_case(case):
        limit = case.limit("case_limit", machine, "case limit")
        found = []
        for point in case.points:
            state = point.parts[machine.name]
            port = state.ports.get(CASE)
            leak = -port.flow if port is not None else 0.0
            if port is None or leak <= 1e-8 or port.pressure <= 0.0:
                continue
            worn = share.value * abs(state.values["flow"])
            if worn > leak:
                found.append((port.pressure * worn / leak, worn, point))
        if not found or any(p.part and case.circuit.parts[p.part].kind.word != "line"
                            for p in drain_path(case, machine) or ()):  # fmt: skip
            continue
        pressure, worn, point = max(found, key=lambda entry: entry[0])
        if pressure > limit.value:
            yield case.finding(
                f"the drain of {machine.name} would put {case.bar(pressure)} on its case when it "
                f"leaks {case.flow(worn)} (limit {case.bar(limit.value)}, {limit.origin})",
                machine,
                port=CASE,
                step=point.step.name,
                numbers=(Number("case pressure when worn", pressure, "pressure"),),
            )


def two_tanks_unbalanced(case: Case) -> Iterator[Outcome]:
    """Oil that wanders from one tank to another.

    What is checked
        With two tanks and more, over the cycle: does one of them lose or gain more than 1 % of
        its volume?

    Why it matters on the machine
        One runs dry, the other spills.

    What to do
        A balance line, or one tank.

    Limits of this rule
        A cycle that repeats as written; oil kept in accumulators and cylinders at the end of it
        counts as gone.

    Source
        common practice, no source
    """
    share = case.limit("share_per_cycle")
    tanks = case.of_kind("tank")
    if len(tanks) < 2 or cycle_time(case) is None:
        return
    for tank in tanks:
        volume = tank.figure("volume")
        places = set(case.network.joints[tank.name].values())
        ends = [end for place in places for end in case.circuit.neighbours(place)
                if end.part != tank.name]  # fmt: skip
        gains = -sum(
            (point.duration or 0.0) * point.parts[end.part].ports[end.port].flow
            for point in case.points
            for end in ends
        )
        if volume and gains < -share.value * volume:
            yield case.finding(
                f"each cycle takes {case.show(-gains, 'volume')} from {tank.name} to another "
                f"tank; it is empty after {volume / -gains:.0f} cycles ({share.origin})",
                tank,
                numbers=(Number("lost a cycle", -gains, "volume"),),
            )


def cooler_unprotected(case: Case) -> Iterator[Outcome]:
    """Cooler that takes the whole return with no bypass.

    What is checked
        Every cooler that oil from a valve or motor flows through, with no bypass of its own and
        no check valve beside it: does it get more than the flow it is rated for in a solved
        step, or is it rated under 25 bar?

    Why it matters on the machine
        A cold start or a surge of the return splits it.

    What to do
        A bypass check of 1.5 to 3 bar, or a loop of its own for the cooler.

    Limits of this rule
        A cooler of which neither rating is given is not told.

    Source
        common practice, no source
    """
    strong = case.limit("strong")
    for cooler in case.of_kind("cooler"):
        inlet, outlet = (case.network.at(cooler.name, port) for port in ("in", "out"))
        rated = cooler.figure("rated")
        if inlet is None or outlet is None or cooler.figure("bypass") is not None:
            continue
        flow = max((p.parts[cooler.name].values["flow"] for p in case.points), default=0.0)
        size = cooler.figure("flow") if cooler.given("flow") else None
        weak = rated is not None and rated < strong.value
        if not weak and (size is None or flow <= size):
            continue
        if _has_a_way_beside(case, cooler.name, inlet, outlet):
            continue
        before = case.network.reach([inlet], always_open, backward=True)
        fed = any(
            passage.way in (Way.SPOOL, Way.MOTOR)
            for name in before.found
            for passage in case.network.into[name]
        )
        stands = "" if rated is None else f" (rated {case.bar(rated)})"
        if fed:
            yield case.finding(
                f"cooler {cooler.name}{stands} sees the full return, {case.flow(flow)}, with no "
                "bypass",
                cooler,
                numbers=(Number("greatest flow", flow, "flow"),),
            )


def _has_a_way_beside(case: Case, cooler: str, inlet: str, outlet: str) -> bool:
    """Whether oil can go on, or to tank, past a cooler."""

    def past(passage: Passage) -> bool:
        return passage.part != cooler and always_open(passage)

    beside = case.network.reach([inlet], past)
    return outlet in beside or beside.any_of(case.network.tanks) is not None


RULES = (
    Rule("return-pressure-high", Severity.WARNING, return_pressure_high, Needs.NUMBERS),
    Rule("series-tank-port", Severity.WARNING, series_tank_port, Needs.NUMBERS),
    Rule(
        "case-drain-shares-return",
        Severity.WARNING,
        case_drain_shares_return,
        Needs.NUMBERS,
        explains=("case-pressure-high",),
    ),
    Rule("drain-line-small", Severity.WARNING, drain_line_small, Needs.NUMBERS),
    Rule("two-tanks-unbalanced", Severity.WARNING, two_tanks_unbalanced, Needs.NUMBERS),
    Rule("cooler-unprotected", Severity.WARNING, cooler_unprotected),
)
