"""Rules on load-sensing circuits: where the signal is taken, what it loses, its margin."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case
from circuitcheck.rules._inside import Way
from circuitcheck.rules._paths import Passage, Reach
from circuitcheck.rules._pumps import RELIEFS, control_limit, fed_sections, is_load_sensing
from circuitcheck.rules._rule import Needs, Outcome, Rule


def ls_signal_upstream_of_metering(case: Case) -> Iterator[Outcome]:
    """Load signal taken before the edge that meters.

    What is checked
        For every load-sensing pump: is its signal port joined to its own outlet over lines
        and checks alone, with no metering edge between?

    Why it matters on the machine
        The control reads the pump's own pressure, never finds its margin and drives the pump
        to its limit.

    What to do
        Take the signal behind the edge that meters, before the load check if there is one.

    Limits of this rule
        An orifice or a throttle counts as the metering edge.

    Source
        signal taken downstream of the restriction: textbook on mobile hydraulic systems
    """
    for pump, signal in _sensing(case):
        outlet = case.network.at(pump.name, "P")
        if outlet is None:
            continue
        reached = case.network.reach([outlet], lambda p: p.way in (Way.OPEN, Way.CHECK))
        if signal in reached:
            yield case.finding(
                f"the signal of {pump.name} is taken before any edge that meters: it reads the "
                "pump's own pressure",
                pump,
                port="X",
            )


def ls_limit_missing(case: Case) -> Iterator[Outcome]:
    """Load-sensing pump that only its relief valve limits.

    What is checked
        Every load-sensing pump: has it a cut-off, or has every section it feeds a pressure
        limit, or does a relief valve stand on its signal line?

    Why it matters on the machine
        At stall the signal follows the pump up, and all of the flow goes over the relief.

    What to do
        A cut-off on the pump, a limit in the valve, and the main relief as the last guard.

    Limits of this rule
        A limit counts at any setting; ls-limits-out-of-order judges the order.

    Source
        US Army TM 5-2410-240-23-1, single page
    """
    for pump, signal in _sensing(case):
        if control_limit(case, pump) is not None:
            continue
        line = case.network.reach([signal], _signal_way)
        reliefs = [
            p.part for name in line.found for p in case.network.out[name]
            if p.way is Way.RELIEF and case.circuit.parts[p.part].kind.word in RELIEFS
        ]  # fmt: skip
        if not reliefs:
            yield case.finding(
                f"nothing but the relief valve limits {pump.name} when a cylinder stalls: no "
                "cut-off, no limit in every section, no relief on its signal line",
                pump,
            )


def _signal_way(passage: Passage) -> bool:
    return passage.way in (Way.OPEN, Way.THROTTLE, Way.SIGNAL)


def ls_line_flow(case: Case) -> Iterator[Outcome]:
    """Signal line that loses pressure.

    What is checked
        In every solved step: the drop of every line between the signal port of a pump and the
        valves it senses, against 1 bar.

    Why it matters on the machine
        Flow towards the pump takes the drop off the margin, flow towards the valve adds it.

    What to do
        A larger or shorter signal line, and a screen ahead of the bleed.

    Limits of this rule
        At the oil temperature of the steps; cold oil loses more.

    Source
        signal flow in load-sensing lines: a practitioner's case story; 1 bar common
        practice, no source
    """
    most = case.limit("drop")
    for pump, signal in _sensing(case):
        reached = case.network.reach([signal], lambda p: p.way is Way.OPEN)
        names = dict.fromkeys(p.part for p in reached.found.values() if p is not None)
        for line in (case.circuit.parts[name] for name in names):
            if line.kind.word != "line" or not case.points:
                continue
            point = max(case.points, key=lambda p: abs(p.parts[line.name].values["drop"]))
            values = point.parts[line.name].values
            if abs(values["drop"]) > most.value:
                yield case.finding(
                    f"signal line {line.name} of {pump.name} loses {case.bar(abs(values['drop']))} "
                    f"with {case.flow(abs(values['flow']))} in step {point.step.name} "
                    f"({most.origin})",
                    line,
                    step=point.step.name,
                    numbers=(Number("drop", abs(values["drop"]), "pressure"),),
                )


def ls_bleed_eats_signal(case: Case) -> Iterator[Outcome]:
    """Bleed that takes away part of the load signal.

    What is checked
        Every orifice from a signal line to tank, with the smallest pick-up of the sections on
        that line: share kept = d1^4 / (d1^4 + d2^4), d1 the pick-up, d2 the bleed (several
        bleeds add their areas). Less than 95 % is told.

    Why it matters on the machine
        Two orifices in series divide the pressure by the squares of their areas: 0.6 behind
        0.8 mm takes a quarter off, and the pump stands that much short.

    What to do
        One bleed only, with a bore under 0.45 of the smallest pick-up, or a drain in neutral
        only.

    Limits of this rule
        With the tank at no pressure and both orifices sharp.

    Source
        orifice law; several bleeds in one chain are a common mistake, no source
    """
    kept = case.limit("signal_kept")
    for pump, signal in _sensing(case):
        line = case.network.reach([signal], lambda p: p.way in (Way.OPEN, Way.SIGNAL))
        sections = [s for s in case.of_kind("section") if case.network.at(s.name, "LS") in line]
        bores = [bore for s in sections if (bore := s.figure("pick-up"))]
        bleeds = [o for o in case.of_kind("orifice") if _bleeds(case, o, line)]
        if not bores or not bleeds:
            continue
        first = min(bores)
        area = sum((o.figure("diameter") or 0.0) ** 2 for o in bleeds)
        share = first**4 / (first**4 + area**2)
        if share < kept.value:
            yield case.finding(
                f"bleed {bleeds[0].name} behind the {case.show(first, 'length')} pick-up leaves "
                f"{case.show(share, 'share')} of the load signal of {pump.name} "
                f"({case.show(kept.value, 'share')} is the least, {kept.origin})",
                bleeds[0],
                numbers=(Number("signal kept", share, "share"),),
            )


def _bleeds(case: Case, orifice: Part, line: Reach) -> bool:
    """Whether an orifice leads from a signal line to tank."""
    ends = [case.network.at(orifice.name, port) for port in ("in", "out")]
    return any(
        start in line and stop in case.facts.always_drained for start, stop in (ends, ends[::-1])
    )


def margin_too_large(case: Case) -> Iterator[Outcome]:
    """Load-sensing margin larger than the valves need.

    What is checked
        The margin of every load-sensing pump against 1.5 times what the sections it feeds are
        set for (their compensator spring, or their own margin), and against 35 bar.

    Why it matters on the machine
        Margin times flow is heat, and valves grow nervous.

    What to do
        Set it down, with gauges on pump and signal.

    Limits of this rule
        The drop of the supply line has to be had as well: see supply-line-eats-margin.

    Source
        P = dp Q; 14 to 35 bar: range of an adjuster in a service manual
    """
    factor, most = case.limit("factor"), case.limit("most")
    for pump, _ in _sensing(case):
        margin, sections = pump.figure("margin"), fed_sections(case, pump)
        if margin is None or not sections:
            continue
        asked = max(s.figure("margin") or s.figure("spring") or 0.0 for s in sections)
        spare = case.limit("line_drop").value
        if margin > most.value or margin > factor.value * asked + spare:
            yield case.finding(
                f"{pump.name} holds {case.bar(margin)} over the load; its sections ask "
                f"{case.bar(asked)} ({factor.origin})",
                pump,
                numbers=(Number("margin", margin, "pressure"), Number("asked", asked, "pressure")),
            )


def supply_line_eats_margin(case: Case) -> Iterator[Outcome]:
    """Supply line that eats up the load-sensing margin.

    What is checked
        In every solved step: the drop from a load-sensing pump to the P port of each section
        that passes oil, against 30 % of the pump's margin.

    Why it matters on the machine
        The margin is kept at the pump, not at the valve: the valve meters with what is left.

    What to do
        A larger line, a filter elsewhere, or a margin set up by the drop.

    Limits of this rule
        In steps in which the pump holds its margin; a pump that is saturated has none to
        share.

    Source
        drops in series add up, physics; 30 % common practice, no source
    """
    share = case.limit("share")
    for pump, _ in _sensing(case):
        margin = pump.figure("margin")
        for section in fed_sections(case, pump):
            found = [
                (p.parts[pump.name].ports["P"].pressure - p.parts[section.name].ports["P"].pressure,
                 p)
                for p in case.points
                if p.parts[section.name].values["flow"] > 1e-5
            ]  # fmt: skip
            if margin is None or not found:
                continue
            drop, point = max(found, key=lambda pair: pair[0])
            if drop > share.value * margin:
                yield case.finding(
                    f"the supply line takes {case.bar(drop)} of {case.bar(margin)} margin in "
                    f"step {point.step.name}: {section.name} sees {case.bar(margin - drop)} "
                    f"({share.origin})",
                    section,
                    step=point.step.name,
                    numbers=(Number("drop to the valve", drop, "pressure"),),
                )


def _sensing(case: Case) -> Iterator[tuple[Part, str]]:
    """Load-sensing pumps with the junction of their signal port."""
    for pump in case.of_kind("pump"):
        signal = case.network.at(pump.name, "X") if is_load_sensing(pump) else None
        if signal is not None:
            yield pump, signal


RULES = (
    Rule("ls-signal-upstream-of-metering", Severity.ERROR, ls_signal_upstream_of_metering),
    Rule("ls-limit-missing", Severity.WARNING, ls_limit_missing),
    Rule("ls-line-flow", Severity.ADVICE, ls_line_flow, Needs.NUMBERS),
    Rule("ls-bleed-eats-signal", Severity.WARNING, ls_bleed_eats_signal),
    Rule("margin-too-large", Severity.ADVICE, margin_too_large),
    Rule("supply-line-eats-margin", Severity.WARNING, supply_line_eats_margin, Needs.NUMBERS),
)
