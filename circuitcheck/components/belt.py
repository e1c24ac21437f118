"""Belt drive: two pulleys; slips a little and loses a little."""

from __future__ import annotations

import numpy as np

from circuitcheck.components import _transmission
from circuitcheck.components._drives import SHAFT_SCALE
from circuitcheck.components._parts import Kind, Parameter, Part, fixed_ports
from circuitcheck.laws.net import Net

AGREE = 0.01
"""Share by which a ratio and its pulleys may differ, by rounding; own choice."""


def _of_pulleys(part: Part) -> float | None:
    """Ratio of the pulleys, creep of the belt included; None unless both are given."""
    driving, driven = part.figure("driving pulley"), part.figure("driven pulley")
    if driving is None or driven is None:
        return None
    return driven / driving / (1.0 - (part.figure("creep") or 0.0))


def assumes(part: Part) -> dict[str, tuple[float, str]]:
    ratio = _of_pulleys(part)
    if part.given("ratio") or ratio is None:
        return {}
    return {"ratio": (ratio, "driven over driving pulley, with the creep of the belt")}


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    ratio, pulleys = part.figure("ratio"), _of_pulleys(part)
    if ratio is None:
        message = f"{part.name} needs 'ratio', or the diameters of both pulleys"
        remedy = "write, for example:  driving pulley 112 mm, driven pulley 180 mm"
        return [("ratio", message, remedy)]
    for one, other in (("driving pulley", "driven pulley"), ("driven pulley", "driving pulley")):
        if part.given(one) and not part.given(other):
            message = f"a {one} alone says nothing of {part.name}"
            return [(one, message, f"give the {other}, too, or take this one away")]
    if pulleys is not None and abs(ratio - pulleys) > AGREE * pulleys:
        message = f"the pulleys of {part.name} have a ratio of {pulleys:.4g}, not {ratio:.4g}"
        return [("ratio", message, "take away the ratio or the pulleys")]
    return []


def equations(part: Part, net: Net) -> None:
    if not part.driven_by:
        return
    first, second = net.shaft(SHAFT_SCALE), net.own_shaft(SHAFT_SCALE)
    efficiency = np.asarray(net.value("efficiency"))
    net.gear("coupling", first, second, net.value("ratio"), efficiency)


KINDS = (
    Kind(
        word="belt",
        other_words=("belt drive",),
        text="Belt between a drive and what it turns.",
        ports=fixed_ports(),
        parameters=(
            Parameter("ratio", "ratio", "", "input turns an output turn", least=1e-2, most=1e2),
            Parameter(
                "driving pulley", "length", "mm", "effective diameter", least=1e-3, most=10.0
            ),
            Parameter("driven pulley", "length", "mm", "effective diameter", least=1e-3, most=10.0),
            Parameter(
                "creep",
                "share",
                "%",
                "speed lost by the stretch of the belt, under load",
                default=0.0,
                least=0.0,
                most=0.2,
                source="none unless given; 1 to 2 % is usual, common practice, no source",
            ),
            Parameter(
                "efficiency",
                "share",
                "%",
                "torque out over torque in, times the ratio",
                default=0.95,
                least=0.05,
                most=1.0,
                source="95 %; common practice, no source",
            ),
            _transmission.SHAFT_LIMIT,
        ),
        driven=True,
        drives=True,
        assumes=assumes,
        mistakes=mistakes,
        equations=equations,
        results=_transmission.results,
        state=_transmission.state,
        measures=_transmission.MEASURES,
        law_text=(
            "w2 = w1/ratio",
            "M2 = M1 ratio x efficiency where M1 drives, M1 = M2/ratio x efficiency where "
            "M2 drives",
        ),
        sources=("w2 = w1/i, M2 = M1 i eta; textbook form, from memory",),
    ),
)
