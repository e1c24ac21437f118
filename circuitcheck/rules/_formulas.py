"""How a computed number comes about: the formula with its figures, for people to follow."""

from __future__ import annotations

from circuitcheck.circuit.model import Claim
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case
from circuitcheck.rules._loads import areas
from circuitcheck.solver.operating import OperatingPoint, PartState


def formula(case: Case, claim: Claim, point: OperatingPoint) -> str:
    """Give the formula behind a claimed quantity with its figures; empty where none is short."""
    part = case.circuit.parts.get(claim.subject)
    if part is None:
        return _whole(case, claim, point)
    if claim.port:
        return ""
    state = point.parts[part.name]
    write = {"cylinder": _cylinder, "pump": _pump, "motor": _motor}.get(part.kind.word)
    return write(case, part, claim.what, state) if write else ""


def _whole(case: Case, claim: Claim, point: OperatingPoint) -> str:
    if claim.subject or claim.what != "heat":
        return ""
    brought, useful = point.totals.input, point.totals.useful
    if abs(useful) < 1e-6 * abs(brought):
        return "all the power that is brought in"
    return f"power in {case.power(brought)} - useful power {case.power(useful)}"


def area_text(area: float) -> str:
    """Give an area of a piston [m2] in cm2."""
    return f"{area * 1e4:.1f} cm2"


def pushed_side(state: PartState) -> tuple[str, int]:
    """Chamber that fills, by the solved flows, and its place in `areas`."""
    rod = state.ports.get("rod")
    fills_rod = rod is not None and rod.flow > 0.0 and state.values["speed"] < 0.0
    return ("rod", 1) if fills_rod else ("cap", 0)


def _cylinder(case: Case, part: Part, what: str, state: PartState) -> str:
    side, index = pushed_side(state)
    if side not in state.ports:
        return ""
    area = areas(part)[index]
    flow = abs(state.ports[side].flow)
    if what == "speed" and area:
        return f"{case.flow(flow)} on the {side} area {area_text(area)}"
    if what == "force":
        cap, rod = areas(part)
        back = ""
        if "rod" in state.ports and rod:
            back = f" - {case.bar(state.ports['rod'].pressure)} x {area_text(rod)}"
        share = part.figure("efficiency")
        friction = "" if share is None else f", friction {100 * (1 - share):.0f} %"
        return f"{case.bar(state.ports['cap'].pressure)} x {area_text(cap)}{back}{friction}"
    if what == "time" and state.values["speed"]:
        return f"way of the step at {case.show(abs(state.values['speed']), 'speed')}"
    return ""


def _pump(case: Case, part: Part, what: str, state: PartState) -> str:
    values = state.values
    if what == "flow":
        size = case.show(part.figure("displacement") or 0.0, "displacement")
        share = case.show(values["stroke"], "share")
        return (
            f"{size} x {case.show(values['speed'], 'rotation')} at {share} stroke, less slip "
            f"at {case.bar(values['pressure'])}"
        )
    if what in ("power", "shaft power"):
        lift = case.bar(values["pressure"] - values["inlet pressure"])
        return (
            f"{lift} x {case.flow(values['flow'])} / efficiency "
            f"{case.show(values['efficiency'], 'share')}"
        )
    return ""


def _motor(case: Case, part: Part, what: str, state: PartState) -> str:
    size = case.show(part.figure("displacement") or 0.0, "displacement")
    if what == "speed":
        return f"{case.flow(state.values['flow'])} / {size}, less slip"
    if what == "torque":
        return f"{case.bar(state.values['drop'])} x {size} / 2 pi, less friction"
    return ""
