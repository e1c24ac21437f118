"""Telescopic cylinder: stages that come out one after the other, the widest first."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from circuitcheck.components import _rod_loads
from circuitcheck.components._common import circle, pressure_data
from circuitcheck.components._parts import (
    Choice,
    Figures,
    Kind,
    Parameter,
    Part,
    Port,
    PortKind,
    Result,
)
from circuitcheck.components._trade import BELOW, CRITICAL, NEAR_PEOPLE
from circuitcheck.components.cylinder import VISCOUS
from circuitcheck.laws.machines import FASTEST_ROD, STILL_ROD
from circuitcheck.laws.net import Bools, Net
from circuitcheck.laws.smoothing import Array
from circuitcheck.laws.view import View

ORDER = ("first", "second", "third", "fourth", "fifth", "sixth")


def is_double(part: Part) -> bool:
    return part.says("double acting")


def ports(part: Part) -> tuple[Port, ...]:
    cap = Port("cap", PortKind.WORK, "pushes out")
    return (cap, Port("rod", PortKind.WORK, "pulls in")) if is_double(part) else (cap,)


def stages(part: Part) -> list[str]:
    """Stages that the text gives, widest first."""
    return [order for order in ORDER if f"{order} stage" in part.figures]


def ends(part: Part, view: Net | View) -> list[Array]:
    """Places of the whole rod at which each stage is fully out [m]."""
    names, stroke = stages(part), np.asarray(view.value("stroke"), dtype=float)
    ways = [view.value_of(f"{order} stroke") for order in names]
    found, sum_of = [], np.zeros(())
    for way in ways:
        sum_of = sum_of + (stroke / len(names) if way is None else np.asarray(way))
        found.append(sum_of)
    return found


def moving_stage(part: Part, view: Net | View) -> list[Bools]:
    """Where each stage is the one that moves.

    Going out the widest that is not yet out moves, since it needs the least pressure;
    going in the narrowest that is out gives way first. Both are the stage in which the
    place of the rod lies.
    """
    place, reached = _rod_loads.place(view), ends(part, view)
    found, before = [], np.zeros(view.variants, dtype=bool)
    for i, end in enumerate(reached):
        within = (place < end) if i + 1 < len(reached) else np.ones_like(before)
        found.append(within & ~before)
        before = before | within
    return found


def areas(part: Part, view: Net | View) -> tuple[Array, Array]:
    """Area that pushes the moving stage out, and that which pulls it in [m2]."""
    out, back = np.zeros(view.variants), np.zeros(view.variants)
    for order, moves in zip(stages(part), moving_stage(part, view), strict=True):
        area = circle(view.value(f"{order} stage"))
        out = np.where(moves, area, out)
        if is_double(part):
            ring = area - circle(view.value(f"{order} rod"))
            back = np.where(moves, ring, back)
    return out, back


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    found = []
    names = stages(part)
    if names != list(ORDER[: len(names)]):
        missing = next(order for order in ORDER if order not in names)
        message = f"{part.name} has a {names[-1]} stage, but no {missing} one"
        found.append((f"{names[-1]} stage", message, "stages are counted from the widest"))
    for wide, narrow in pairwise(names):
        one, two = part.figures[f"{wide} stage"], part.figures[f"{narrow} stage"]
        if two.value >= one.value:
            message = f"the {narrow} stage ({two.text}) does not fit into the {wide} ({one.text})"
            found.append((f"{narrow} stage", message, "each stage is narrower than that before"))
    for order in ORDER:
        for what in ("rod", "stroke"):
            if part.given(f"{order} {what}") and order not in names:
                message = f"{part.name} has a {order} {what}, but no {order} stage"
                found.append((f"{order} {what}", message, f"give '{order} stage', or leave it out"))
        if part.given(f"{order} rod") and order in names and not is_double(part):
            message = f"the {order} rod of {part.name} says nothing: it is single acting"
            found.append((f"{order} rod", message, "leave it out, or write: double acting"))
    for order in names if is_double(part) else ():
        rod, bore = part.figures.get(f"{order} rod"), part.figures[f"{order} stage"]
        if rod is None:
            message = f"the {order} stage of {part.name} (double acting) needs '{order} rod'"
            found.append((f"{order} rod", message, "the outer diameter of what moves out of it"))
        elif rod.value >= bore.value:
            message = f"the {order} rod ({rod.text}) is not smaller than its stage ({bore.text})"
            found.append((f"{order} rod", message, "the ring between the two pulls it in"))
    ways = [part.figures.get(f"{order} stroke") for order in names]
    given = [way.value for way in ways if way is not None]
    stroke = part.figures.get("stroke")
    if given and len(given) < len(names):
        message = f"{part.name} gives the stroke of some stages, not of all"
        found.append(("stroke", message, "give all, or none: they then share the stroke evenly"))
    elif given and stroke and abs(sum(given) - stroke.value) > 1e-3 * stroke.value:
        message = f"the stages of {part.name} come out {sum(given) * 1e3:g} mm in all, its stroke "
        found.append(("stroke", f"{message}is {stroke.text}", "the stroke is the sum of them"))
    start = part.figures.get("at start")
    if stroke and start and start.value > stroke.value:
        message = f"{part.name} cannot start at {start.text}; its stroke is {stroke.text}"
        found.append(("at start", message, "it counts from rod in"))
    return found + _rod_loads.mistakes(part)


def equations(part: Part, net: Net) -> None:
    out, back = areas(part, net)
    speed = net.rod(float(np.max(out)))
    rod = "rod" if is_double(part) else None
    net.piston(
        "piston",
        "cap",
        rod,
        speed,
        cap_area=out,
        rod_area=back,
        share=1.0 - np.asarray(net.value("efficiency")),
        viscous=VISCOUS * out,
    )
    _rod_loads.apply(part, net, speed)
    net.void("void cap", "cap", FASTEST_ROD * out)
    if rod is not None:
        net.void("void rod", "rod", FASTEST_ROD * out)
    net.pin(speed, 0.0, net.said("at end stop"))


def results(part: Part, view: View) -> dict[str, Figures]:
    speed = view.speed_of(part.name)
    still = np.abs(speed) <= 2.0 * STILL_ROD
    force = view.element("piston", "force")
    travel = view.order_of("travels", np.nan)
    with np.errstate(divide="ignore", invalid="ignore"):
        time = np.where(still, np.nan, travel / np.abs(speed))
    number = sum((i + 1.0) * moves for i, moves in enumerate(moving_stage(part, view)))
    return {
        "speed": np.where(still, 0.0, speed),
        "force": force,
        "power": force * speed,
        "time": time,
        "flow": np.abs(view.q("cap")),
        "place": _rod_loads.place(view),
        "stage": np.asarray(number),
        "area": areas(part, view)[0],
    }


def assumes(part: Part) -> dict[str, tuple[float, str]]:
    return {"at start": _rod_loads.ROD_IN}


def state(part: Part, view: View) -> list[str]:
    speed = view.speed_of(part.name)
    stopped = view.pinned(part.name)
    empty = (view.element("void cap") > 0.0) | (view.element("void rod") > 0.0)
    moving, force = moving_stage(part, view), view.element("piston", "force")

    def word(i: int) -> str:
        if stopped[i]:
            return "at end stop"
        if abs(speed[i]) <= 2.0 * STILL_ROD:
            return "held"
        if empty[i]:
            return _rod_loads.goes_empty(force[i], speed[i])
        stage = next(o for o, moves in zip(stages(part), moving, strict=True) if moves[i])
        return f"{stage} stage moving {'out' if speed[i] > 0.0 else 'in'}"

    return view.words(word)


KINDS = (
    Kind(
        word="telescopic cylinder",
        text="Telescopic cylinder. Going out the widest stage moves first, going in the narrowest. "
        "A step is computed with the stage in which its middle lies: divide a way that passes "
        "from one stage to the next into steps.",
        ports=ports,
        parameters=(
            *(
                Parameter(
                    f"{order} stage",
                    "length",
                    "mm",
                    f"diameter on which oil pushes the {order} stage out",
                    needed=order in ORDER[:2],
                    least=1e-3,
                    most=2.0,
                )
                for order in ORDER
            ),
            *(
                Parameter(
                    f"{order} rod",
                    "length",
                    "mm",
                    f"outer diameter of the {order} moving tube (double acting)",
                    least=1e-3,
                    most=2.0,
                )
                for order in ORDER
            ),
            *(
                Parameter(
                    f"{order} stroke", "length", "mm", f"way of the {order} stage", least=1e-4
                )
                for order in ORDER
            ),
            Parameter(
                "stroke", "length", "mm", "way of all stages", needed=True, least=1e-4, most=50.0
            ),
            *pressure_data(),
            Parameter(
                "efficiency",
                "share",
                "%",
                "force left after seal friction",
                default=0.92,
                least=0.3,
                most=1.0,
                source="a little less than a plain cylinder; common practice, no source",
            ),
            *_rod_loads.PARAMETERS,
            Parameter("at start", "length", "mm", "out when the first step begins", least=0.0),
            Parameter("speed limit", "speed", "m/s", "highest piston speed", least=1e-4),
        ),
        choices=(
            NEAR_PEOPLE,
            CRITICAL,
            BELOW,
            Choice("acting", ("single acting", "double acting"), default="single acting"),
            Choice("load", ("hanging", "suspended"), many=True),
        ),
        orders=_rod_loads.ORDERS,
        poses=("at end stop", "held", "overrunning", "clear"),
        assumes=assumes,
        mistakes=mistakes,
        equations=equations,
        results=results,
        state=state,
        cautions=_rod_loads.cautions,
        measures=(
            Result("speed", "speed", "speed of the moving stage, out positive"),
            Result("force", "force", "force on the load, friction taken off"),
            Result("power", "power", "power given to the load"),
            Result("time", "time", "time for the way of the step"),
            Result("flow", "flow", "flow at the cap end"),
            Result("place", "length", "place in the middle of the step, all in = 0"),
            Result("stage", "count", "stage that moves, 1 the widest"),
            Result("area", "area", "area that pushes it out"),
        ),
        law_text=(
            "q = A v, A = area of the stages that move",
            "force = efficiency x p A, friction against the motion",
        ),
        sources=("pressure steps up from stage to stage as the area falls: textbook form",),
    ),
)
