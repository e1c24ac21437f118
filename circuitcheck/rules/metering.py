"""Rules on valves that meter or switch flow: size, drop, least flow, ways back."""

from __future__ import annotations

import math
from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.components._parts import Part
from circuitcheck.rules._blocked import stoppers, without_return, without_supply
from circuitcheck.rules._case import Case
from circuitcheck.rules._idle import is_idle
from circuitcheck.rules._lines import worst
from circuitcheck.rules._paths import always_open
from circuitcheck.rules._rule import Needs, Outcome, Rule
from circuitcheck.solver.operating import OperatingPoint

PER_EDGE = 5e5
"""Drop at which the trade gives the nominal flow of an edge [Pa]; common practice."""


def valve_over_flow(case: Case) -> Iterator[Outcome]:
    """Directional valve with more flow than its size is for.

    What is checked
        In every solved step: the greatest flow over an edge of every switching valve, against
        1.5 times its rated flow brought to 5 bar over an edge. The oil that leaves the cap side
        counts with its greater flow.

    Why it matters on the machine
        Flow forces keep a direct solenoid from shifting, and the drop turns to heat.

    What to do
        The next size, or a pilot-operated valve.

    Limits of this rule
        Where the text gives the flow that the solenoid can switch, that limit is judged by the
        valve itself.

    Source
        common practice, no source
    """
    factor = case.limit("factor")
    for valve in case.of_kind("valve"):
        rated, drop = valve.figure("flow"), valve.figure("drop") or PER_EDGE
        found = worst(case, valve, "flow")
        if not valve.given("flow") or rated is None or found is None:
            continue
        if valve.says("proportional") or valve.says("servo"):
            continue
        over = 2.0 if valve.says("rated over two edges") else 1.0
        limit = factor.value * rated * math.sqrt(PER_EDGE * over / drop)
        point, flow = found
        if flow > limit:
            yield case.finding(
                f"{valve.name} passes {case.flow(flow)} in step {point.step.name}; its size is "
                f"for {case.flow(limit)} at most ({factor.value:g} times its flow at 5 bar an "
                f"edge, {factor.origin})",
                valve,
                step=point.step.name,
                numbers=(Number("flow", flow, "flow"), Number("most", limit, "flow")),
            )


def valve_drop_high(case: Case) -> Iterator[Outcome]:
    """Switching valve that takes much of the pressure.

    What is checked
        In every solved step: the drop over a fully open path of every switching valve, from P
        to a work port or from a work port to T, against 10 bar.

    Why it matters on the machine
        It is heat, and it is missing at the actuator.

    What to do
        A larger size.

    Limits of this rule
        Proportional valves and sections meter on purpose and are left out.

    Source
        common practice, no source
    """
    most = case.limit("drop")
    for valve in case.of_kind("valve"):
        if valve.says("proportional") or valve.says("servo"):
            continue
        found = [entry for point in case.points for entry in _drops(case, valve, point)]
        if not found:
            continue
        drop, flow, path, point = max(found, key=lambda entry: entry[0])
        if drop > most.value:
            yield case.finding(
                f"{valve.name} loses {case.bar(drop)} over {path} at {case.flow(flow)} in step "
                f"{point.step.name}: {case.power(drop * flow)} ({most.origin})",
                valve,
                step=point.step.name,
                numbers=(Number("drop", drop, "pressure"),),
            )


def _drops(
    case: Case, valve: Part, point: OperatingPoint
) -> Iterator[tuple[float, float, str, OperatingPoint]]:
    """Drop [Pa], flow [m3/s] and name of the open paths of a spool that pass oil."""
    orders = case.orders(point.step, valve.name)
    if orders.opening < 1.0:
        return
    ports = point.parts[valve.name].ports
    for group in valve.positions.get(orders.position or valve.rest, ()):
        for a in group:
            for b in group:
                if a in ports and b in ports and ports[a].flow > 1e-6 and ports[b].flow < -1e-6:
                    flow = min(ports[a].flow, -ports[b].flow)
                    yield ports[a].pressure - ports[b].pressure, flow, f"{a} to {b}", point


def proportional_used_small(case: Case) -> Iterator[Outcome]:
    """Proportional valve of which little of the travel is used.

    What is checked
        The greatest opening that any step orders of a proportional valve, servo valve or
        proportional section, against 50 %.

    Why it matters on the machine
        The steps are coarse: dead band and friction are a large share of the travel used.

    What to do
        A spool of smaller nominal flow.

    Limits of this rule
        By the openings written down; a valve that the steps never move is left out.

    Source
        common practice, no source
    """
    share = case.limit("share")
    for valve in case.of_kind("valve", "section"):
        if not (valve.says("proportional") or valve.says("servo")):
            continue
        orders = [case.orders(step, valve.name) for step in case.circuit.steps]
        used = [o.opening for o in orders if o.position and o.position != valve.rest]
        if used and max(used) < share.value:
            yield case.finding(
                f"{valve.name} uses only {case.show(max(used), 'share')} of its travel "
                f"({case.show(share.value, 'share')} is wanted, {share.origin})",
                valve,
                numbers=(Number("travel used", max(used), "share"),),
            )


def flow_control_starved(case: Case) -> Iterator[Outcome]:
    """Pressure-compensated flow control with too little drop to regulate.

    What is checked
        In every solved step in which a flow control passes oil forwards: is it under 90 % of
        its set flow with less drop than it regulates from?

    Why it matters on the machine
        Below that drop it is just an orifice: the speed goes with the load again.

    What to do
        More supply pressure, or a larger valve.

    Limits of this rule
        A step in which the actuator stands at its end asks for no flow: only flows above a
        tenth of the set one are judged.

    Source
        regulating drop from memory, 6 to 12 bar
    """
    for valve in case.of_kind("flow control"):
        least = case.limit("least_drop", valve, "least")
        for point in case.points:
            order = case.orders(point.step, valve.name).figures.get("flow")
            wanted = valve.figure("flow") if order is None else order.value
            values = point.parts[valve.name].values
            flow, drop = values["flow"], values["drop"]
            if wanted and 0.1 * wanted < flow < 0.9 * wanted and drop < least.value:
                yield case.finding(
                    f"{valve.name} has {case.bar(drop)} across it in step {point.step.name} and "
                    f"regulates from {case.bar(least.value)} ({least.origin}): "
                    f"{case.flow(flow)} instead of {case.flow(wanted)}",
                    valve,
                    step=point.step.name,
                    numbers=(Number("drop", drop, "pressure"), Number("flow", flow, "flow")),
                )
                break


def flow_below_control_minimum(case: Case) -> Iterator[Outcome]:
    """Flow control set below what it can hold.

    What is checked
        The set flow of every flow control, and of every step that orders one, against
        0.1 L/min.

    Why it matters on the machine
        Silting and leakage decide the speed then, not the valve.

    What to do
        A smaller actuator valve with a finer edge, a finer filter, or a larger bore of the
        actuator.

    Limits of this rule
        The least flow of a given valve is in its data sheet.

    Source
        common practice, no source
    """
    least = case.limit("flow")
    for valve in case.of_kind("flow control"):
        wanted = [valve.figure("flow") or 0.0] + [
            figure.value
            for step in case.circuit.steps
            if (figure := case.orders(step, valve.name).figures.get("flow")) is not None
        ]
        if 0.0 < min(wanted) < least.value:
            yield case.finding(
                f"{valve.name} is set {case.show(min(wanted), 'flow')}; below "
                f"{case.show(least.value, 'flow')} it is not repeatable ({least.origin})",
                valve,
                numbers=(Number("set flow", min(wanted), "flow"),),
            )


def flow_control_blocks_return(case: Case) -> Iterator[Outcome]:
    """Valve without free flow in a line that carries oil both ways.

    What is checked
        Where an actuator of a step gets no oil or cannot give it off: does a sequence or
        reducing valve without a free-flow check stand in the way?

    Why it matters on the machine
        The return stroke stops or crawls.

    What to do
        Take the version with a built-in check, or fit one beside it.

    Limits of this rule
        Told with no-supply-path or no-return-path, whose cause it is.

    Source
        sequence, reducing and counterbalance valves have a check for reverse flow: open
        hydraulics course page
    """
    told: set[str] = set()
    for blocked, backward in [
        *((b, True) for b in without_supply(case)),
        *((b, False) for b in without_return(case)),
    ]:
        junction = blocked.junction
        if junction is None:
            continue
        near = [
            p.part
            for p in (case.network.out if backward else case.network.into)[junction]
            if p.part not in told
        ]
        near += [p.part for p in stoppers(case, blocked, backward)]
        region = case.facts.region(junction).found
        for name in [*near, *(end.part for j in region for end in case.circuit.neighbours(j))]:
            part = case.circuit.parts[name]
            one_way = part.kind.word in ("sequence", "reducing valve", "compensator")
            if one_way and not part.says("free-flow check") and name not in told:
                told.add(name)
                yield case.finding(
                    f"{name} has no free-flow check, yet step {blocked.step.name} needs flow "
                    f"back through it for {blocked.part.name}",
                    part,
                    step=blocked.step.name,
                )


def high_bleed_losses(case: Case) -> Iterator[Outcome]:
    """Orifice that bleeds away pump oil all the time.

    What is checked
        In every solved step that asks for work: the flow of every orifice from a pump's line or
        a signal line to tank, against 2 % of what the pumps give.

    Why it matters on the machine
        Heat for nothing, in every second of work.

    What to do
        A smaller orifice, or a bleed that opens in neutral only.

    Limits of this rule
        Throttles that bleed off on purpose to set a speed are left out.

    Source
        common practice, no source
    """
    share = case.limit("share")
    supply = case.network.reach(case.facts.pump_outlets, always_open)
    given = [sum(point.parts[pump.name].values.get("flow", 0.0) for pump in case.of_kind("pump"))
             for point in case.points]  # fmt: skip
    for orifice in case.of_kind("orifice"):
        ends = [case.network.at(orifice.name, port) for port in ("in", "out")]
        drained = [end for end in ends if end in case.facts.always_drained]
        fed = [end for end in ends if end in supply and end not in drained]
        if not drained or not fed:
            continue
        for point, pumped in zip(case.points, given, strict=True):
            values = point.parts[orifice.name].values
            flow = abs(values["flow"])
            if not is_idle(case, point.step) and flow > share.value * pumped > 0.0:
                heat = flow * abs(values["drop"])
                yield case.finding(
                    f"bleed {orifice.name} costs {case.flow(flow)}, {case.power(heat)}, in step "
                    f"{point.step.name} and all the time ({share.origin})",
                    orifice,
                    step=point.step.name,
                    numbers=(Number("flow", flow, "flow"), Number("heat", heat, "power")),
                )
                break


RULES = (
    Rule("valve-over-flow", Severity.WARNING, valve_over_flow, Needs.NUMBERS),
    Rule("valve-drop-high", Severity.ADVICE, valve_drop_high, Needs.NUMBERS),
    Rule("proportional-used-small", Severity.ADVICE, proportional_used_small),
    Rule("flow-control-starved", Severity.WARNING, flow_control_starved, Needs.NUMBERS),
    Rule("flow-below-control-minimum", Severity.WARNING, flow_below_control_minimum),
    Rule(
        "flow-control-blocks-return",
        Severity.ERROR,
        flow_control_blocks_return,
        explains=("no-supply-path", "no-return-path"),
    ),
    Rule("high-bleed-losses", Severity.ADVICE, high_bleed_losses, Needs.NUMBERS),
)
