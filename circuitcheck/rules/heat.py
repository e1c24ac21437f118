"""Rules on heat and oil volume: shares of loss, coolers, the tank."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import NotChecked, Number, Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._idle import cycle_time, is_idle
from circuitcheck.rules._rule import Needs, Outcome, Rule
from circuitcheck.rules.oil_too_hot import mean_losses, sinks_of, stores_note, usual_limit

TOP = 3

WORKS = 0.02
"""Share of the power that goes to the loads in a step that does work; own choice."""


def heat_share_high(case: Case) -> Iterator[Outcome]:
    """Work that turns much of its energy to heat.

    What is checked
        Over the steps that do work: energy lost to heat against energy brought in, more than
        50 % of it (a warning above 75 %), with the three parts that lose most.

    Why it matters on the machine
        It is paid for twice: as power and as cooling.

    What to do
        Look at the parts named first.

    Limits of this rule
        Told only where more than 1 kW is brought in on average. Steps in which a load comes
        down, or nothing is done, count in standby-loss-high and oil-too-hot. With
        accumulators it stays an advice: every step counts whole as it stands at its end.

    Source
        25 to 30 % is a good figure: notes on oil cooling; limits own choice
    """
    advise, warn, least = (case.limit(n) for n in ("advise_above", "warn_above", "judged_above"))
    works = [p for p in case.points if p.duration and p.totals.useful > WORKS * p.totals.input]
    time = sum(p.duration or 0.0 for p in works)
    brought = sum(p.totals.input * (p.duration or 0.0) for p in works)
    lost = sum(p.totals.loss * (p.duration or 0.0) for p in works)
    if not time or brought / time <= least.value or lost <= advise.value * brought:
        return
    by_part: dict[str, float] = {}
    for point in works:
        for name, state in point.parts.items():
            by_part[name] = by_part.get(name, 0.0) + state.loss * (point.duration or 0.0)
    top = sorted(by_part, key=lambda name: by_part[name], reverse=True)[:TOP]
    listed = ", ".join(f"{name} {case.show(by_part[name] / lost, 'share')}" for name in top)
    drives = case.of_kind("electric motor", "engine", "pump")
    yield case.finding(
        f"{case.show(lost / brought, 'share')} of the {case.show(brought, 'energy')} that the "
        f"working steps bring in turns to heat; of that {listed}{stores_note(case)}",
        drives[0] if drives else None,
        severity=Severity.WARNING
        if lost > warn.value * brought and not stores_note(case)
        else Severity.ADVICE,
        numbers=(Number("share lost", lost / brought, "share"),),
    )


def standby_loss_high(case: Case) -> Iterator[Outcome]:
    """Waiting that costs much of the energy.

    What is checked
        Over the cycle: energy brought in during steps in which nothing is asked, against 50 %
        of the whole.

    Why it matters on the machine
        Money and heat for nothing.

    What to do
        A lower standby pressure, unloading, or stopping the drive.

    Limits of this rule
        Told only where waiting takes more than 1 kW.

    Source
        common practice, no source
    """
    share, least = case.limit("share"), case.limit("judged_above")
    idle = [p for p in case.points if is_idle(case, p.step)]
    if cycle_time(case) is None or not idle or len(idle) == len(case.points):
        return
    brought = sum(p.totals.input * (p.duration or 0.0) for p in case.points)
    waits = sum(p.totals.input * (p.duration or 0.0) for p in idle)
    time = sum(p.duration or 0.0 for p in idle)
    if time <= 0.0 or waits / time < least.value or waits <= share.value * brought:
        return
    worst = max(idle, key=lambda p: p.totals.input)
    drives = case.of_kind("electric motor", "engine", "pump")
    yield case.finding(
        f"waiting costs {case.power(waits / time)} for {time:.0f} s of every cycle: "
        f"{case.show(waits / brought, 'share')} of its energy ({share.origin}){stores_note(case)}",
        drives[0] if drives else None,
        step=worst.step.name,
        numbers=(Number("share of waiting", waits / brought, "share"),),
    )


def cooler_too_small(case: Case) -> Iterator[Outcome]:
    """Cooler that cannot keep the oil within its limit.

    What is checked
        Over the cycle, in a circuit with a cooler: mean heat brought into the oil against what
        coolers and tank walls take at 60 degC oil (vehicles 70 degC) and the ambient given.
        With accumulators it stays a warning: every step counts whole as it stands at its end.

    Why it matters on the machine
        The oil grows hotter than pumps and seals stand.

    What to do
        A cooler for the real difference of oil and air and the real flow, not for the best
        point of its catalogue; take the loss away first.

    Limits of this rule
        The ambient of the text counts: give that of the hottest day. oil-too-hot gives the
        temperature that results.

    Source
        balance of heat; notes on oil cooling
    """
    mean, sinks = mean_losses(case), sinks_of(case)
    coolers = case.of_kind("cooler")
    if not coolers or mean is None or isinstance(sinks, NotChecked):
        return
    limit = usual_limit(case)
    walls = sinks.tanks * (limit.value - sinks.ambient)
    taken = sinks.coolers * limit.value - sinks.coolant
    if mean[0] > walls + taken:
        yield case.finding(
            f"{', '.join(c.name for c in coolers)} takes {case.power(taken)} and the tank "
            f"{case.power(walls)} at {case.show(limit.value, 'temperature')} oil; "
            f"{case.power(mean[0])} must go ({limit.origin}){stores_note(case)}",
            coolers[0],
            severity=Severity.WARNING if stores_note(case) else Severity.ERROR,
            numbers=(Number("heat to go", mean[0], "power"), Number("cooler", taken, "power")),
        )


def cooler_flow_low(case: Case) -> Iterator[Outcome]:
    """Cooler that gets little oil.

    What is checked
        Over the cycle: the mean flow through every cooler whose rated flow is given, against
        10 % of it.

    Why it matters on the machine
        Variable pumps send little oil back: the cooler idles while the oil gets hot.

    What to do
        A loop of its own for the cooler, or the case drains through it.

    Limits of this rule
        Told only where more than 1 kW has to go on average.

    Source
        common practice, no source
    """
    share, least, cycle = case.limit("share"), case.limit("judged_above"), cycle_time(case)
    if not cycle:
        return
    lost = sum(p.totals.loss * (p.duration or 0.0) for p in case.points) / cycle
    for cooler in case.of_kind("cooler"):
        rated = cooler.figure("flow")
        if rated is None or not cooler.given("flow") or lost < least.value:
            continue
        mean = sum(
            abs(p.parts[cooler.name].values["flow"]) * (p.duration or 0.0) for p in case.points
        ) / cycle  # fmt: skip
        if mean < share.value * rated:
            yield case.finding(
                f"{cooler.name} gets {case.flow(mean)} on average, rated "
                f"{case.flow(rated)}, while {case.power(lost)} has to go ({share.origin})",
                cooler,
                numbers=(Number("mean flow", mean, "flow"),),
            )


def tank_small(case: Case) -> Iterator[Outcome]:
    """Tank too small for its flow.

    What is checked
        Oil volume of a single tank against the mean flow of all its pumps over the cycle: 3
        minutes of it, 1 minute on a vehicle.

    Why it matters on the machine
        Time to settle air and dirt is what volume buys; a cooler settles no air.

    What to do
        A larger tank, a baffle, a diffuser in the return.

    Limits of this rule
        The flow of closed loops does not come back to the tank and is left out.

    Source
        3 minutes common practice, no source; 1 gal per gpm: trade page
    """
    tanks, cycle = case.of_kind("tank"), cycle_time(case)
    if len(tanks) != 1 or not cycle or (volume := tanks[0].figure("volume")) is None:
        return
    limit = case.limit("mobile" if case.of_kind("engine") else "stationary")
    back = sum(
        p.parts[tanks[0].name].values.get("return flow", 0.0) * (p.duration or 0.0)
        for p in case.points
    ) / cycle  # fmt: skip
    if back > 0.0 and volume < limit.value * back:
        yield case.finding(
            f"{tanks[0].name} holds {case.show(volume, 'volume')}: {volume / back / 60.0:.1f} "
            f"minutes of its mean flow ({limit.value / 60.0:g} are usual, {limit.origin})",
            tanks[0],
            numbers=(Number("dwell", volume / back, "time"),),
        )


def air_space_small(case: Case) -> Iterator[Outcome]:
    """Tank with too little air over the oil.

    What is checked
        A tank whose greatest volume is given: room over the oil with all rods in and stores
        empty, warmed by 40 K, against 10 % of it.

    Why it matters on the machine
        Warm oil grows by about 0.7 % in 10 K, and what drains back at stop spills.

    What to do
        A larger tank, or less oil in it.

    Limits of this rule
        The volume in the text counts as that with all rods in.

    Source
        10 % common practice, no source; expansion from memory
    """
    share, growth = case.limit("share"), case.limit("growth")
    for tank in case.of_kind("tank"):
        volume, most = tank.figure("volume"), tank.figure("most")
        if volume is None or most is None:
            continue
        room = most - volume * (1.0 + growth.value)
        if room < share.value * most:
            yield case.finding(
                f"only {case.show(max(room, 0.0), 'volume')} of air is left over the oil in "
                f"{tank.name} with all rods in and the oil warm "
                f"({case.show(share.value, 'share')} of {case.show(most, 'volume')} is usual, "
                f"{share.origin})",
                tank,
                numbers=(Number("air space", max(room, 0.0), "volume"),),
            )


RULES = (
    Rule("heat-share-high", Severity.ADVICE, heat_share_high, Needs.NUMBERS),
    Rule("standby-loss-high", Severity.ADVICE, standby_loss_high, Needs.NUMBERS),
    Rule("cooler-too-small", Severity.ERROR, cooler_too_small, Needs.NUMBERS),
    Rule("cooler-flow-low", Severity.ADVICE, cooler_flow_low, Needs.NUMBERS),
    Rule("tank-small", Severity.ADVICE, tank_small, Needs.NUMBERS),
    Rule("air-space-small", Severity.WARNING, air_space_small),
)
