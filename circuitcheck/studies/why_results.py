"""From the name of a result to the walk that explains it."""

from __future__ import annotations

import math

from circuitcheck.circuit.subjects import Subject
from circuitcheck.laws.net import SHAFT
from circuitcheck.studies import why_powers
from circuitcheck.studies.why_formula import Formula, Term
from circuitcheck.studies.why_network import UNITS
from circuitcheck.studies.why_trail import Reason
from circuitcheck.studies.why_walk import Walk

EQUAL = 1e-9


def walk(trail: Walk, subject: Subject, said: str, value: float) -> Reason:
    """Say why a result is what it is; ``said`` is its name, ``value`` in SI."""
    if not subject.name:
        return why_powers.whole(trail, subject, said, value)
    if subject.name not in trail.circuit.parts:
        return trail.pressure(list(trail.circuit.junctions).index(subject.name))
    if subject.port:
        return _at_port(trail, subject, said, value)
    if subject.what == "heat":
        return why_powers.heat(trail, subject.name, said, value)
    return _of_part(trail, subject, said, value)


def _at_port(trail: Walk, subject: Subject, said: str, value: float) -> Reason:
    junction = trail.net.port(subject.name, subject.port)
    if junction is None:
        return Reason(said, value, subject.quantity, "the port is plugged or left open")
    if subject.what == "pressure":
        return trail.pressure(junction)
    return _port_flow(trail, subject.name, subject.port, said, value)


def _port_flow(trail: Walk, part: str, port: str, said: str, value: float) -> Reason:
    junction = trail.net.port(part, port)
    here = [b for b in trail.net.of(part) if port in b.element.ports and b.into_port(port)]
    if junction is None or not here:
        return Reason(said, value, "flow", f"{trail.known_as(part)} lets nothing through here")
    main = max(here, key=lambda b: abs(b.into_port(port)))
    # a named flow may count the other way round than that into the port
    way = -1.0 if sum(b.into_port(port) for b in here) * value < 0.0 else 1.0
    terms = tuple(
        Term(f"Q{i}", way * b.into_port(port), "flow", trail.passage_name(b))
        for i, b in enumerate(here, 1)
    )
    right = " + ".join(t.letter for t in terms)
    formula = Formula("Q", "flow", right, terms) if len(terms) > 1 else None
    if main.word == "piston":
        cause = trail.speed(main.ends[2])
    elif main.passage or main.word in UNITS:
        cause = trail.flow(main)
    else:
        cause = trail.arriving(junction, main)
    way_said = "into" if way * value > 0.0 else "out of"
    return Reason(said, value, "flow", f"it runs {way_said} {part} {port}", formula, (cause,))


def _of_part(trail: Walk, subject: Subject, said: str, value: float) -> Reason:
    part, what = trail.circuit.parts[subject.name], subject.what
    values = trail.point.parts[part.name].values
    turned = part.driven_by or part.name
    owner = trail.net.owner(turned)
    if what == "speed" and owner is not None and value:
        turns = trail.net.unknowns[owner].kind == SHAFT
        if turns and subject.quantity == "speed":
            return _by_turns(trail, part.name, owner, said, value)
    if what == "speed" and owner is not None:
        return trail.speed(owner)
    units = [b for b in trail.net.of(part.name) if b.word in UNITS]
    pistons = [b for b in trail.net.of(part.name) if b.word == "piston"]
    if what == "force" and len(pistons) == 1:
        return trail.force(pistons[0])
    if what == "torque" and len(units) == 1 and _same(abs(units[0].values["torque"]), abs(value)):
        return why_powers.torque(trail, units[0], said, value)
    if what == "torque" and part.kind.drives and owner is not None:
        return why_powers.drive_torque(trail, owner, said, value)
    if what in ("power", "shaft power"):
        made = why_powers.power(trail, part.name, said, value, values)
        if made is not None:
            return made
    if what == "time" and values.get("speed"):
        return _time(trail, part.name, owner, said, value)
    if subject.quantity == "flow":
        like = _flow_like(trail, part.name, value)
        if like is not None:
            return like
    if subject.quantity == "pressure":
        return _pressure_like(trail, part.name, said, value)
    law = "; ".join(part.kind.law_text)
    return Reason(said, value, subject.quantity, f"{trail.known_as(part.name)}. Its law: {law}")


def _by_turns(trail: Walk, part: str, owner: int, said: str, value: float) -> Reason:
    """The speed of a rope or a wheel by the turns of the shaft."""
    turns = float(trail.net.x[owner])
    name = trail.net.unknowns[owner].name
    terms = (
        Term("n", abs(turns), "rotation", f"speed of {name}"),
        Term("s", abs(value / turns) * math.tau, "length", f"way for each turn of {name}"),
    )
    formula = Formula("v", "speed", "n * s" if value > 0.0 else "-n * s", terms)
    law = "; ".join(trail.circuit.parts[part].kind.law_text)
    text = f"{trail.known_as(part)}. Its law: {law}"
    return Reason(said, value, "speed", text, formula, (trail.speed(owner),))


def _same(one: float, other: float) -> bool:
    return math.isclose(one, other, rel_tol=EQUAL, abs_tol=1e-15)


def _time(trail: Walk, part: str, owner: int | None, said: str, value: float) -> Reason:
    speed = abs(trail.point.parts[part].values["speed"])
    orders = trail.point.step.orders.get(part)
    if orders is None or "travels" not in orders.figures or owner is None:
        return Reason(said, value, "time", f"the step says no way of {part}")
    terms = (
        Term("s", orders.figures["travels"].value, "length", "way in this step"),
        Term("v", speed, "speed", f"speed of {part}"),
    )
    formula = Formula("t", "time", "s / v", terms)
    return Reason(said, value, "time", "way by speed", formula, (trail.speed(owner),))


def _flow_like(trail: Walk, part: str, value: float) -> Reason | None:
    """A named flow of a part is that of a unit, of a port or of one of its elements."""
    net, state = trail.net, trail.point.parts[part]
    units = [b for b in net.of(part) if b.word in UNITS]
    for port, found in state.ports.items():
        junction = net.port(part, port)
        if junction is not None and value and _same(abs(found.flow), abs(value)):
            pumping = [b for b in units if junction in b.ends[:2] and b.into(junction) > 0.0]
            if pumping:
                return trail.flow_of_unit(pumping[0], junction)
            return _port_flow(trail, part, port, f"{part} flow", value)
    for branch in net.of(part):
        if branch.passage and _same(abs(branch.values["flow"]), abs(value)):
            return trail.flow(branch)
    return None


def _pressure_like(trail: Walk, part: str, said: str, value: float) -> Reason:
    """A named pressure is that of a port, or the difference of two."""
    net, state = trail.net, trail.point.parts[part]
    known = {p: s.pressure for p, s in state.ports.items() if net.port(part, p) is not None}
    for port, pressure in known.items():
        junction = net.port(part, port)
        if junction is not None and _same(pressure, value):
            return trail.pressure(junction)
    for a, high in known.items():
        for b, low in known.items():
            if a != b and math.isclose(high - low, value, rel_tol=1e-9, abs_tol=1e-3):
                return _difference(trail, part, (a, b), said, value)
    law = "; ".join(trail.circuit.parts[part].kind.law_text)
    return Reason(said, value, "pressure", f"{trail.known_as(part)}. Its law: {law}")


def _difference(trail: Walk, part: str, ports: tuple[str, str], said: str, value: float) -> Reason:
    ends = [trail.net.port(part, port) for port in ports]
    first, second = (end for end in ends if end is not None)
    terms = (
        Term("p1", float(trail.net.x[first]), "pressure", f"pressure at {part} {ports[0]}"),
        Term("p2", float(trail.net.x[second]), "pressure", f"pressure at {part} {ports[1]}"),
    )
    causes = tuple(trail.pressure(end) for end in (first, second) if not trail.net.pinned[end])
    formula = Formula("dp", "pressure", "p1 - p2", terms)
    return Reason(said, value, "pressure", "one side less the other", formula, causes)
