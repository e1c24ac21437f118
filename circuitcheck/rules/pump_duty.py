"""Rules on what pumps ask of their drives: power, torque, speed, start."""

from __future__ import annotations

import math
from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.components._parts import Part
from circuitcheck.components._pump_controls import is_loop
from circuitcheck.components.pump import construction
from circuitcheck.rules._case import Case
from circuitcheck.rules._idle import cycle_time, is_idle
from circuitcheck.rules._pumps import (
    charges_loop,
    control_limit,
    guards,
    idle_flow,
    is_controlled,
    shaft_speed,
)
from circuitcheck.rules._reliefs import passing
from circuitcheck.rules._rule import Needs, Outcome, Rule


def surplus_flow(case: Case) -> Iterator[Outcome]:
    """Fixed pump that gives far more than is used.

    What is checked
        Over the cycle: steps in which more than 30 % of a fixed pump's flow goes over its
        relief valve; told where they take more than 20 % of the time.

    Why it matters on the machine
        Oil that is throttled over a relief is heat and electricity.

    What to do
        A smaller pump, two pumps, a variable pump or load sensing.

    Limits of this rule
        What an unloading valve or an open centre lets past at low pressure is no surplus.

    Source
        9 of 20 gpm used as an example: open hydraulics course page; shares common practice
    """
    share, time = case.limit("share"), case.limit("cycle_share")
    cycle = cycle_time(case)
    if cycle is None:
        return
    wasted: dict[str, list[tuple[float, float, float]]] = {}
    for found in passing(case, 1e-6, share.value):
        if len(found.pumps) == 1 and not is_controlled(found.pumps[0]):
            lasts = found.point.duration or 0.0
            wasted.setdefault(found.pumps[0].name, []).append((lasts, found.flow, found.heat))
    for name, entries in wasted.items():
        lasts = sum(entry[0] for entry in entries)
        if lasts <= time.value * cycle:
            continue
        flow = max(entry[1] for entry in entries)
        energy = sum(entry[0] * entry[2] for entry in entries)
        yield case.finding(
            f"up to {case.flow(flow)} of {name} is not used for {lasts:.0f} of {cycle:.0f} s: "
            f"{case.show(energy, 'energy')} a cycle",
            case.circuit.parts[name],
            numbers=(Number("energy wasted a cycle", energy, "energy"),),
        )


def corner_power_over_drive(case: Case) -> Iterator[Outcome]:
    """Pump that could ask more power than its drive has.

    What is checked
        Every variable pump with a pressure control and neither torque nor power limit: its
        cut-off times its full flow over 0.88 efficiency, against the power of its drive.

    Why it matters on the machine
        No step may ask it, but nothing prevents it: sooner or later the corner is reached.

    What to do
        A torque limiter, or a lower cut-off.

    Limits of this rule
        Pumps that share a drive are judged one by one.

    Source
        P = p Q; common practice, no source
    """
    efficiency = case.limit("efficiency").value
    for pump in case.of_kind("pump"):
        drive = case.circuit.parts.get(pump.driven_by or "")
        limited = pump.given("torque limit") or pump.given("power limit")
        if drive is None or limited or not is_controlled(pump):
            continue
        cutoff, flow = control_limit(case, pump), idle_flow(case, pump)
        rated = drive.figure("power")
        if cutoff is None or flow is None or rated is None:
            continue
        corner = cutoff.value * flow / efficiency
        if corner > rated:
            yield case.finding(
                f"{pump.name} could ask {case.power(corner)} at {case.bar(cutoff.value)} and "
                f"{case.flow(flow)}; {drive.name} has {case.power(rated)} and nothing prevents it",
                pump,
                numbers=(Number("corner power", corner, "power"), Number("drive", rated, "power")),
            )


def starts_under_load(case: Case) -> Iterator[Outcome]:
    """Pump that starts against pressure.

    What is checked
        In the first step, and in every step in which nothing is asked: the pressure of a fixed
        pump on an electric motor, against 20 bar, where the torque is over 60 % of what the
        motor is rated for as well.

    Why it matters on the machine
        A long start, tripped breakers, and a dry pump under load.

    What to do
        Let the pump run free at start: an unloading valve or an open centre.

    Limits of this rule
        Taken from steady steps: the run-up itself is not computed. A start with star and
        delta stands only half of that torque.

    Source
        unload the system before the pump is started: open training page; figures common
        practice, no source
    """
    outlet, share = case.limit("outlet"), case.limit("direct")
    for pump in case.of_kind("pump"):
        drive = case.circuit.parts.get(pump.driven_by or "")
        if drive is None or drive.kind.word != "electric motor" or is_controlled(pump):
            continue
        if is_loop(pump) or charges_loop(case, pump) or not case.points:
            continue
        rest = [p for p in case.points if is_idle(case, p.step)] or case.points[:1]
        point = min(rest, key=lambda p: p.parts[pump.name].values["pressure"])
        values = point.parts[pump.name].values
        power, speed = drive.figure("power"), drive.figure("speed")
        if power is None or not speed:
            continue
        torque, rated = point.parts[drive.name].values["torque"], power / speed
        if values["pressure"] > outlet.value and torque > share.value * rated:
            yield case.finding(
                f"{pump.name} starts against {case.bar(values['pressure'])} (step "
                f"{point.step.name}): {case.show(torque, 'torque')} of "
                f"{case.show(rated, 'torque')} that {drive.name} is rated for ({share.origin})",
                pump,
                step=point.step.name,
                numbers=(Number("torque at start", torque, "torque"),),
            )


def pump_speed_outside(case: Case) -> Iterator[Outcome]:
    """Pump that turns too fast, or too slowly.

    What is checked
        The speed of every pump, as given and in every solved step, against its own speed
        limit; and of piston pumps against 600 rpm at least.

    Why it matters on the machine
        Above its limit a pump does not fill; below its least speed it lubricates itself badly
        and holds no pressure.

    What to do
        Another ratio, or another displacement.

    Limits of this rule
        The limit at the inlet pressure that the maker names; a starved inlet lowers it.

    Source
        600 rpm from memory, piston pumps
    """
    least = case.limit("least")
    for pump in case.of_kind("pump"):
        speeds = [p.parts[pump.name].values["speed"] for p in case.points]
        own = shaft_speed(case, pump)
        speeds += [] if own is None else [own]
        if not speeds:
            continue
        limit = pump.figure("speed limit")
        running = [s for s in speeds if s > 1.0]
        if limit is not None and max(speeds) > 1.001 * limit:
            yield _speed(case, pump, max(speeds), f"{case.show(limit, 'rotation')} is the most "
                         f"(limit from {pump.name})", Severity.ERROR)  # fmt: skip
        elif "piston" in construction(pump) and running and min(running) < least.value:
            yield _speed(case, pump, min(running), f"{case.show(least.value, 'rotation')} is the "
                         f"least ({least.origin})", Severity.WARNING)  # fmt: skip


def _speed(case: Case, pump: Part, speed: float, words: str, severity: Severity) -> Outcome:
    return case.finding(
        f"{pump.name} turns at {case.show(speed, 'rotation')}; {words}",
        pump,
        severity=severity,
        numbers=(Number("speed", speed, "rotation"),),
    )


def torque_limiter_set_over_drive(case: Case) -> Iterator[Outcome]:
    """Torque or power limit of a pump above what its drive has.

    What is checked
        The torque limit of every pump times its speed, or its power limit, against the power
        of its drive.

    Why it matters on the machine
        The limiter does nothing: the drive stalls or trips first.

    What to do
        Set it to 90 to 95 % of the drive.

    Limits of this rule
        Pumps that share a drive are judged one by one.

    Source
        P = M w; share common practice, no source
    """
    for pump in case.of_kind("pump"):
        drive = case.circuit.parts.get(pump.driven_by or "")
        torque, power = pump.figure("torque limit"), pump.figure("power limit")
        speed = shaft_speed(case, pump)
        if drive is None or (rated := drive.figure("power")) is None:
            continue
        if power is None and (torque is None or speed is None):
            continue
        asks = power if power is not None else (torque or 0.0) * (speed or 0.0)
        if asks > rated:
            words = (
                case.power(asks)
                if torque is None
                else (f"{case.show(torque, 'torque')}, {case.power(asks)} at its speed")
            )
            yield case.finding(
                f"the limiter of {pump.name} is set to {words}: more than {drive.name} has, "
                f"{case.power(rated)}",
                pump,
                numbers=(Number("limit", asks, "power"), Number("drive", rated, "power")),
            )


def drive_duty_too_hard(case: Case) -> Iterator[Outcome]:
    """Cycle that heats the electric motor too much.

    What is checked
        Root-mean-square power of an electric motor over the cycle against its rated power,
        and its greatest torque against 80 % of its breakdown torque.

    Why it matters on the machine
        The heat of a motor goes with the square of its current: peaks count more than the
        mean says.

    What to do
        Longer pauses, a smaller peak, or the next frame size.

    Limits of this rule
        Breakdown torque is 2 times rated where the text does not give it.

    Source
        textbook; factors from memory and common practice
    """
    factor, share = case.limit("breakdown_factor"), case.limit("breakdown_share")
    cycle = cycle_time(case)
    for drive in case.of_kind("electric motor"):
        rated, speed = drive.figure("power"), drive.figure("speed")
        if rated is None or not speed or not case.points:
            continue
        # several duties (S3, S6) allow more: the motor itself knows how much
        values = case.points[0].parts[drive.name].values
        mean = rated * values.get("duty load", math.nan) if cycle else 0.0
        peak = max(case.points, key=lambda p: p.parts[drive.name].values["torque"])
        torque = peak.parts[drive.name].values["torque"]
        breakdown = drive.figure("breakdown") or factor.value
        most = share.value * breakdown * rated / speed
        if mean <= rated and torque <= most:
            continue
        words = (
            f"root-mean-square load {case.power(mean)} over the cycle"
            if mean > rated
            else f"{case.show(torque, 'torque')} in step {peak.step.name}, over "
            f"{case.show(most, 'torque')} ({share.origin})"
        )
        yield case.finding(
            f"{drive.name} is rated {case.power(rated)}: {words}",
            drive,
            numbers=(Number("root-mean-square power", mean, "power"),
                     Number("greatest torque", torque, "torque")),
        )  # fmt: skip


def high_low_without_unloader(case: Case) -> Iterator[Outcome]:
    """Large pump that is not unloaded while the small one presses.

    What is checked
        Two fixed pumps on one line, one at least twice the other: in a solved step in which
        their relief valve passes more than half of the large pump's flow, does the large one
        still push against the pressing pressure?

    Why it matters on the machine
        The drive carries both flows at full pressure, and most of it turns to heat.

    What to do
        An unloading valve, piloted from the high side, and a check for the large pump.

    Limits of this rule
        By the steps written down; pumps of nearly one size are taken to work together.

    Source
        common practice, no source
    """
    ratio, share = case.limit("ratio"), case.limit("share")
    fixed = [p for p in case.of_kind("pump") if not is_controlled(p) and not is_loop(p)]
    guarded: dict[str, list[Part]] = {}
    for pump in fixed:
        for relief in guards(case, pump):
            guarded.setdefault(relief.name, []).append(pump)
    for large in fixed:
        own = [relief.name for relief in guards(case, large)]
        beside = {pump.name: pump for name in own for pump in guarded[name]}
        for small in beside.values():
            sizes = large.figure("displacement") or 0.0, small.figure("displacement") or 0.0
            if not sizes[1] or sizes[0] < ratio.value * sizes[1]:
                continue
            shared = {*own} & {relief.name for relief in guards(case, small)}
            worst = max(
                (
                    (p.parts[large.name].values["pressure"], p)
                    for p in case.points
                    if sum(p.parts[name].values["flow"] for name in shared)
                    > share.value * p.parts[large.name].values["flow"]
                    > 0.0
                ),
                key=lambda pair: pair[0],
                default=None,
            )
            if worst is None:
                continue
            pressure, point = worst
            flow = point.parts[large.name].values["flow"]
            yield case.finding(
                f"large pump {large.name} keeps pushing {case.flow(flow)} at "
                f"{case.bar(pressure)} beside {small.name} in step {point.step.name}: "
                f"{case.power(flow * pressure)}",
                large,
                step=point.step.name,
                numbers=(Number("power", flow * pressure, "power"),),
            )


RULES = (
    Rule("surplus-flow", Severity.ADVICE, surplus_flow, Needs.NUMBERS),
    Rule("corner-power-over-drive", Severity.ADVICE, corner_power_over_drive),
    Rule("starts-under-load", Severity.WARNING, starts_under_load, Needs.NUMBERS),
    Rule("pump-speed-outside", Severity.ERROR, pump_speed_outside),
    Rule("torque-limiter-set-over-drive", Severity.WARNING, torque_limiter_set_over_drive),
    Rule("drive-duty-too-hard", Severity.WARNING, drive_duty_too_hard, Needs.NUMBERS),
    Rule(
        "high-low-without-unloader",
        Severity.WARNING,
        high_low_without_unloader,
        Needs.NUMBERS,
        explains=("surplus-flow", "relief-open-in-work"),
    ),
)
