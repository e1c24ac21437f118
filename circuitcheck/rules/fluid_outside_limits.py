"""Fluid used outside what its kind stands.

What is checked
    In every solved step: the temperature against the coldest and hottest of the kind of
    fluid (an error above it where water is a large part: HFA, HFB, HFC; else a warning);
    the pressure at pumps and motors against the share of their rating that such a fluid
    allows (HFC and HFB 70 %, HFA 50 %); the pressure at the inlet of pumps against what
    such a fluid needs (water based fluids a flooded inlet, 0 bar at the port) unless the
    pump has an 'inlet limit' of its own.

Why it matters on the machine
    Water evaporates from the fluid, which then neither lubricates nor resists fire; frozen
    or stiff fluid starves the pump. Thin, heavy fluids that boil early carry bearings less
    and cavitate: pumps last a fraction of their life.

What to do
    Cool the tank or take another fluid; take pumps and motors that their maker rates for the
    fluid and write that rating; put the tank over the pump.

Limits of this rule
    Usual figures of the kind; the data sheet of fluid and machine wins: a rating that holds
    for the fluid is written 'rated for the fluid'. Seals and paints are not looked at.

Source
    limits of the kinds: shared table of fluid families, common practice and from memory;
    kinds: ISO 12922, ISO 15380, ISO 11158 (not read)
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.components._parts import Part
from circuitcheck.fluid.families import Fluid
from circuitcheck.rules._case import Case
from circuitcheck.rules._rule import Needs, Outcome, Rule

FOR_THE_FLUID = "rated for the fluid"
"""Phrase of a pump or motor whose rating its maker gives for this fluid."""

NEAR = 1e3
"""An inlet this little under its limit is at it [Pa]; own choice."""


def check(case: Case) -> Iterator[Outcome]:
    if not case.points:
        return
    kind = case.circuit.oil.fluid
    yield from _temperatures(case, kind)
    for part in case.of_kind("pump", "motor"):
        if not part.says(FOR_THE_FLUID):
            yield from _pressure(case, kind, part)
    for pump in case.of_kind("pump"):
        if not pump.given("inlet limit") and not pump.says(FOR_THE_FLUID):
            yield from _inlet(case, kind, pump)


def _name(case: Case, kind: Fluid) -> str:
    return f"{case.circuit.oil.name} ({kind.words})"


def _temperatures(case: Case, kind: Fluid) -> Iterator[Outcome]:
    coldest, hottest = kind["coldest"], kind["hottest"]
    cold = min(case.points, key=lambda p: p.oil_degC)
    hot = max(case.points, key=lambda p: p.oil_degC)
    for point, limit, over in ((cold, coldest, False), (hot, hottest, True)):
        degC = point.oil_degC
        if degC == limit.value or (degC > limit.value) is not over:
            continue
        yield case.finding(
            f"{_name(case, kind)} stands at {case.show(degC, 'temperature')} in step "
            f"{point.step.name}; its kind is used {'up to' if over else 'from'} "
            f"{case.show(limit.value, 'temperature')} ({limit.source})",
            severity=Severity.ERROR if over and kind.watery else Severity.WARNING,
            step=point.step.name,
            numbers=(
                Number("oil temperature", degC, "temperature"),
                Number("limit of the kind", limit.value, "temperature"),
            ),
        )


def _pressure(case: Case, kind: Fluid, part: Part) -> Iterator[Outcome]:
    share, rated = kind.get("pressure_share"), part.figure("rated")
    if share is None:
        return
    if rated is None or not part.given("rated"):
        yield case.not_checked(part.name, "its rating, of which this fluid allows a share")
        return
    ports = [port.letter for port in part.ports if port.letter in ("P", "A", "B")]
    seen = [
        (state.pressure, point.step.name, port)
        for point in case.points
        for port in ports
        if (state := point.parts[part.name].ports.get(port)) is not None
    ]
    allowed = share.value * rated
    pressure, step, port = max(seen, default=(0.0, "", ""))
    if pressure > allowed:
        yield case.finding(
            f"{part.name} works at {case.bar(pressure)} in step {step}; with "
            f"{_name(case, kind)} {case.show(share.value, 'share')} of its "
            f"{case.bar(rated)} are usual, {case.bar(allowed)} ({share.source})",
            part,
            port=port,
            step=step,
            numbers=(
                Number("pressure", pressure, "pressure"),
                Number("allowed with this fluid", allowed, "pressure"),
            ),
        )


def _inlet(case: Case, kind: Fluid, pump: Part) -> Iterator[Outcome]:
    least = kind.get("inlet_least")
    if least is None:
        return
    worst = min(case.points, key=lambda p: p.parts[pump.name].values["inlet pressure"])
    pressure = worst.parts[pump.name].values["inlet pressure"]
    if pressure < least.value - NEAR:
        yield case.finding(
            f"inlet of {pump.name} stands at {case.bar(pressure)} in step {worst.step.name}; "
            f"{_name(case, kind)} wants {case.bar(least.value)} or more ({least.source})",
            pump,
            port="S",
            step=worst.step.name,
            numbers=(
                Number("inlet pressure", pressure, "pressure"),
                Number("least with this fluid", least.value, "pressure"),
            ),
        )


RULE = Rule("fluid-outside-limits", Severity.WARNING, check, Needs.NUMBERS)
