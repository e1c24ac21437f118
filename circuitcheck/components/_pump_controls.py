"""Controls of variable pumps: what each asks for, alone and together, and their figures."""

from __future__ import annotations

import numpy as np

from circuitcheck.components._losses import per_radian
from circuitcheck.components._parts import Choice, Parameter, Part, Partnership
from circuitcheck.laws._law import BAR
from circuitcheck.laws.net import Net, Value
from circuitcheck.laws.smoothing import Array
from circuitcheck.laws.view import View

LOOP = "closed loop"
REMOTE = "remote pressure"
ELECTRIC = "electric displacement"
VARIABLE = ("pressure compensated", "load sensing", REMOTE, ELECTRIC, "variable", LOOP)
DIFFERENCE = ("load sensing", REMOTE)
"""Controls that hold the outlet a spring over the pressure at X."""

SPRINGS = "two-spring torque limit"
SUM = "power sum"
CENTRED = "charge centred"
LIMITS = ("torque limit", "power limit")

CHOICES = (
    Choice("control", ("fixed", *VARIABLE), default="fixed"),
    Choice("directions", ("one way", "both ways")),
    Choice("torque control", (SPRINGS,)),
    Choice("summation", (SUM,)),
    Choice("centring", (CENTRED,)),
)

PARAMETERS = (
    Parameter("margin", "pressure", "bar", "outlet over X at no flow", least=1.0),
    Parameter("margin band", "pressure", "bar", "full to no stroke", least=1e3),
    Parameter(
        "compensator",
        "pressure",
        "bar",
        "pressure cut-off, at no flow",
        least=1.0,
        source="setting = dead-head pressure; the pump begins to destroke a band below",
    ),
    Parameter("compensator band", "pressure", "bar", "full to no stroke", least=1e3),
    Parameter("torque limit", "torque", "Nm", "torque at which the pump destrokes", least=0.1),
    Parameter("power limit", "power", "kW", "power at which the pump destrokes", least=1.0),
    Parameter(
        "spring deviation",
        "share",
        "%",
        "how far the two springs stay under the torque limit",
        least=0.001,
        most=0.3,
    ),
    Parameter(
        "partner displacement",
        "displacement",
        "cc/rev",
        "of the pump at Z with which the torque is shared, where it is not named",
        least=1e-9,
        most=1e-2,
    ),
    Parameter(
        "charge begin", "pressure", "bar", "charge pressure that begins to stroke", least=1.0
    ),
    Parameter("charge band", "pressure", "bar", "from no stroke to full stroke", least=1e3),
    Parameter(
        "hysteresis",
        "share",
        "%",
        "difference of stroke between coming up and going down",
        default=0.0,
        least=0.0,
        most=0.3,
        source="none unless given; 3 to 5 % is usual, common practice, no source",
    ),
    Parameter(
        "control oil",
        "flow",
        "L/min",
        "oil that the control takes from P and gives to L",
        least=0.0,
        at=Parameter(
            "control oil pressure",
            "pressure",
            "bar",
            "pressure of that flow",
            default=200 * BAR,
            least=1.0,
        ),
    ),
)


def is_variable(part: Part) -> bool:
    return part.choices.get("control", "fixed") in VARIABLE


def is_loop(part: Part) -> bool:
    """Whether the pump works in a closed loop, with A and B in place of P and S."""
    return part.choices.get("control") == LOOP


def assumes(part: Part) -> dict[str, tuple[float, str]]:
    """Bands and springs of the controls that the pump has."""
    found: dict[str, tuple[float, str]] = {}
    practice = "common practice, no source"
    if part.choices.get("control") in DIFFERENCE:
        found["margin"] = (20.0 * BAR, f"14 to 30 bar is usual; {practice}")
        found["margin band"] = (3.0 * BAR, practice)
    if part.figure("compensator") is not None:
        found["compensator band"] = (
            7.0 * BAR,
            "US Army TM 5-3805-291-23-1: override from 700 kPa below 21 000 kPa",
        )
    if part.says(SPRINGS):
        found["spring deviation"] = (0.05, practice)
    if part.says(CENTRED):
        found["charge begin"] = (6.0 * BAR, practice)
        found["charge band"] = (8.0 * BAR, practice)
    return found


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    """Controls that belong together, or that this pump cannot have."""
    found: list[tuple[str, str, str]] = []
    limited = part.given("torque limit") or part.given("power limit")
    for phrase in (SPRINGS, SUM):
        if part.says(phrase) and not limited and part.partner is None:
            message = f"{part.name} has '{phrase}', but no torque or power limit"
            found.append(("control", message, "add, for example:  torque limit 150 Nm"))
    own = part.given("partner displacement")
    if part.says(SUM) and part.partner is None and not own:
        message = f"{part.name} shares its torque with another pump, but with which?"
        found.append(("control", message, "name it, for example:  power sum with P2"))
    if part.partner is not None and own:
        message = f"the displacement of {part.partner} stands there already"
        found.append(("partner displacement", message, "take this away"))
    if part.says(CENTRED) and not is_loop(part):
        message = f"{part.name} is centred by charge pressure, but is no closed loop pump"
        found.append(("control", message, "write:  closed loop, charge centred"))
    if part.says("both ways") and part.choices.get("control") in DIFFERENCE:
        message = f"a {part.choices['control']} pump does not go over centre"
        found.append(("control", message, "take 'both ways' away"))
    names = ("margin", "compensator", "torque limit", "power limit", "control oil")
    for name in names if not is_variable(part) else ():
        if part.given(name):
            message = f"{part.name} is a fixed pump; '{name}' is of variable ones"
            found.append((name, message, "write  variable  or take it away"))
    return found


def _no_partners(part: Part, other: Part) -> list[tuple[str, str]]:
    """Why two pumps cannot share one torque."""
    for one in (part, other):
        if not is_variable(one):
            return [(f"{one.name} is a fixed pump: it cannot give way", "write  variable")]
        if is_loop(one):
            return [(f"{one.name} is a closed loop pump, of two high sides", "take it away")]
    if part.driven_by != other.driven_by or part.figure("speed") != other.figure("speed"):
        return [(f"{part.name} and {other.name} are not on one shaft", "drive both by one part")]
    if not any(one.given(name) for one in (part, other) for name in LIMITS):
        message = f"{part.name} and {other.name} share a torque, but how much?"
        return [(message, "add, for example:  torque limit 150 Nm")]
    return []


PARTNERSHIP = Partnership(
    phrase=SUM,
    port="Z",
    to="P",
    alike=LIMITS,
    seen={"partner displacement": "displacement"},
    mistakes=_no_partners,
)


def command(part: Part, of: Net | View) -> Array:
    """Ordered stroke; full where a step says none, none in a closed loop.

    A pump that does not go both ways stays at no stroke where less is ordered; its state
    says so.
    """
    ordered = of.order_of("at", 0.0 if is_loop(part) else 1.0)
    return ordered if part.says("both ways") else np.maximum(ordered, 0.0)


def torque(of: Net | View) -> Array | None:
    """Torque limit [N m], the lower of torque limit and power limit at the rated speed."""
    limit, power = of.value_of("torque limit"), of.value_of("power limit")
    if power is not None:
        per_speed = np.asarray(power) / np.asarray(of.value("speed"))
        limit = per_speed if limit is None else np.minimum(limit, per_speed)
    return None if limit is None else np.asarray(limit)


def controls(part: Part, net: Net) -> dict[str, Value]:
    """Coefficients of the controls that the part has."""
    found: dict[str, Value] = {"command": command(part, net)}
    if not is_variable(part):
        return found
    cutoff = net.value_of("compensator")
    if cutoff is not None:
        found["cutoff"], found["cutoff_band"] = cutoff, net.value("compensator band")
    if is_loop(part) or part.says("both ways"):
        found["either"] = 1.0
    if part.choices["control"] in DIFFERENCE:
        found["margin"], found["margin_band"] = net.value("margin"), net.value("margin band")
    if part.says(CENTRED):
        found["begin"], found["begin_band"] = net.value("charge begin"), net.value("charge band")
    limit = torque(net)
    if limit is not None:
        found["torque"] = limit
        if part.says(SUM):
            found["cross"] = per_radian(net.value("partner displacement"))
        if part.says(SPRINGS):
            found["deviation"] = net.value("spring deviation")
    return found


def asked(part: Part, view: View, out: Array, inlet: Array) -> dict[str, Array]:
    """Stroke fraction that each fitted control asks for, by its trade word."""
    found: dict[str, Array] = {}
    high = np.maximum(out, inlet)
    sensed = view.p("X") if "X" in view.pressures else inlet
    cutoff = view.value_of("compensator")
    if cutoff is not None and is_variable(part):
        found["on cut-off"] = (cutoff - high) / view.value("compensator band")
    if part.choices.get("control") in DIFFERENCE:
        word = "on margin" if part.choices["control"] == "load sensing" else "on remote pressure"
        found[word] = (view.value("margin") - out + sensed) / view.value("margin band")
    if part.says(CENTRED):
        found["short of charge"] = (sensed - view.value("charge begin")) / view.value("charge band")
    limit = torque(view)
    if limit is not None and is_variable(part):
        full = per_radian(view.value("displacement"))
        load = full * np.maximum(np.abs(out - inlet), BAR)
        if part.says(SUM):
            other = per_radian(view.value("partner displacement"))
            load = load + other * np.maximum(view.p("Z"), 0.0)
        found["on torque limit"] = limit / load
    found["at command"] = np.abs(command(part, view))
    return found
