"""Where torque, power and heat come from."""

from __future__ import annotations

import math

import numpy as np

from circuitcheck.circuit.subjects import Subject
from circuitcheck.studies.why_formula import Formula, Term
from circuitcheck.studies.why_network import UNITS, Branch
from circuitcheck.studies.why_trail import Reason
from circuitcheck.studies.why_walk import Walk


def torque(trail: Walk, unit: Branch, said: str, value: float) -> Reason:
    """Torque of a pump or motor: pressure on the displacement, with the friction."""
    net = trail.net
    dp = float(net.x[unit.ends[0]] - net.x[unit.ends[1]])
    full, stroke = unit.figure("full") * math.tau, unit.values["stroke"]
    ideal = unit.figure("full") * stroke * dp
    lost = abs(value) - abs(ideal)
    terms = [
        Term("D", full, "displacement", "displacement"),
        Term("dp", abs(dp), "pressure", "difference of its two sides"),
    ]
    right = "D * dp"
    if abs(abs(stroke) - 1.0) > 1e-9:
        terms.append(Term("u", abs(stroke), "share", "its stroke"))
        right += " * u"
    terms.append(Term("R", abs(lost), "torque", "friction and drag"))
    right = f"{right} / (2 * pi) {'+' if lost >= 0.0 else '-'} R"
    right = f"-({right})" if value < 0.0 else right
    ends = sorted(unit.ends[:2], key=lambda end: -net.x[end])
    formula = Formula("T", "torque", right, tuple(terms))
    return Reason(said, value, "torque", "pressure on the displacement, with the friction",
                  formula, (trail.pressure(ends[0]),))  # fmt: skip


def drive_torque(trail: Walk, owner: int, said: str, value: float) -> Reason:
    """The torque of a drive: what all that hangs on its shaft takes."""
    loads = [b for b in trail.net.at.get(owner, []) if b.word != "slip" and b.into(owner)]
    terms = tuple(
        Term(f"M{i}", -b.into(owner), "torque", f"torque of {b.part}")
        for i, b in enumerate(loads, 1)
    )
    text = "what hangs on its shaft asks for it"
    formula = Formula("M", "torque", " + ".join(t.letter for t in terms), terms) if terms else None
    if formula is None or not math.isclose(formula.value, value, rel_tol=1e-6, abs_tol=1e-9):
        return Reason(said, value, "torque", text)  # more than its shaft hangs on it
    causes = tuple(
        torque(trail, b, f"{b.part} torque", b.values["torque"]) for b in loads if b.word in UNITS
    )
    return Reason(said, value, "torque", text, formula, causes)


def power(
    trail: Walk, part: str, said: str, value: float, values: dict[str, float]
) -> Reason | None:
    """Power as force x speed or torque x turns, where it comes to that."""
    speed = values.get("speed", 0.0)
    owner = trail.net.owner(trail.circuit.parts[part].driven_by or part)
    for name, left, right in (("force", "F", "F * v"), ("torque", "M", "2 * pi * M * n")):
        if name not in values:
            continue
        letter, quantity = ("v", "speed") if name == "force" else ("n", "rotation")
        terms = (
            Term(left, values[name], name, f"{part} {name}"),
            Term(letter, speed, quantity, f"{part} speed"),
        )
        formula = Formula("P", "power", right, terms)
        if not math.isclose(formula.value, value, rel_tol=1e-6, abs_tol=1e-6):
            continue
        causes: list[Reason] = []
        for branch in trail.net.of(part):
            if name == "force" and branch.word == "piston":
                causes.append(trail.force(branch))
            if name == "torque" and branch.word in UNITS:
                causes.append(torque(trail, branch, f"{part} torque", values[name]))
        if owner is not None and value:
            causes.append(trail.speed(owner))
        words = "force by speed" if name == "force" else "torque by speed of rotation"
        return Reason(said, value, "power", words, formula, tuple(causes))
    return None


def heat(trail: Walk, part: str, said: str, value: float) -> Reason:
    """What goes into a part as oil under pressure or over its shaft and does not come out."""
    net, state = trail.net, trail.point.parts[part]
    terms, signs = list[Term](), list[str]()
    for port, found in state.ports.items():
        if net.port(part, port) is None or math.isnan(found.pressure):
            continue
        power = found.pressure * found.flow
        if abs(power) > 1e-6 * max(abs(value), 1.0):
            way = "in" if found.flow > 0.0 else "out"
            terms.append(Term(f"P{len(terms) + 1}", abs(power), "power",
                              f"with the oil {way} at {port}"))  # fmt: skip
            signs.append("+" if power > 0.0 else "-")
    for end in {e for b in net.of(part) for e in b.ends if not net.is_pressure(e)}:
        given = -sum(b.into(end) for b in net.of(part) if b.word != "load") * float(net.x[end])
        if abs(given) > 1e-6 * max(abs(value), 1.0):
            what = "rod" if net.unknowns[end].kind == "rod" else "shaft"
            way = "taken from" if given > 0.0 else "given to"
            terms.append(Term(f"P{len(terms) + 1}", abs(given), "power", f"{way} the {what}"))
            signs.append("+" if given > 0.0 else "-")
    right = " ".join(f"{s} {t.letter}" for s, t in zip(signs, terms, strict=True))
    right = right[2:] if right.startswith("+") else right.replace("- ", "-", 1)
    formula = Formula("P", "power", right, tuple(terms)) if terms else None
    if formula is None or not math.isclose(formula.value, value, rel_tol=1e-6, abs_tol=1e-9):
        said_so = "by the power account: what its elements take up and do not give on"
        return Reason(said, value, "power", said_so)
    text = "the power that goes in and does not come out: it warms the oil"
    return Reason(said, value, "power", text, formula)


def whole(trail: Walk, subject: Subject, said: str, value: float) -> Reason:
    """Heat, power and time of the whole circuit."""
    point = trail.point
    if subject.what == "time":
        times = {n: s.values["time"] for n, s in point.parts.items() if "time" in s.values}
        known = {n: t for n, t in times.items() if np.isfinite(t)}
        if point.step.duration is not None:
            return Reason(said, value, "time", "the step says how long it lasts")
        if known:
            slowest = max(known, key=lambda name: known[name])
            text = f"the longest way of the step: {slowest}"
            return Reason(said, value, "time", text)
        return Reason(said, value, "time", "the step says no time and no way")
    if subject.what == "power":
        powers = {name: shaft.power for name, shaft in point.shafts.items() if shaft.power}
        text = "what the drives give to their shafts"
    else:
        powers = {name: state.loss for name, state in point.parts.items() if state.loss}
        text = "what all parts lose to the oil, the largest first"
    told = sorted(powers, key=lambda name: -abs(powers[name]))
    terms = [Term(f"P{i}", powers[name], "power", name) for i, name in enumerate(told[:6], 1)]
    rest = value - sum(term.value for term in terms)
    if abs(rest) > 1e-9 * max(abs(value), 1.0):
        terms.append(Term("P", rest, "power", "all others"))
    right = " + ".join(term.letter for term in terms)
    formula = Formula("P", "power", right, tuple(terms)) if terms else None
    return Reason(said, value, "power", text, formula)
