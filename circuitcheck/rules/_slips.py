"""Slips of reckoning: what a number would be if a usual mistake had been made in it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from circuitcheck.basics.findings import Number
from circuitcheck.basics.unit_table import (
    ATMOSPHERE,
    FOOT,
    GRAVITY,
    IMPERIAL_GALLON,
    INCH,
    LBF,
    PSI,
    US_GALLON,
)
from circuitcheck.components._parts import Part
from circuitcheck.components.pump import is_variable
from circuitcheck.rules._case import Case
from circuitcheck.rules._claims import Judged, judged
from circuitcheck.rules._formulas import pushed_side
from circuitcheck.rules._loads import areas
from circuitcheck.rules._pumps import idle_flow
from circuitcheck.rules._rule import Outcome
from circuitcheck.solver.operating import OperatingPoint

AREA, UNIT, RECKONING = "area", "unit", "reckoning"

NEARER = 3.0
"""Times by which a slip must fit better than the right number; own choice."""

HP, PS, MINUTE, TURN = 550 * LBF * FOOT, 75 * GRAVITY, 60.0, 2 * math.pi

UNITS: dict[str, tuple[tuple[str, str, float], ...]] = {
    "pressure": (("bar", "psi", 1e5 / PSI), ("bar", "MPa", 0.1), ("bar", "kgf/cm2", 1e1 / GRAVITY)),
    "flow": (
        ("US gallons", "imperial gallons", US_GALLON / IMPERIAL_GALLON),
        ("L/min", "US gpm", 1e-3 / US_GALLON),
        ("L/min", "imperial gpm", 1e-3 / IMPERIAL_GALLON),
        ("figures a minute", "figures a second", 1 / MINUTE),
    ),
    "power": (("kW", "hp", 1e3 / HP), ("kW", "PS", 1e3 / PS), ("hp", "PS", HP / PS)),
    "force": (
        ("tonnes", "short tons", 1e3 / 907.18474),
        ("tonnes", "long tons", 1e3 / 1016.0469088),
        ("long tons", "short tons", 1016.0469088 / 907.18474),
        ("tonnes of 10 kN", "tonnes of 9.81 kN", 10.0 / GRAVITY),
        ("kgf", "N", GRAVITY),
        ("kgf", "lbf", GRAVITY / LBF),
        ("N", "lbf", 1.0 / LBF),
    ),
    "torque": (("Nm", "lb-ft", 1.0 / (LBF * FOOT)), ("lb-ft", "lb-in", FOOT / INCH)),
    "speed": (
        ("mm/s", "in/s", 1e-3 / INCH),
        ("figures a minute", "figures a second", 1 / MINUTE),
    ),
    "rotation": (
        ("rpm", "rad/s", TURN / MINUTE),
        ("turns a second", "rad/s", TURN),
        ("figures a minute", "figures a second", 1 / MINUTE),
    ),
    "time": (("seconds", "minutes", 1 / MINUTE),),
}
"""By quantity: two units that are mixed up, and how many of the second make one of the first."""


@dataclass(frozen=True)
class Slip:
    """A usual mistake, what the number would be with it [SI], and in words what was done."""

    sort: str
    value: float
    text: str


def likely(case: Case, verdict: Judged, within: float) -> Slip | None:
    """Give the slip that explains a claim that is off, None where none does.

    A slip fits where the number would be met ``within`` a share of it, and `NEARER` times
    better than without the slip. Speeds, flows and times are also tried as people reckon
    them, with the flow of the pumps at their rated efficiency.
    """
    point = case.point(verdict.step)
    value, asked = verdict.value, verdict.claim.figure.value
    if verdict.holds is not False or value is None or not value or not asked or point is None:
        return None
    if verdict.claim.figure.quantity != "temperature":
        asked = abs(asked)
    factors = {1.0, nominal(case, point, verdict.claim.figure.quantity)}
    found: list[tuple[float, Slip]] = []
    for slip in _all(case, verdict, point, value):
        miss = min(abs(slip.value * factor - asked) for factor in factors)
        room = min(within * abs(asked), abs(value - asked) / NEARER)
        if slip.sort == RECKONING and "atmosphere" in slip.text:
            room = min(room, ATMOSPHERE / NEARER)
        if miss <= room:
            found.append((miss, slip))
    return min(found, key=lambda pair: (pair[1].sort != AREA, pair[0]))[1] if found else None


def nominal(case: Case, point: OperatingPoint, quantity: str) -> float:
    """Factor from the solved pump flow to the one of the rated efficiency, as people reckon."""
    pumps = case.of_kind("pump")
    solved = sum(point.parts[pump.name].values["flow"] for pump in pumps)
    rated = sum(idle_flow(case, pump) or 0.0 for pump in pumps)
    carried = quantity in ("speed", "flow", "time", "rotation")
    if not carried or solved <= 0.0 or rated <= 0.0 or any(map(is_variable, pumps)):
        return 1.0
    return solved / rated if quantity == "time" else rated / solved


def _all(case: Case, verdict: Judged, point: OperatingPoint, value: float) -> Iterator[Slip]:
    part = case.circuit.parts.get(verdict.claim.subject)
    quantity = verdict.claim.figure.quantity
    yield from _units(quantity, value)
    if quantity == "pressure":
        yield Slip(RECKONING, value + ATMOSPHERE, "it counts the atmosphere, absolute for gauge")
        yield Slip(RECKONING, value - ATMOSPHERE, "the atmosphere is taken off, gauge for absolute")
    if part is None:
        return
    what = verdict.claim.what
    if part.kind.word == "cylinder" and what in ("speed", "force", "time"):
        yield from _of_areas(point, part, what, value)
    yield from _of_efficiency(case, point, part, what, value)


def _units(quantity: str, value: float) -> Iterator[Slip]:
    for one, other, ratio in UNITS.get(quantity, ()):
        yield Slip(
            UNIT,
            value * ratio,
            f"it was reckoned in {other} and written in {one}",
        )
        yield Slip(UNIT, value / ratio, f"it was reckoned in {one} and written in {other}")
    if quantity == "temperature":
        yield Slip(UNIT, value * 1.8 + 32.0, "it was read in degF and written in degC")
        yield Slip(UNIT, (value - 32.0) / 1.8, "it was read in degC and written in degF")


def _of_areas(point: OperatingPoint, part: Part, what: str, value: float) -> Iterator[Slip]:
    cap, rod_side = areas(part)
    named = {"bore": cap, "rod-side": rod_side, "rod": cap - rod_side}
    _, index = pushed_side(point.parts[part.name])
    used = "rod-side" if index else "bore"
    for other, area in named.items():
        if other != used and area > 0.0 and named[used] > 0.0:
            ratio = named[used] / area
            fits = value * ratio if what == "speed" else value / ratio
            yield Slip(AREA, fits, other)
    grown = value / 4 if what == "speed" else value * 4
    shrunk = value * 4 if what == "speed" else value / 4
    yield Slip(RECKONING, grown, "a diameter was taken for the radius: four times the area")
    yield Slip(RECKONING, shrunk, "a radius was taken for the diameter: a quarter of the area")


def _of_efficiency(
    case: Case, point: OperatingPoint, part: Part, what: str, value: float
) -> Iterator[Slip]:
    """Numbers in which an efficiency is forgotten, or divided by in place of multiplied."""
    values = point.parts[part.name].values
    ideal: float | None = None
    word = "efficiency"
    size = (part.figure("displacement") or 0.0) / TURN
    if part.kind.word == "pump" and what == "flow":
        ideal, word = size * values["speed"] * abs(values["stroke"]), "volumetric efficiency"
    elif part.kind.word == "pump" and what == "shaft power":
        ideal = values["efficiency"] * value
    elif part.kind.word == "motor" and what == "torque":
        ideal, word = values["drop"] * size, "mechanical efficiency"
    elif part.kind.word == "motor" and what == "speed" and size:
        ideal, word = values["flow"] / size, "volumetric efficiency"
    elif part.kind.word == "cylinder" and what == "force" and part.figure("efficiency"):
        ideal = value / (part.figure("efficiency") or 1.0)
    elif part.kind.word == "cylinder" and what in ("speed", "time"):
        ideal, word = _without_slip(case, point, what, value), "volumetric efficiency of the pumps"
    if not ideal:
        return
    ideal = abs(ideal)
    yield Slip(RECKONING, ideal, f"the {word} is left out")
    yield Slip(RECKONING, value * value / ideal, f"the {word} is counted twice")


def _without_slip(case: Case, point: OperatingPoint, what: str, value: float) -> float | None:
    solved = ideal = 0.0
    for pump in case.of_kind("pump"):
        values = point.parts[pump.name].values
        solved += values["flow"]
        full = (pump.figure("displacement") or 0.0) / TURN
        ideal += full * values["speed"] * abs(values["stroke"])
    if solved <= 0.0 or ideal <= 0.0:
        return None
    return value * ideal / solved if what == "speed" else value * solved / ideal


def told(case: Case, sort: str) -> Iterator[Outcome]:
    """Give a finding for every claim that is off and that a slip of this sort explains."""
    within = case.limit("fits_within").value
    for verdict in judged(case):
        slip = likely(case, verdict, within)
        if slip is None or slip.sort != sort or verdict.value is None:
            continue
        claim = verdict.claim
        quantity = claim.figure.quantity
        yield case.finding(
            f"{verdict.name} {case.show(claim.figure.value, quantity)} fits if {slip.text}; "
            f"worked out it is {case.show(verdict.value, quantity)} in {verdict.step}",
            case.circuit.parts.get(claim.subject),
            port=claim.port,
            step=verdict.step,
            place=claim.place,
            numbers=(
                Number("claimed", claim.figure.value, quantity),
                Number("computed", verdict.value, quantity),
                Number("with the slip", slip.value, quantity),
            ),
        )
