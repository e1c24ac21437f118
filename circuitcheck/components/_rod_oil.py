"""Areas of cylinders from their figures, and the oil that a whole way out takes."""

from __future__ import annotations

import math

from circuitcheck.components._parts import Part
from circuitcheck.components.cylinder import is_single
from circuitcheck.components.telescopic_cylinder import stages


def areas(cylinder: Part) -> tuple[float, float]:
    """Areas of cap and rod side [m2]; no rod side gives 0.

    Of a telescopic cylinder those of its narrowest stage, at which a load makes the highest
    pressure.
    """
    if cylinder.kind.word == "telescopic cylinder":
        last = stages(cylinder)[-1]
        cap = _circle(cylinder.figure(f"{last} stage"))
        return cap, 0.0 if is_single(cylinder) else cap - _circle(cylinder.figure(f"{last} rod"))
    acting = cylinder.choices.get("acting", "double acting")
    rod = _circle(cylinder.figure("rod"))
    if acting == "plunger":
        return rod, 0.0
    bore = _circle(cylinder.figure("bore"))
    if acting == "double rod":
        return bore - rod, bore - rod
    if acting == "tandem":
        return 2.0 * bore - rod, 2.0 * (bore - rod)
    return bore, 0.0 if is_single(cylinder) else bore - rod


def oil_to_go_out(cylinder: Part) -> float:
    """Oil that a cylinder takes from the tank from rod in to rod out [m3].

    The volume of the rod; of a single-acting one that of the whole piston.
    """
    if cylinder.kind.word == "telescopic cylinder":
        return sum(_of_stage(cylinder, order) for order in stages(cylinder))
    cap, rod = areas(cylinder)
    return (cap - rod) * (cylinder.figure("stroke") or 0.0)


def _of_stage(cylinder: Part, order: str) -> float:
    """Oil that one stage takes [m3]; stages share the stroke evenly where none has its own."""
    even = (cylinder.figure("stroke") or 0.0) / len(stages(cylinder))
    way = cylinder.figure(f"{order} stroke")
    # double acting: what the rod side gives back leaves the volume of the rod
    across = cylinder.figure(f"{order} {'stage' if is_single(cylinder) else 'rod'}")
    return _circle(across) * (even if way is None else way)


def _circle(diameter: float | None) -> float:
    return 0.25 * math.pi * (diameter or 0.0) ** 2
