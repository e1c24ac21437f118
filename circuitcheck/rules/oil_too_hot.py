"""Oil that settles too hot.

What is checked
    The mean power that is lost over the cycle, against what the tank walls and the coolers
    shed at a difference of oil over ambient: oil = ambient + loss / (k x walls + coolers).
    A warning above 60 degC (70 where an engine drives), an error above 82 degC.

Why it matters on the machine
    Seals harden, the oil ages and thins, leakage grows and makes still more heat.

What to do
    Remove the largest loss first, add a cooler second.

Limits of this rule
    The losses are those at the oil temperature of the steps. Walls that are not given are
    estimated as five sides of a cube of the oil volume; then it is an error only if twice
    those walls would not do. Heat from lines and cylinders into
    the air is left out; so is the sun.

Source
    60 degC at the pump inlet: university notes on safe design after ISO 4413; 82 degC is the
    180 degF tank limit of a public service manual; 12 W/(m2 K): common practice, no source,
    14.5 in a textbook example
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case
from circuitcheck.rules._rule import Needs, Outcome, Rule

TOP = 3
HOPELESS = 150.0
"""Temperature above which the figure means nothing: oil and seals fail first [degC]."""
DOUBT = 2.0
"""Factor by which estimated walls may be too small; own choice."""


def check(case: Case) -> Iterator[Outcome]:
    tanks = case.of_kind("tank")
    mean = _mean_losses(case)
    if mean is None:
        yield case.not_checked("", "duration of every step, to find the mean power lost")
        return
    loss, by_part = mean
    walls = [_walls(tank) for tank in tanks]
    if not tanks or any(wall is None for wall in walls):
        names = ", ".join(t.name for t, w in zip(tanks, walls, strict=True) if w is None)
        yield case.not_checked(names, "volume or walls of the tank")
        return
    known = [value for value in (tank.figure("ambient") for tank in tanks) if value is not None]
    if not known:
        yield case.not_checked(tanks[0].name, "ambient temperature of the tank")
        return
    ambient = max(known)
    area = sum(wall for wall in walls if wall is not None)
    tank_sheds = case.limit("still_air").value * area
    coolers = [k for k in case.of_kind("cooler") if k.figure("heat") is None]
    if coolers:
        yield case.not_checked(coolers[0].name, "heat of the cooler and its difference")
        return
    cooled = sum(
        (k.figure("heat") or 0.0) / (k.figure("difference") or 1.0) for k in case.of_kind("cooler")
    )
    settles = ambient + loss / (tank_sheds + cooled)
    mobile = bool(case.of_kind("engine"))
    warn = case.limit("mobile" if mobile else "stationary")
    error = case.limit("error_above")
    if settles <= warn.value:
        return
    given = all(tank.given("walls") for tank in tanks)
    estimated = "" if given else ", walls estimated"
    surely = settles if given else ambient + loss / (DOUBT * tank_sheds + cooled)
    top = sorted(by_part, key=lambda name: by_part[name], reverse=True)[:TOP]
    losses = ", ".join(f"{name} {case.power(by_part[name])}" for name in top)
    over = settles > HOPELESS
    settles_at = (
        f"above {case.show(HOPELESS, 'temperature')}"
        if over
        else (f"at {case.show(settles, 'temperature')}")
    )
    yield case.finding(
        f"oil settles {settles_at} with "
        f"{case.show(ambient, 'temperature')} ambient: {case.power(loss)} lost on average "
        f"({losses}), tank sheds {case.power(tank_sheds * (settles - ambient))} "
        f"({area:.2f} m2{estimated}), coolers "
        f"{case.power(cooled * (settles - ambient))}; limit "
        f"{case.show(warn.value, 'temperature')} ({warn.origin})",
        tanks[0],
        severity=Severity.ERROR if surely > error.value else Severity.WARNING,
        numbers=(
            Number("oil temperature", settles, "temperature"),
            Number("mean loss", loss, "power"),
            Number("tank walls", area, "area"),
        ),
    )


def _mean_losses(case: Case) -> tuple[float, dict[str, float]] | None:
    """Mean loss of the cycle [W], whole and by part; one lone step counts as lasting."""
    points = case.points
    if len(points) == 1:
        weights = [1.0]
    else:
        times = [point.duration for point in points]
        weights = [time for time in times if time is not None]
        if len(weights) < len(points) or sum(weights) <= 0.0:
            return None
    whole = sum(weights)
    by_part: dict[str, float] = {}
    for point, weight in zip(points, weights, strict=True):
        for name, state in point.parts.items():
            by_part[name] = by_part.get(name, 0.0) + state.loss * weight / whole
    mean = sum(p.totals.loss * w for p, w in zip(points, weights, strict=True)) / whole
    return mean, by_part


def _walls(tank: Part) -> float | None:
    """Walls as given, else five sides of a cube of the oil volume [m2]."""
    given, volume = tank.figure("walls"), tank.figure("volume")
    if given is not None:
        return given
    return None if volume is None else 5.0 * volume ** (2.0 / 3.0)


RULE = Rule(
    "oil-too-hot",
    Severity.WARNING,
    check,
    Needs.NUMBERS,
)
