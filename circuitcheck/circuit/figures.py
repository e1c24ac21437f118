"""Figures as written to SI values, each checked against what the parameter takes."""

from __future__ import annotations

import math
from dataclasses import dataclass

from circuitcheck.basics.places import Place
from circuitcheck.basics.quantities import (
    Unit,
    read_unit,
    show,
    suggest_unit,
    to_si,
    unit_advice,
    unit_for,
)
from circuitcheck.basics.unit_table import QUANTITIES
from circuitcheck.circuit.desk import LONGEST_WORD, Desk, any_of
from circuitcheck.circuit.dimensions import as_quantity, name_of
from circuitcheck.circuit.files import Files
from circuitcheck.circuit.values import Values
from circuitcheck.components._parts import Figure, Parameter
from circuitcheck.language.faults import meant
from circuitcheck.language.plain import UnreadableError
from circuitcheck.language.text import Amount, Formula, Item, Joint, Quote, Word

BARE = ("ratio", "count")
"""Quantities that are written without a unit."""

_SPEEDS = ("mm/s", "m/min", "in/s")


@dataclass(frozen=True)
class Wanted:
    """What a figure is to be: its parameter, and whose it is ("a relief"), for messages."""

    parameter: Parameter
    owner: str

    @property
    def name(self) -> str:
        return self.parameter.name

    @property
    def quantity(self) -> str:
        return self.parameter.quantity

    @property
    def of(self) -> str:
        """``'set' of a relief``, or only the name where no part is meant."""
        return f"'{self.name}' of {self.owner}" if self.owner else self.name


def usual_units(quantity: str) -> str:
    """Give the units people usually write for a quantity: bar or psi; empty for bare ones."""
    if quantity in BARE or quantity not in QUANTITIES:
        return ""
    if quantity == "speed":
        return any_of(_SPEEDS)
    found = [unit_for(quantity, system) for system in ("metric", "inch")]
    return any_of(dict.fromkeys(unit.canonical for unit in found if unit is not None))


class FigureReader:
    """Turns amounts and sums of a text into figures; what is wrong goes to the desk."""

    def __init__(self, desk: Desk, values: Values, files: Files) -> None:
        self._desk = desk
        self._values = values
        self._files = files

    def figure(self, item: Item, after: tuple[Item, ...], wanted: Wanted) -> Figure | None:
        """Give the figure of one item; ``after`` is what follows it in the clause."""
        if wanted.quantity == "code":
            return self._code(item)
        if wanted.quantity == "file":
            return self._file(item, wanted)
        if isinstance(item, Formula):
            return self._formula(item, wanted)
        if not isinstance(item, Amount):
            self.missing(item.place, wanted)
            return None
        value = self._amount(item, after, wanted)
        if value is None or not self.within_limits(value, item.place, wanted):
            return None
        return Figure(value, written(item), wanted.quantity, item.place)

    def missing(self, place: Place, wanted: Wanted) -> None:
        """Say that a parameter stands without a figure."""
        if wanted.quantity == "file":
            self._no_file(place, wanted)
            return
        units = usual_units(wanted.quantity)
        how = f" in {units}" if units else ""
        self._desk.error(
            "figure-missing",
            place,
            f"'{wanted.name}' needs a figure",
            f"{wanted.owner} takes '{wanted.name}'{how}",
        )

    # ---- amounts ---------------------------------------------------------------------

    def _amount(self, amount: Amount, after: tuple[Item, ...], wanted: Wanted) -> float | None:
        if amount.mark == "x" or (amount.mark == ":" and wanted.quantity != "ratio"):
            self._desk.error(
                "figure-form", amount.place, f"'{wanted.name}' is one figure, not {amount.text}"
            )
            return None
        if amount.unit is None:
            return self._without_unit(amount, after, wanted)
        if wanted.quantity in BARE:
            self._desk.error(
                "unit-not-wanted",
                amount.unit_place,
                f"'{wanted.name}' is {QUANTITIES[wanted.quantity].words}",
                f"write {wanted.name} {amount.text}",
            )
            return None
        if amount.unit.quantity == wanted.quantity:
            return self._si(amount, amount.unit)
        if wanted.quantity == "temperature_difference" and amount.unit.quantity == "temperature":
            return self._over_ambient(amount, amount.unit, after)
        self.wrong_unit(amount, wanted)
        return None

    def wrong_unit(self, amount: Amount, wanted: Wanted) -> None:
        """Say that a figure has a unit of another quantity."""
        assert amount.unit is not None
        unit = amount.unit.canonical
        kind = amount.unit.quantity.replace("_", " ")
        said = f"'{wanted.name}'" if wanted.owner else wanted.name
        takes = f"{wanted.of} takes {usual_units(wanted.quantity)}"
        advice = unit_advice(unit, wanted.quantity) or f"{unit} is a unit of {kind}; {takes}"
        message = f"{said} is not given in {amount.unit.spelling}"
        self._desk.error("wrong-dimension", amount.place, message, advice)

    def _without_unit(
        self, amount: Amount, after: tuple[Item, ...], wanted: Wanted
    ) -> float | None:
        if wanted.quantity in BARE:
            if wanted.quantity == "count" and amount.value != round(amount.value):
                self._desk.error(
                    "figure-form", amount.place, f"'{wanted.name}' is a count: a whole number"
                )
                return None
            return amount.value
        if after and isinstance(after[0], Word) and after[0].text not in ("at", "to", "or"):
            self.unknown_unit(after[0])
            return None
        self._desk.error(
            "unit-missing",
            amount.number_place,
            f"'{wanted.name}' needs a unit",
            f"{wanted.owner} takes '{wanted.name}' in {usual_units(wanted.quantity)}"
            if wanted.owner
            else f"{wanted.name} is given in {usual_units(wanted.quantity)}",
        )
        return None

    def unknown_unit(self, word: Word) -> None:
        """Say that a word behind a figure is no unit."""
        advice = unit_advice(word.text)
        near = suggest_unit(word.text) if len(word.text) <= LONGEST_WORD else None
        remedy = advice or (meant(near) if near else "")
        self._desk.error("unknown-unit", word.place, f"'{word.text}' is not a unit", remedy)

    def _si(self, amount: Amount, unit: Unit) -> float | None:
        try:
            value = to_si(amount.value, unit)
        except ValueError as error:
            self._desk.error("figure", amount.place, str(error))
            return None
        if not math.isfinite(value):
            self._desk.error("figure", amount.place, f"{amount.text} is too large a figure")
            return None
        return value

    def _over_ambient(self, amount: Amount, unit: Unit, after: tuple[Item, ...]) -> float | None:
        """``30 degC over ambient``: a difference written as a temperature."""
        if [item.text for item in after if isinstance(item, Word)] == ["over", "ambient"]:
            return amount.value * unit.factor
        self._desk.error(
            "wrong-dimension",
            amount.place,
            f"{amount.text} {unit.spelling} over what?",
            f"a difference is written {amount.text} K, or {written(amount)} over ambient",
        )
        return None

    # ---- sums and codes --------------------------------------------------------------

    def _formula(self, formula: Formula, wanted: Wanted) -> Figure | None:
        found = self._values.worth(formula)
        if found is None:
            return None
        value = as_quantity(found, wanted.quantity)
        if value is None:
            units = usual_units(wanted.quantity)
            self._desk.error(
                "wrong-dimension",
                formula.place,
                f"this sum is {name_of(found.exponents)}",
                f"{wanted.of} takes {units or QUANTITIES[wanted.quantity].words}",
            )
            return None
        if not self.within_limits(value, formula.place, wanted):
            return None
        text = show(value, wanted.quantity, self._usual(wanted))
        return Figure(value, text, wanted.quantity, formula.place)

    def fitting(self, formula: Formula, parameters: list[Parameter]) -> list[Parameter] | None:
        """Give those of some parameters that a sum can be; None if it is wrong, and reported."""
        found = self._values.worth(formula)
        if found is None:
            return None
        return [p for p in parameters if as_quantity(found, p.quantity) is not None]

    def _code(self, item: Item) -> Figure | None:
        if isinstance(item, Word):
            return Figure(math.nan, item.text, "code", item.place)
        if isinstance(item, Quote) and item.text.strip():
            return Figure(math.nan, " ".join(item.text.split()), "code", item.place)
        if isinstance(item, Amount) and item.unit is None:
            return Figure(math.nan, item.text, "code", item.place)
        self._desk.error(
            "code", item.place, 'a code is one word (101-2) or stands in quotes ("G 1/2")'
        )
        return None

    def _file(self, item: Item, wanted: Wanted) -> Figure | None:
        if not isinstance(item, Quote) or not item.text.strip():
            self._no_file(item.place, wanted)
            return None
        try:
            content = self._files.text(item, wanted.name)
        except UnreadableError as problem:
            self._desk.error(problem.slug, item.place, problem.message, problem.remedy)
            return None
        return Figure(math.nan, item.text.strip(), "file", item.place, content=content)

    def _no_file(self, place: Place, wanted: Wanted) -> None:
        example = f'write the name in quotes:  {wanted.name} "table.csv"'
        self._desk.error("file-form", place, f"'{wanted.name}' is a file", example)

    def _usual(self, wanted: Wanted) -> dict[str, str]:
        """Give the unit in which a figure is usually written, for `show`."""
        unit = read_unit(wanted.parameter.unit) if wanted.parameter.unit else None
        fits = unit is not None and unit.quantity == wanted.quantity
        return {wanted.quantity: wanted.parameter.unit} if fits else {}

    def within_limits(self, value: float, place: Place, wanted: Wanted) -> bool:
        """Whether a value can be; if not, say so with the limit."""
        least, most = wanted.parameter.limits
        system = self._usual(wanted)
        if value < least:
            if value <= 0.0 < least:
                remedy = f"{wanted.of} is more than 0"
            else:
                remedy = f"{wanted.of} is at least {show(least, wanted.quantity, system)}"
            self._desk.error("out-of-limits", place, f"'{wanted.name}' is too small", remedy)
            return False
        if value > most:
            remedy = f"{wanted.of} is at most {show(most, wanted.quantity, system)}"
            self._desk.error("out-of-limits", place, f"'{wanted.name}' is too large", remedy)
            return False
        return True


def written(amount: Amount) -> str:
    """Give a figure as the text has it: 100 mm."""
    return amount.text if amount.unit is None else f"{amount.text} {amount.unit.spelling}"


def item_text(item: Item) -> str:
    """Give an item of a clause as the text has it, for messages."""
    if isinstance(item, Amount):
        return written(item)
    if isinstance(item, Joint):
        return "-".join(item.ports)
    return item.text if isinstance(item, (Word, Quote, Formula)) else "this"
