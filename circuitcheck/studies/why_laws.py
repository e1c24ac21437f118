"""The law of a passage with its figures: flow by drop, drop by flow, opening by pressures.

Openings are told by what they pass at 1 bar; leakages by what they pass at 100 bar. Each
formula comes to what the element passes at the operating point, to all digits.
"""

from __future__ import annotations

import math

from circuitcheck.laws._law import BAR
from circuitcheck.laws.machines import NEVER
from circuitcheck.laws.passages import LAMINAR_START
from circuitcheck.studies.why_formula import Formula, Term
from circuitcheck.studies.why_network import Branch, Network

AT_ONE, AT_HUNDRED = BAR, 100.0 * BAR
CURVED = 1e-3
"""Share by which a flow must be off the plain root before the start of the curve is told."""

ONE_BAR = Term("p1", AT_ONE, "pressure", "for comparison")
HUNDRED_BAR = Term("p100", AT_HUNDRED, "pressure", "for comparison")


def drop(net: Network, branch: Branch) -> float:
    """Give the drop over a passage from its first to its second terminal, height taken off."""
    lift = branch.figure("head") if branch.word == "pipe" else 0.0
    return float(net.x[branch.ends[0]] - net.x[branch.ends[1]]) - lift


def flow_by_drop(net: Network, branch: Branch) -> Formula | None:
    """Give the flow of a passage by its drop, both counted the way the oil runs."""
    q, dp = abs(branch.values["flow"]), abs(drop(net, branch))
    if q == 0.0 or dp == 0.0:
        return None
    fall = Term("dp", dp, "pressure", "drop over it")
    k, leak = _opening(branch), _leak(branch)
    through = q - leak * dp
    if k <= 0.0 or abs(through) < 1e-9 * q:
        passed = Term("L", q / dp * AT_HUNDRED, "flow", "its leakage at 100 bar")
        return Formula("Q", "flow", "L * dp / p100", (passed, fall, HUNDRED_BAR))
    plain = k * math.sqrt(dp)
    at_one = Term("Q1", k * math.sqrt(AT_ONE), "flow", "what its opening passes at 1 bar")
    right, terms = "Q1 * root(dp / p1)", [at_one, fall, ONE_BAR]
    if abs(through / plain - 1.0) > CURVED:
        right += " * c"
        terms.append(Term("c", through / plain, "ratio", "viscous at so small a drop"))
    else:
        # the rounding of the curve is below what is shown; the opening takes it up
        terms[0] = Term("Q1", through / math.sqrt(dp / AT_ONE), "flow", at_one.text)
    if leak * dp > CURVED * q:
        right += " + L * dp / p100"
        terms += [Term("L", leak * AT_HUNDRED, "flow", "its leakage at 100 bar"), HUNDRED_BAR]
    else:
        terms[0] = Term("Q1", terms[0].value * q / through, "flow", at_one.text)
    return Formula("Q", "flow", right, tuple(terms))


def _opening(branch: Branch) -> float:
    if branch.word == "modulated":
        return branch.figure("k") * branch.values["opening"]
    return branch.figure("k") if branch.word in ("orifice", "hole") else 0.0


def _leak(branch: Branch) -> float:
    return branch.figure("leak") if branch.word in ("orifice", "modulated") else 0.0


def drop_by_flow(net: Network, branch: Branch) -> Formula | None:
    """Give the drop of a passage by its flow."""
    q, dp = abs(branch.values["flow"]), abs(drop(net, branch))
    if q == 0.0 or dp == 0.0:
        return None
    if branch.word == "pipe":
        return _pipe(branch, q, dp)
    flow = Term("Q", q, "flow", "flow through it")
    if branch.word == "resistor":
        steady, rough = branch.figure("r1") * q, branch.figure("r2") * q * q
        parts = (
            Term("d1", steady, "pressure", "viscous part, in proportion to the flow"),
            Term("d2", rough, "pressure", "turbulent part, with its square"),
        )
        return Formula("dp", "pressure", "d1 + d2", parts)
    through = q - _leak(branch) * dp
    if _opening(branch) > 0.0 and dp > LAMINAR_START and abs(through / q - 1.0) < CURVED:
        at_one = Term("Q1", q / math.sqrt(dp / AT_ONE), "flow", "what its opening passes at 1 bar")
        return Formula("dp", "pressure", "p1 * (Q / Q1) * (Q / Q1)", (ONE_BAR, flow, at_one))
    if branch.word == "gap" or _opening(branch) <= 0.0:
        passed = Term("L", q / dp * AT_HUNDRED, "flow", "what it passes at 100 bar")
        return Formula("dp", "pressure", "p100 * Q / L", (HUNDRED_BAR, flow, passed))
    return None


def _pipe(branch: Branch, q: float, dp: float) -> Formula:
    bore, length = branch.figure("d"), branch.figure("length")
    speed = q / (math.pi / 4.0 * bore**2)
    rho, minor = branch.figure("rho"), branch.figure("minor")
    re = abs(branch.values["reynolds"])
    kind = "laminar" if re < 2300.0 else "turbulent"
    head = 0.5 * rho * speed**2
    friction = (dp / head - minor) * bore / length
    terms = [
        Term("f", friction, "ratio", f"friction factor, {kind}"),
        Term("l", length, "length", "length"),
        Term("d", bore, "length", "bore"),
    ]
    right = "f * l / d"
    if minor > 0.0:
        right = f"({right} + z)"
        terms.append(Term("z", minor, "ratio", "bends and fittings"))
    terms += [
        Term("rho", rho, "density", "density"),
        Term("v", speed, "speed", "oil speed, flow over the area of the bore"),
    ]
    return Formula("dp", "pressure", f"{right} * rho / 2 * v * v", tuple(terms))


def piloted_pressure(
    net: Network, branch: Branch, junction: int, names: dict[int, str]
) -> Formula | None:
    """Give a pressure by the part-open valve that answers to it.

    ``junction`` is one that the valve's spool feels; ``names`` gives the letters of the others
    and what they are.
    """
    weights = _weights(branch)
    own = weights.get(junction, 0.0)
    if own == 0.0:
        return None
    band, offset = branch.figure("band"), branch.figure("offset")
    felt = offset + sum(w * float(net.x[at]) for at, w in weights.items())
    # own p = felt - offset - the others; felt is what the spring gives way by
    share = f"{100.0 * min(max(felt / band, 0.0), 1.0):.0f} %"
    texts = ("where it begins to open", f"more, which opens it by {share}") if own > 0.0 else (
        ("where it is shut", f"less, which opens it by {share}")
    )  # fmt: skip
    terms = [Term("s", abs(offset / own), "pressure", texts[0])]
    right = "s" if -offset / own >= 0.0 else "-s"
    terms.append(Term("r", abs(felt / own), "pressure", texts[1]))
    right += " + r" if felt / own >= 0.0 else " - r"
    for n, (at, weight) in enumerate(sorted(weights.items())):
        area, pressure = -weight / own, float(net.x[at])
        if at == junction or abs(area * pressure) < 1.0:
            continue
        letter = f"p{chr(97 + n)}"
        terms.append(Term(letter, pressure, "pressure", names.get(at, "")))
        times = "" if abs(abs(area) - 1.0) < 1e-12 else f" * k{n}"
        if times:
            terms.append(Term(f"k{n}", abs(area), "ratio", "area on which it works, by that of p"))
        right += f" {'+' if area > 0.0 else '-'} {letter}{times}"
    return Formula("p", "pressure", right, tuple(terms))


def _weights(branch: Branch) -> dict[int, float]:
    """How much of each pressure the spool of a modulated opening feels, by junction."""
    found: dict[int, float] = {}
    for i, end in enumerate(branch.ends):
        found[end] = found.get(end, 0.0) + branch.figure(f"c{i}")
    return {end: weight for end, weight in found.items() if weight}


def felt(branch: Branch) -> dict[int, float]:
    """Give the junctions that a part-open valve answers to, with the weight of each."""
    opening = branch.values.get("opening", 0.0)
    if branch.word != "modulated" or not 0.0 < opening < 1.0 or branch.figure("k") <= 0.0:
        return {}
    return _weights(branch)


def keeps_difference(feels: dict[int, float]) -> bool:
    """Whether a spool feels pressures against each other, as that of a compensator does."""
    return min(feels.values(), default=0.0) < 0.0 < max(feels.values(), default=0.0)


def controls(net: Network, branch: Branch) -> dict[str, Formula]:
    """Give what each fitted control of a rotary unit makes of its stroke, by coefficient."""
    p_out, p_in, p_x = (float(net.x[end]) for end in branch.ends[:3])
    found: dict[str, Formula] = {}
    if branch.figure("cutoff") < NEVER and not (branch.figure("either") and p_in > p_out):
        found["cutoff"] = Formula(
            "u", "share", "(c - p) / b",
            (Term("c", branch.figure("cutoff"), "pressure", "cut-off, where its stroke is none"),
             Term("p", p_out, "pressure", "at its outlet"),
             Term("b", branch.figure("cutoff_band"), "pressure", "over which it destrokes")),
        )  # fmt: skip
    if branch.figure("margin") < NEVER:
        found["margin"] = Formula(
            "u", "share", "(m - p + px) / b",
            (Term("m", branch.figure("margin"), "pressure", "margin, where its stroke is none"),
             Term("p", p_out, "pressure", "at its outlet"),
             Term("px", p_x, "pressure", "load signal at X"),
             Term("b", branch.figure("margin_band"), "pressure", "over which it destrokes")),
        )  # fmt: skip
    if (
        branch.figure("torque") < 1e12
        and not branch.figure("deviation")
        and (not branch.figure("cross") and p_out > p_in)
    ):
        found["torque"] = Formula(
            "u", "share", "2 * pi * M / (D * dp)",
            (Term("M", branch.figure("torque"), "torque", "torque that its control allows"),
             Term("D", branch.figure("full") * math.tau, "displacement", "full displacement"),
             Term("dp", p_out - p_in, "pressure", "outlet over inlet")),
        )  # fmt: skip
    return found
