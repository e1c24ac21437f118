"""Figures with units: read from what people write, kept in SI, shown in what people read.

A unit text never reaches pint unread: pint takes ``Nm`` for a textile measure and ``PS``
for petasiemens. The table of spellings in ``unit_table`` is the only way in. SI floats
everywhere inside; pint objects only for arithmetic that has to check dimensions.
"""

from __future__ import annotations

import difflib
import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import TYPE_CHECKING, Any

from circuitcheck.basics.unit_table import ABSOLUTE, ADVICE, ATMOSPHERE, QUANTITIES, UNITS

if TYPE_CHECKING:
    import pint

System = str | Mapping[str, str]
"""``"metric"``, ``"inch"``, or the spelling wanted for some quantities (the rest metric)."""

SI_NAME: dict[str, str] = {name: row.si_name for name, row in QUANTITIES.items()}
"""Suffix that names the SI unit in keys of JSON and heads of CSV columns."""

_PRINTED = {"degC": "°C", "degF": "°F", "deg": "°"}


@dataclass(frozen=True)
class Unit:
    """A unit as written: SI value = number * ``factor`` + ``offset`` (``SUS`` is a curve)."""

    spelling: str
    quantity: str
    canonical: str
    factor: float
    offset: float
    pint: str


def _units() -> dict[str, Unit]:
    units: dict[str, Unit] = {}
    for quantity, rows in UNITS.items():
        for canonical, others, factor, expression in rows:
            offset = -160 / 9 if canonical == "degF" else 0.0
            for spelling in [canonical, *filter(None, others.split("|"))]:
                key = _key(spelling)
                units[key] = Unit(spelling, quantity, canonical, factor, offset, expression)
            if quantity == "pressure":
                absolute = f"{canonical} abs"
                for spelling in [absolute, *filter(None, ABSOLUTE.get(absolute, "").split("|"))]:
                    units[_key(spelling)] = Unit(
                        spelling, quantity, absolute, factor, -ATMOSPHERE, expression
                    )
    return units


def _key(text: str) -> str:
    """Bring the marks of a unit text to one form: raised figures, dots, degree sign, spaces."""
    for mark, plain in (("²", "2"), ("³", "3"), ("^", ""), ("°", "deg"), ("μ", "u"), ("µ", "u")):
        text = text.replace(mark, plain)
    text = re.sub(r"(?<=[A-Za-z])[*·.-](?=[A-Za-z])", "*", re.sub(r"[ \t]+", " ", text.strip()))
    return text if text.endswith("*in") else text.replace("*", " ")


_UNITS = _units()


@lru_cache(maxsize=4096)
def read_unit(text: str) -> Unit | None:
    """Give the unit that ``text`` spells, or None if it is not one of ours."""
    return _UNITS.get(_key(text))


def unit_advice(text: str, wanted: str | None = None) -> str | None:
    """Say what to write in place of a unit refused on purpose, or of the wrong quantity.

    ``wanted`` is the quantity that was needed; ``lb`` and ``kg`` are masses and are
    refused where a force is.
    """
    unit = read_unit(text)
    if unit is None:
        return ADVICE.get(text.strip())
    if wanted == "force" and unit.quantity == "mass":
        return f"{text} is a mass: did you mean {'lbf' if unit.canonical == 'lb' else 'kN'}?"
    if wanted == "temperature_difference" and unit.quantity == "temperature":
        return "a difference of temperatures is written K"
    if wanted == "speed" and unit.quantity == "rotation":
        return f"{text} is a speed of rotation; a travel speed takes mm/s, m/min or in/s"
    return None


def suggest_unit(text: str) -> str | None:
    """Give the canonical spelling of the unit nearest to ``text``, or None if none is near."""
    by_lower = {unit.spelling.lower(): unit.canonical for unit in reversed(_UNITS.values())}
    if text.lower() in by_lower:
        return by_lower[text.lower()]
    by_spelling = {unit.spelling: unit.canonical for unit in _UNITS.values()}
    near = difflib.get_close_matches(text, by_spelling, 1, 0.6)
    return by_spelling[near[0]] if near else None


def units_of(quantity: str) -> list[str]:
    """Give the canonical spellings of the units of a quantity, the usual one first."""
    return [row[0] for row in UNITS[quantity]]


def expected(quantity: str) -> str:
    """Say what is expected, with an example: ``a pressure, e.g. 210 bar``."""
    row = QUANTITIES[quantity]
    return f"{row.words}, e.g. {row.example}"


def to_si(number: float, unit: Unit, degC: float | None = None) -> float:
    """Give the SI value of ``number`` in ``unit``; pressures come out as gauge [Pa].

    ``degC`` is the temperature at which Saybolt seconds were taken, 100 degF unless given.
    Raises ``ValueError`` for Saybolt seconds below 32 s, where the curve ends.
    """
    if unit.canonical == "SUS":
        return _viscosity_from_sus(number / (1.0 if degC is None else saybolt_factor(degC)))
    return number * unit.factor + unit.offset


def from_si(value_si: float, unit: Unit) -> float:
    """Give the number that ``value_si`` is in ``unit``."""
    if unit.canonical == "SUS":
        return _sus_from_viscosity(value_si)
    return (value_si - unit.offset) / unit.factor


def unit_for(quantity: str, system: System = "metric") -> Unit | None:
    """Give the unit in which ``system`` shows a quantity; None for bare figures."""
    if isinstance(system, str):
        return _unit_of_system(quantity, system)
    return _unit_for(quantity, system.get(quantity, QUANTITIES[quantity].metric))


@lru_cache(maxsize=256)
def _unit_of_system(quantity: str, system: str) -> Unit | None:
    if system not in ("metric", "inch"):
        raise ValueError(f"units are 'metric' or 'inch', not '{system}'")
    row = QUANTITIES[quantity]
    return _unit_for(quantity, row.metric if system == "metric" else row.inch)


def _unit_for(quantity: str, spelling: str) -> Unit | None:
    if not spelling:
        return None
    unit = read_unit(spelling)
    if unit is None or unit.quantity != quantity:
        raise ValueError(f"'{spelling}' is not a unit of {quantity}")
    return unit


def unit_label(quantity: str, system: System = "metric") -> str:
    """Give the unit as printed behind a figure or in a column head; empty for bare figures."""
    unit = unit_for(quantity, system)
    return "" if unit is None else _PRINTED.get(unit.canonical, unit.canonical)


def number_in(value_si: float, quantity: str, system: System = "metric") -> float:
    """Give the number that ``value_si`` is in the unit shown by ``system``."""
    unit = unit_for(quantity, system)
    return value_si if unit is None else from_si(value_si, unit)


def show(value_si: float, quantity: str, system: System = "metric", digits: int = 3) -> str:
    """Give figure and unit for people: ``210 bar``, ``21.3 L/min``.

    At least ``digits`` significant figures; those before the point are never rounded
    away. What is smaller than the noise given for the quantity is printed as 0.
    """
    if math.isnan(value_si):
        return "not known"
    label = unit_label(quantity, system)
    if math.isinf(value_si):
        return "without limit" if value_si > 0 else "without lower limit"
    number = number_in(value_si, quantity, system)
    if quantity != "temperature" and abs(value_si) < QUANTITIES[quantity].noise:
        number = number_in(0.0, quantity, system)
    figure = figure_text(number, digits)
    return f"{figure}{label}" if label == "°" else f"{figure} {label}".rstrip()


def figure_text(number: float, digits: int = 3) -> str:
    """Give a bare figure with at least ``digits`` significant figures, no trailing zeros."""
    if number == 0:
        return "0"
    if abs(number) < 1e-4:
        return f"{number:.{digits}g}"
    decimals = max(0, digits - 1 - math.floor(math.log10(abs(number))))
    text = f"{number:.{decimals}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


# ---- pint, loaded on first use because its import takes a third of a second --------------


@cache
def _registry() -> pint.UnitRegistry[Any]:
    import pint

    return pint.UnitRegistry()


def quantity_object(value_si: Any, quantity: str) -> pint.Quantity[Any]:
    """Give a pint object of an SI value, or of an array of them, for arithmetic that has to
    check dimensions."""
    return _registry().Quantity(value_si, QUANTITIES[quantity].si_pint)


def value_of(thing: pint.Quantity[Any], quantity: str) -> float:
    """Give the SI value of a pint object; ``ValueError`` if it is not such a quantity."""
    return float(values_of(thing, quantity))


def values_of(thing: pint.Quantity[Any], quantity: str) -> Any:
    """Give the SI value or array of a pint object; raises as `value_of` does."""
    import pint

    try:
        return thing.m_as(QUANTITIES[quantity].si_pint)
    except pint.DimensionalityError as error:
        raise ValueError(f"this is not {QUANTITIES[quantity].words}") from error


# ---- Saybolt seconds ---------------------------------------------------------------------

LEAST_SUS = 32.0


def saybolt_factor(degC: float) -> float:
    """Saybolt seconds of a viscosity at a temperature [degC] over those at 100 degF.

    ASTM D2161, from memory: 1 + 0.000061 (t - 100) with t in degF; 1.0067 at 210 degF.
    """
    return 1.0 + 0.000061 * (degC * 9 / 5 + 32 - 100)


def _sus_from_viscosity(nu: float) -> float:
    """Saybolt universal seconds of a kinematic viscosity [m2/s], at 100 degF.

    ASTM D2161, equation 1 (from memory); for others see `saybolt_factor`.
    """
    v = nu * 1e6
    bend = 3930.2 + v * (262.7 + v * (23.97 + v * 1.646))  # endless where a power would overflow
    return 4.6324 * v + (1 + 0.03264 * v) / (bend * 1e-5)


def _viscosity_from_sus(seconds: float) -> float:
    if not seconds >= LEAST_SUS:
        raise ValueError(f"{seconds:g} SUS is below {LEAST_SUS:g} SUS, where the scale begins")
    return _bisect(lambda nu: _sus_from_viscosity(nu) - seconds, 1e-6, seconds * 1e-6)


def _bisect(rising: Callable[[float], float], low: float, high: float) -> float:
    while high - low > 1e-13 * high:
        middle = (low + high) / 2
        if middle in (low, high):
            break
        low, high = (middle, high) if rising(middle) < 0 else (low, middle)
    return (low + high) / 2


# ---- for the lexer -----------------------------------------------------------------------


def unit_pattern() -> str:
    """Give a regular expression that matches every known unit text, the longest first."""
    # in one order at every start: the parser made from it is kept
    spellings = sorted({u.spelling for u in _UNITS.values()}, key=lambda s: (-len(s), s))
    whole = "|".join(map(_spelling_pattern, spellings))
    return f"(?:{whole})(?![A-Za-z0-9_]|\\/[A-Za-z])"


def _spelling_pattern(spelling: str) -> str:
    text = re.escape(spelling).replace("/", r"\/")
    text = re.sub(r"\\[ -]", r"[ *·.-]", text).replace(r"\*", "[*·.-]")
    text = re.sub(r"(?<=[a-z])2", r"(?:\\^?2|²)", text)
    text = re.sub(r"(?<=[a-z])3", r"(?:\\^?3|³)", text)
    return text.replace("deg", "(?:deg|°)").replace("um", "[uµμ]m")
