"""Energy that stays in oil and gas when the drive is off."""

from __future__ import annotations

import math

from circuitcheck.basics.unit_table import ATMOSPHERE
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case
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
