"""Families of fluids and the letters that name them: what holds where a text says nothing."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any, NamedTuple

from circuitcheck.basics.tables import read_toml

USUAL = "mineral"
"""Family where a text names none."""


class Property(NamedTuple):
    """A figure of a fluid and what it rests on."""

    value: float
    source: str


class Seals(NamedTuple):
    """Rubbers that stand a fluid, and those that do not: letters of ISO 1629."""

    fit: tuple[str, ...]
    unfit: tuple[str, ...]
    source: str


@dataclass(frozen=True)
class Fluid:
    """A kind of fluid: its family, the letters that named it if any, its figures.

    ``code`` "HLP", ``standard`` "DIN 51524-2"; both empty for a family named by itself.
    Names and units of the figures: head of the shared table of families.
    """

    family: str
    words: str
    code: str
    standard: str
    figures: dict[str, Property] = field(compare=False)
    seals: Seals

    def __getitem__(self, name: str) -> Property:
        """Give a figure that every family has; ``KeyError`` where this one lacks it."""
        return self.figures[name]

    def get(self, name: str) -> Property | None:
        """Give a figure that only some families have."""
        return self.figures.get(name)

    @property
    def graded(self) -> bool:
        """Whether it is sold by viscosity grade; emulsions thin as water are not."""
        return "viscosity_index" in self.figures

    @property
    def watery(self) -> bool:
        """Whether water is a large part of it."""
        vapour = self["vapour_pressure"].value
        return vapour > 1e3


def families() -> dict[str, str]:
    """Give the families of fluids: name and trade words."""
    return {name: str(row["words"]) for name, row in read_toml(_FAMILIES).items()}


def designations() -> dict[str, str]:
    """Give the letters that name a fluid ("HLP") and what they mean."""
    return {code: str(row["words"]) for code, row in read_toml(_CODES).items()}


def fluid(name: str) -> Fluid:
    """Give the fluid of a family, of its trade words, or of the letters of a standard.

    Raises ``ValueError`` for a name that is none of these.
    """
    rows, codes = read_toml(_FAMILIES), read_toml(_CODES)
    if name in codes:
        row = codes[name]
        family = str(row["family"])
        figures = _figures(rows[family]) | _figures(row)
        seals = _seals(rows[family])
        return Fluid(family, str(row["words"]), name, str(row["standard"]), figures, seals)
    for family, row in rows.items():
        if name in (family, row["words"]):
            return Fluid(family, str(row["words"]), "", "", _figures(row), _seals(row))
    raise ValueError(
        f"there is no family of fluids '{name}'; there are {', '.join(families().values())}, "
        f"and by letters {', '.join(codes)}"
    )


def _figures(row: dict[str, Any]) -> dict[str, Property]:
    return {
        name: Property(float(entry["value"]), str(entry["source"]))
        for name, entry in row.items()
        if isinstance(entry, dict) and "value" in entry
    }


def _seals(row: dict[str, Any]) -> Seals:
    entry = row["seals"]
    return Seals(tuple(entry["fit"]), tuple(entry["unfit"]), str(entry["source"]))


_FAMILIES, _CODES = "fluids/families.toml", "fluids/designations.toml"
