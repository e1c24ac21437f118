"""Energy that stays in oil and gas when the drive is off."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from circuitcheck.basics.unit_table import ATMOSPHERE
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case
from circuitcheck.rules._inside import Way
from circuitcheck.rules._loads import (
    actuators,
    areas,
    greatest_weight,
    is_cylinder,
    load_side,
    sides,
)
from circuitcheck.rules._paths import REST, Reach
from circuitcheck.rules._pumps import highest_supply


def highest_seen(case: Case, junction: str) -> float | None:
    """Highest solved pressure of a junction over all steps [Pa].

    The highest supply of any pump where nothing is solved; None where nothing says it.
    """
    if not case.points:
        return highest_supply(case)
    found = [point.junctions[junction].pressure for point in case.points]
    known = [value for value in found if not math.isnan(value)]
    return max(known) if known else None


def gas_energy(accumulator: Part, pressure: float) -> float | None:
    """Work that the gas can do from a pressure down to its precharge [J], None without one.

    p V^n constant with absolute pressures; n = 1 is the slow, isothermal case. Textbook.
    """
    precharge, volume = accumulator.figure("precharge"), accumulator.figure("volume")
    if precharge is None or volume is None:
        return None
    n = accumulator.figure("gas exponent") or 1.4
    low, high = precharge + ATMOSPHERE, pressure + ATMOSPHERE
    if high <= low:
        return 0.0
    squeezed = _squeezed(volume, low, high, n)
    if abs(n - 1.0) < 1e-6:
        return high * squeezed * math.log(volume / squeezed)
    work: float = high * squeezed / (n - 1.0) * (1.0 - (squeezed / volume) ** (n - 1.0))
    return work


def oil_held(accumulator: Part, pressure: float) -> float | None:
    """Oil in an accumulator at a pressure [m3], None without a precharge."""
    precharge, volume = accumulator.figure("precharge"), accumulator.figure("volume")
    if precharge is None or volume is None:
        return None
    low, high = precharge + ATMOSPHERE, pressure + ATMOSPHERE
    if high <= low:
        return 0.0
    return volume - _squeezed(volume, low, high, accumulator.figure("gas exponent") or 1.4)


def _squeezed(volume: float, low: float, high: float, exponent: float) -> float:
    """Volume of a gas that filled ``volume`` at ``low``, at ``high`` absolute pressure [m3]."""
    squeezed: float = volume * (low / high) ** (1.0 / exponent)
    return squeezed


def oil_energy(case: Case, pressure: float, volume: float) -> float:
    """Energy of compressed oil [J]: p^2 V / (2 K). Textbook."""
    stiffness = float(case.circuit.oil.bulk_modulus(case.circuit.oil_degC))
    return pressure**2 * volume / (2.0 * stiffness)


@dataclass(frozen=True)
class Held:
    """A volume that stays shut, where it is, its pressure and energy, what lets it go."""

    place: str
    part: Part
    port: str
    pressure: float
    energy: float
    released: str


def volumes(case: Case, limit: float) -> Iterator[Held]:
    """Volumes whose oil cannot run off at rest and that stay above a pressure [Pa]."""
    seen: set[str] = set()
    for part in [*case.of_kind("accumulator"), *actuators(case)]:
        ports = ("P",) if part.kind.word == "accumulator" else sides(part)
        for port in ports:
            junction = case.network.at(part.name, port)
            if junction is None or junction in seen or junction in case.facts.vented(REST):
                continue
            region = case.facts.region(junction)
            seen.update(region.found)
            pressure = _pressure(case, part, port, junction)
            if pressure is None or pressure <= limit:
                continue
            place = f"{part.name} {port}" if part.kind.word != "accumulator" else part.name
            yield Held(
                place,
                part,
                port,
                pressure,
                _energy(case, part, port, pressure),
                _release(case, region),
            )


def _pressure(case: Case, part: Part, port: str, junction: str) -> float | None:
    found = [highest_seen(case, junction)]
    if is_cylinder(part) and load_side(case, part) == port:
        area = areas(part)[0 if port == "cap" else 1]
        found.append(abs(greatest_weight(case, part)) / area if area else None)
    known = [value for value in found if value is not None]
    return max(known) if known else None


def _energy(case: Case, part: Part, port: str, pressure: float) -> float:
    if part.kind.word == "accumulator":
        return gas_energy(part, pressure) or 0.0
    if not is_cylinder(part):
        return 0.0
    area = areas(part)[0 if port == "cap" else 1]
    return oil_energy(case, pressure, area * (part.figure("stroke") or 0.0))


def _release(case: Case, region: Reach) -> str:
    """Names of the parts that could let the oil out."""
    names = [
        passage.part
        for junction in region.found
        for passage in case.network.out[junction]
        if passage.way in (Way.SPOOL, Way.SHUT_OFF, Way.PILOTED, Way.LET_GO, Way.SETTING)
    ]
    return " or ".join(dict.fromkeys(names)) or "nothing but a loosened fitting"
