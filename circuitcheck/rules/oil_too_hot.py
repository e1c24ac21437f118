"""Oil that settles too hot.

What is checked
    The mean power that is lost over the cycle, against what the tank walls and the coolers
    shed at a difference of oil over ambient: oil = ambient + loss / (k x walls + coolers).
    k is what the tank says ('sheds', or its air), else 12 W/(m2 K). A warning above 60 degC
    (70 where an engine drives), an error above 82 degC, both earlier where the kind of fluid
    stands less.

Why it matters on the machine
    Seals harden, the oil ages and thins, leakage grows and makes still more heat.

What to do
    Remove the largest loss first, add a cooler second.

Limits of this rule
    The losses are those at the oil temperature of the steps. A cooler takes what it takes a
    kelvin on average over the steps, nothing while no oil flows through it; where its
    'coolant' is not given it is the air round the tank. Walls that are not given are
    estimated as five sides of a cube of the oil volume; then it is an error only if twice
    those walls would not do. With accumulators every step counts whole as it stands at its
    end, which can be far off the mean: then it is never an error, and the duty command tells
    what the mean is. Heat from lines and cylinders into the air is left out; so is the sun.

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
from circuitcheck.components.tank import coefficient
from circuitcheck.rules._case import Case, Threshold
from circuitcheck.rules._rule import Needs, Outcome, Rule

TOP = 3
HOPELESS = 150.0
"""Temperature above which the figure means nothing: oil and seals fail first [degC]."""
DOUBT = 2.0
"""Factor by which estimated walls may be too small; own choice."""


@dataclass(frozen=True)
class Sinks:
    """What sheds heat: tank walls [m2] and [W/K] into air [degC], coolers [W/K].

    ``coolant``: sum of W/K of the coolers times what comes in to cool them [W].
    """

    walls: float
    tanks: float
    estimated: bool
    coolers: float
    coolant: float
    ambient: float

    def settles(self, loss: float, more: float = 1.0) -> float:
        """Oil temperature [degC] at a mean loss [W], with ``more`` times the walls."""
        tanks = more * self.tanks
        return (loss + tanks * self.ambient + self.coolant) / (tanks + self.coolers)


def check(case: Case) -> Iterator[Outcome]:
    mean, sinks = mean_losses(case), sinks_of(case)
    if mean is None:
        yield case.not_checked("", "duration of every step, to find the mean power lost")
    elif isinstance(sinks, NotChecked):
        yield sinks
    else:
        yield from _settles(case, *mean, sinks)


def _settles(case: Case, loss: float, by_part: dict[str, float], sinks: Sinks) -> Iterator[Outcome]:
    settles = sinks.settles(loss)
    warn = usual_limit(case)
    error = case.limit("error_above")
    stands = case.circuit.oil.fluid["hottest"].value
    if stands < warn.value:
        warn = Threshold(stands, f"limit of {case.circuit.oil.fluid.words}")
    if settles <= warn.value:
        return
    surely = sinks.settles(loss, DOUBT if sinks.estimated else 1.0)
    top = sorted(by_part, key=lambda name: by_part[name], reverse=True)[:TOP]
    losses = ", ".join(f"{name} {case.power(by_part[name])}" for name in top)
    over = settles > HOPELESS
    place = case.show(HOPELESS if over else settles, "temperature")
    walls = case.power(sinks.tanks * (settles - sinks.ambient))
    coolers = case.power(sinks.coolers * settles - sinks.coolant)
    yield case.finding(
        f"oil settles {'above' if over else 'at'} {place} with "
        f"{case.show(sinks.ambient, 'temperature')} ambient: {case.power(loss)} lost on average "
        f"({losses}), tank sheds {walls} ({sinks.walls:.2f} m2"
        f"{', walls estimated' if sinks.estimated else ''}), coolers {coolers}; limit "
        f"{case.show(warn.value, 'temperature')} "
        f"({warn.origin}){stores_note(case)}",
        case.of_kind("tank")[0],
        severity=Severity.ERROR
        if surely > min(error.value, stands) and not stores_note(case)
        else Severity.WARNING,
        numbers=(
            Number("oil temperature", settles, "temperature"),
            Number("mean loss", loss, "power"),
            Number("tank walls", sinks.walls, "area"),
        ),
    )


def stores_note(case: Case) -> str:
    """What to say of heat where accumulators fill and empty; nothing without any."""
    names = ", ".join(part.name for part in case.of_kind("accumulator"))
    if not names:
        return ""
    return f"; with {names} steps count as at their end: 'circuitcheck duty' gives the mean"


def usual_limit(case: Case) -> Threshold:
    """Highest oil temperature that is usual, on a vehicle or not [degC]."""
    return case.limit_of("oil-too-hot", "mobile" if case.of_kind("engine") else "stationary")


def sinks_of(case: Case) -> Sinks | NotChecked:
    """Everything that sheds heat, or what is missing of it."""
    tanks, walls, sheds, ambients = case.of_kind("tank"), 0.0, 0.0, []
    for tank in tanks:
        wall, ambient = _walls(tank), tank.figure("ambient")
        if wall is None or ambient is None:
            return case.not_checked(tank.name, "volume or walls of the tank, air round it")
        walls += wall
        sheds += wall * _coefficient(case, tank)
        ambients.append(ambient)
    if not tanks:
        return case.not_checked("", "a tank")
    coolers, brought = 0.0, 0.0
    for cooler in case.of_kind("cooler"):
        takes = _cooler(case, cooler)
        if takes is None:
            return case.not_checked(cooler.name, "heat of the cooler and its difference")
        given = cooler.figure("coolant") if cooler.given("coolant") else None
        coolers += takes
        brought += takes * (max(ambients) if given is None else given)
    estimated = not all(tank.given("walls") for tank in tanks)
    return Sinks(walls, sheds, estimated, coolers, brought, max(ambients))


def _cooler(case: Case, cooler: Part) -> float | None:
    """Heat that a cooler takes a kelvin of oil over coolant [W/K], mean over the steps.

    None where nothing is known of it, or the oil is nowhere warmer than what cools it.
    """
    found = []
    for point in case.points:
        heat = point.parts[cooler.name].values.get("heat taken")
        said = case.orders(point.step, cooler.name).figures.get("coolant")
        coolant = cooler.figure("coolant") if said is None else said.value
        if heat is not None and coolant is not None and point.oil_degC > coolant:
            found.append((point.duration or 0.0, heat / (point.oil_degC - coolant)))
    time = sum(lasts for lasts, _ in found)
    if found:
        return sum(lasts * a for lasts, a in found) / time if time > 0.0 else max(found)[1]
    heat, difference = cooler.figure("heat"), cooler.figure("difference")
    return None if heat is None or difference is None else heat / difference


def mean_losses(case: Case) -> tuple[float, dict[str, float]] | None:
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


def _coefficient(case: Case, tank: Part) -> float:
    """Heat that walls shed [W/(m2 K)]: as the tank says, else in still air."""
    said = tank.given("sheds") or "air" in tank.choices
    return coefficient(tank) if said else case.limit_of("oil-too-hot", "still_air").value


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
    explains=("heats-up-before-it-matters",),
)
