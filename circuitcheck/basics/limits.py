"""Default thresholds of the rules, read from the shared table."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache

from circuitcheck.basics.quantities import Unit, read_unit, to_si
from circuitcheck.basics.tables import read_toml


@dataclass(frozen=True)
class Limit:
    """One threshold: SI value and quantity, as written, and what it rests on."""

    value: float
    quantity: str
    text: str
    source: str


@cache
def limits_of(rule: str) -> dict[str, Limit]:
    """Give the default thresholds of a rule by name, empty for a rule without any.

    Raises ``ValueError`` for an entry of the table that cannot be read.
    """
    return {
        name: _limit(f"{rule}.{name}", entry)
        for name, entry in read_toml("limits/limits.toml").get(rule, {}).items()
    }


def limit(rule: str, name: str) -> Limit:
    """Give one default threshold of a rule; ``KeyError`` where the table has none."""
    return limits_of(rule)[name]


@cache
def limited_rules() -> tuple[str, ...]:
    """Rules that have thresholds, by their slugs."""
    return tuple(read_toml("limits/limits.toml"))


def own_limit(rule: str, name: str, number: float, unit: Unit | None, origin: str) -> Limit:
    """Give a threshold that somebody sets in place of a default one.

    Raises ``ValueError`` where its unit does not suit the default's quantity.
    """
    usual = limits_of(rule)[name]
    if unit is None:
        if usual.quantity != "ratio":
            raise ValueError(f"'{name.replace('_', ' ')}' of {rule} needs a unit")
        return Limit(number, "ratio", f"{number:g}", origin)
    if unit.quantity != usual.quantity:
        raise ValueError(f"{unit.canonical} is no unit for '{name.replace('_', ' ')}' of {rule}")
    text = f"{number:g} {unit.canonical}"
    return Limit(to_si(number, unit), unit.quantity, text, origin)


def _limit(where: str, entry: dict[str, float | str]) -> Limit:
    number, spelling = float(entry["value"]), str(entry.get("unit", ""))
    source = re.sub(r"\bcp\b", "common practice, no source", str(entry["source"]))
    if not spelling:
        return Limit(number, "ratio", f"{number:g}", source)
    unit = read_unit(spelling)
    if unit is None:
        raise ValueError(f"limits.toml: {where}: '{spelling}' is not a unit")
    return Limit(to_si(number, unit), unit.quantity, f"{number:g} {unit.canonical}", source)
