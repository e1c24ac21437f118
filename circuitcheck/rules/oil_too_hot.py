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
from dataclasses import dataclass

from circuitcheck.basics.findings import NotChecked, Number, Severity
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case
from circuitcheck.rules._rule import Needs, Outcome, Rule

TOP = 3
HOPELESS = 150.0
"""Temperature above which the figure means nothing: oil and seals fail first [degC]."""
DOUBT = 2.0
"""Factor by which estimated walls may be too small; own choice."""


@dataclass(frozen=True)
class Sinks:
    """What sheds heat: tank walls [m2], given or not, coolers [W/K], air round them [degC]."""

    walls: float
    estimated: bool
    coolers: float
    ambient: float


def check(case: Case) -> Iterator[Outcome]:
    mean, sinks = _mean_losses(case), _sinks(case)
    if mean is None:
        yield case.not_checked("", "duration of every step, to find the mean power lost")
    elif isinstance(sinks, NotChecked):
        yield sinks
    else:
        yield from _settles(case, *mean, sinks)


def _settles(case: Case, loss: float, by_part: dict[str, float], sinks: Sinks) -> Iterator[Outcome]:
    per_wall = case.limit("still_air").value
    sheds = per_wall * sinks.walls
    settles = sinks.ambient + loss / (sheds + sinks.coolers)
    warn = case.limit("mobile" if case.of_kind("engine") else "stationary")
    if settles <= warn.value:
        return
    doubt = DOUBT if sinks.estimated else 1.0
    surely = sinks.ambient + loss / (doubt * sheds + sinks.coolers)
    rise = settles - sinks.ambient
    top = sorted(by_part, key=lambda name: by_part[name], reverse=True)[:TOP]
    losses = ", ".join(f"{name} {case.power(by_part[name])}" for name in top)
    over = settles > HOPELESS
    place = case.show(HOPELESS if over else settles, "temperature")
    yield case.finding(
        f"oil settles {'above' if over else 'at'} {place} with "
        f"{case.show(sinks.ambient, 'temperature')} ambient: {case.power(loss)} lost on average "
        f"({losses}), tank sheds {case.power(sheds * rise)} ({sinks.walls:.2f} m2"
        f"{', walls estimated' if sinks.estimated else ''}), coolers "
        f"{case.power(sinks.coolers * rise)}; limit {case.show(warn.value, 'temperature')} "
        f"({warn.origin})",
        case.of_kind("tank")[0],
        severity=Severity.ERROR if surely > case.limit("error_above").value else Severity.WARNING,
        numbers=(
            Number("oil temperature", settles, "temperature"),
            Number("mean loss", loss, "power"),
            Number("tank walls", sinks.walls, "area"),
        ),
    )


def _sinks(case: Case) -> Sinks | NotChecked:
    """Everything that sheds heat, or what is missing of it."""
    tanks, walls, ambients = case.of_kind("tank"), 0.0, []
    for tank in tanks:
        wall, ambient = _walls(tank), tank.figure("ambient")
        if wall is None or ambient is None:
            return case.not_checked(tank.name, "volume or walls of the tank, air round it")
        walls += wall
        ambients.append(ambient)
    if not tanks:
        return case.not_checked("", "a tank")
    coolers = 0.0
    for cooler in case.of_kind("cooler"):
        heat, difference = cooler.figure("heat"), cooler.figure("difference")
        if heat is None or difference is None:
            return case.not_checked(cooler.name, "heat of the cooler and its difference")
        coolers += heat / difference
    estimated = not all(tank.given("walls") for tank in tanks)
    return Sinks(walls, estimated, coolers, max(ambients))


def _mean_losses(case: Case) -> tuple[float, dict[str, float]] | None:
    """Mean loss of the cycle [W], whole and by part; one lone step counts as lasting."""
    points = case.points
    if len(points) < len(case.circuit.steps):
        return None
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
