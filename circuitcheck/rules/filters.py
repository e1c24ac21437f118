"""Rules on filters: where they stand, what they let past, what they take."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.components._parts import Part
from circuitcheck.components.pump import construction
from circuitcheck.rules._case import Case
from circuitcheck.rules._drains import drain_path, with_case
from circuitcheck.rules._lines import CARRIES, worst
from circuitcheck.rules._paths import always_open
from circuitcheck.rules._rule import Needs, Outcome, Rule

FILTERS = ("filter", "strainer")


def micrometres(fineness: float) -> str:
    """Give a fineness [m] as the trade writes it."""
    return f"{fineness * 1e6:.0f} um"


def filter_bypass_open(case: Case) -> Iterator[Outcome]:
    """Filter that lets oil past its element.

    What is checked
        In every solved step: the flow over the bypass of every filter, at the oil
        temperature of the step.

    Why it matters on the machine
        Oil goes on unfiltered just when the flow is greatest.

    What to do
        Take a larger element, or change a clogged one.

    Limits of this rule
        A cold start may open a bypass for some minutes: with oil of more than 100 cSt it is
        advice only. Less than 2 % of the flow is let pass.

    Source
        surges and cold starts trip bypass and indicator, judge at running temperature: US
        Navy NAVEDTRA 14105
    """
    share = case.limit("share")
    for part in case.of_kind(*FILTERS):
        found = worst(case, part, "bypass flow")
        if found is None:
            continue
        point, past = found
        values = point.parts[part.name].values
        if past <= max(share.value * abs(values["flow"]), CARRIES):
            continue
        yield case.finding(
            f"filter {part.name} bypasses {case.flow(past)} of {case.flow(values['flow'])} in "
            f"step {point.step.name}: {case.bar(values['drop'])} at "
            f"{case.show(point.nu, 'viscosity')} (opens at "
            f"{case.bar(part.figure('bypass') or 0.0)})",
            part,
            severity=Severity.ADVICE if point.nu > case.limit("cold").value else Severity.WARNING,
            step=point.step.name,
            numbers=(
                Number("bypass flow", past, "flow"),
                Number("drop", values["drop"], "pressure"),
            ),
        )


def filter_clean_drop_high(case: Case) -> Iterator[Outcome]:
    """New filter element that takes much of its bypass setting.

    What is checked
        In every solved step in which the element is not said to be clogged: the drop of
        every filter with a bypass against 30 % of the bypass setting.

    Why it matters on the machine
        No room is left for dirt: the element is soon bypassed.

    What to do
        Take a larger filter.

    Limits of this rule
        Steps with oil of more than 100 cSt are left out; the greatest flow counts, however
        short its step.

    Source
        common practice, no source
    """
    share = case.limit("share")
    for part in case.of_kind(*FILTERS):
        opens = part.figure("bypass")
        clogged = part.given("clogged") or any(
            "clogged" in case.orders(p.step, part.name).figures for p in case.points
        )
        warm = [p for p in case.points if p.nu <= case.limit("cold").value]
        if opens is None or clogged or not warm:
            continue
        point = max(warm, key=lambda p: p.parts[part.name].values["drop"])
        drop = point.parts[part.name].values["drop"]
        if drop <= share.value * opens:
            continue
        yield case.finding(
            f"a new element in {part.name} takes {case.bar(drop)} of {case.bar(opens)} already "
            f"in step {point.step.name} ({case.show(share.value, 'share')} is usual, "
            f"{share.origin})",
            part,
            step=point.step.name,
            numbers=(Number("drop", drop, "pressure"), Number("bypass", opens, "pressure")),
        )


def filter_reverse_flow(case: Case) -> Iterator[Outcome]:
    """Filter through which oil flows backwards.

    What is checked
        In every solved step: does oil go through a filter from its outlet to its inlet?

    Why it matters on the machine
        It washes the dirt out into the circuit, or collapses the element.

    What to do
        Put the filter where oil flows one way only, or bridge it with checks.

    Limits of this rule
        Flow in the steps written down only.

    Source
        common practice, no source
    """
    for part in case.of_kind(*FILTERS):
        back = [(p.parts[part.name].values["flow"], p) for p in case.points]
        if not back:
            continue
        flow, point = min(back, key=lambda pair: pair[0])
        if flow < -CARRIES:
            yield case.finding(
                f"filter {part.name} sees {case.flow(-flow)} backwards in step {point.step.name}",
                part,
                step=point.step.name,
                numbers=(Number("flow backwards", -flow, "flow"),),
            )


def fine_filter_in_suction(case: Case) -> Iterator[Outcome]:
    """Fine filter between tank and pump.

    What is checked
        Every filter or strainer that a pump draws through: is it finer than 100 um, and
        does it take more than 0.1 bar in a solved step?

    Why it matters on the machine
        The inlet is the place with the least pressure to spare; a clogged element ruins the
        pump.

    What to do
        A coarse strainer or none; filter in the return, the pressure line or a loop of its
        own.

    Limits of this rule
        The drop is that at the oil temperature of the steps; cold oil takes more.

    Source
        inlet strainers are coarse only: technician's handbook; figures common practice, no
        source
    """
    finest, most = case.limit("finest"), case.limit("cold_drop")
    for pump in case.of_kind("pump"):
        for part in _drawn_through(case, pump):
            fineness = part.figure("fineness")
            found = worst(case, part, "drop")
            drop = 0.0 if found is None else found[1]
            fine = fineness is not None and fineness < finest.value
            if not fine and drop <= most.value:
                continue
            grade = "" if fineness is None else f" of {micrometres(fineness)}"
            takes = f" takes {case.bar(drop)} of the inlet pressure of" if found else " feeds"
            yield case.finding(
                f"suction filter {part.name}{grade}{takes} {pump.name} ({finest.origin})",
                part,
                numbers=(Number("drop", drop, "pressure"),),
            )


def _drawn_through(case: Case, pump: Part) -> list[Part]:
    """Filters between a tank and the inlet of a pump; not those of a charge or boost line."""
    inlet = case.network.at(pump.name, "S")
    if inlet is None:
        return []
    reached = case.network.reach([inlet], always_open, backward=True)
    if any(name in case.facts.fed_by_pumps for name in reached.found):
        return []
    names = {p.part: None for p in reached.found.values() if p is not None}
    parts = [case.circuit.parts[name] for name in names]
    return [part for part in parts if part.kind.word in FILTERS]


def filter_in_case_drain(case: Case) -> Iterator[Outcome]:
    """Filter in a case drain.

    What is checked
        Every filter on the way from the case of a pump or motor to the tank, with its drop
        in the worst step and what it takes when the bypass has to open.

    Why it matters on the machine
        Case pressure wears the lip of the shaft seal and pulls slippers off their plate.

    What to do
        Leave it out, or take a low-drop element whose bypass opens below the case limit, and
        watch the case pressure.

    Limits of this rule
        Said of every such filter; a bypass well below the case limit is let pass.

    Source
        trade article on case-drain filters
    """
    for machine in with_case(case):
        limit = case.limit("case_limit", machine, "case limit")
        for passage in drain_path(case, machine) or ():
            part = case.circuit.parts[passage.part]
            if part.kind.word not in FILTERS:
                continue
            opens = part.figure("bypass")
            if opens is not None and opens <= limit.value:
                continue
            found = worst(case, part, "drop")
            takes = "" if found is None else f" puts {case.bar(found[1])} on the case now and"
            later = "no bypass" if opens is None else f"its bypass opens at {case.bar(opens)}"
            yield case.finding(
                f"filter {part.name} in the case drain of {machine.name}{takes} rises as it "
                f"clogs: {later} (case limit {case.bar(limit.value)}, {limit.origin})",
                part,
                numbers=(Number("case limit", limit.value, "pressure"),),
            )


def filtration_too_coarse(case: Case) -> Iterator[Outcome]:
    """Oil not filtered as finely as its most sensitive part asks.

    What is checked
        The finest filter of the circuit against what the most sensitive part asks: 5 um for
        servo valves, 10 um for proportional valves and piston pumps over 210 bar, 25 um for
        all else. A circuit without any filter is told as well.

    Why it matters on the machine
        Dirt between close gaps is the first cause of failures.

    What to do
        Put a filter of that fineness in the return, the pressure line or a loop of its own,
        and one on the breather.

    Limits of this rule
        The fineness stands for what a modern element of that size holds back; the wanted
        cleanliness code and the element's test say more.

    Source
        need for cleanliness by clearance: trade article; figures from memory, after ISO
        4406 codes 16/14/11, 18/16/13 and 20/18/15
    """
    pumps = case.of_kind("pump")
    if not pumps:
        return
    wanted, part = _asks(case, pumps)
    limit = case.limit(wanted)
    grades = [f.figure("fineness") for f in case.of_kind("filter")]
    if not grades:
        yield case.finding(
            f"no filter cleans the oil; {part.name} asks {micrometres(limit.value)} "
            f"({limit.origin})",
            part,
        )
        return
    known = [grade for grade in grades if grade is not None]
    if not known:
        names = ", ".join(f.name for f in case.of_kind("filter"))
        yield case.not_checked(names, "fineness of the filters")
    elif min(known) > limit.value:
        yield case.finding(
            f"the finest filter holds back {micrometres(min(known))}; {part.name} asks "
            f"{micrometres(limit.value)} ({limit.origin})",
            part,
            numbers=(Number("finest filter", min(known), "length"),),
        )


def _asks(case: Case, pumps: list[Part]) -> tuple[str, Part]:
    """Name of the threshold, and the part that asks for it."""
    servo = [v for v in case.of_kind("valve") if v.says("servo")]
    if servo:
        return "servo", servo[0]
    high = case.limit("high_pressure").value
    fine = [p for p in case.of_kind("valve", "section") if p.says("proportional")]
    for pump in pumps:
        seen = worst(case, pump, "pressure")
        if "piston" in construction(pump) and seen is not None and seen[1] > high:
            fine.append(pump)
    return ("proportional", fine[0]) if fine else ("others", pumps[0])


RULES = (
    Rule("filter-bypass-open", Severity.WARNING, filter_bypass_open, Needs.NUMBERS),
    Rule("filter-clean-drop-high", Severity.ADVICE, filter_clean_drop_high, Needs.NUMBERS),
    Rule("filter-reverse-flow", Severity.WARNING, filter_reverse_flow, Needs.NUMBERS),
    Rule("fine-filter-in-suction", Severity.ADVICE, fine_filter_in_suction),
    Rule("filter-in-case-drain", Severity.WARNING, filter_in_case_drain),
    Rule("filtration-too-coarse", Severity.ADVICE, filtration_too_coarse),
)
