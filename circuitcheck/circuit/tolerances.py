"""How close a claim must be met: within, plus-minus, at most, at least."""

from __future__ import annotations

from dataclasses import dataclass

from circuitcheck.basics.quantities import to_si
from circuitcheck.circuit.desk import Desk
from circuitcheck.circuit.figures import usual_units
from circuitcheck.components._parts import Figure
from circuitcheck.language.text import Amount, Clause, Tolerance


@dataclass
class Said:
    """What is said of a tolerance; ``share`` of the value, else in SI of ``quantity``."""

    tolerance: float | None = None
    share: bool = True
    quantity: str = ""
    mode: str = "within"


class ToleranceReader:
    """Reads tolerances; what is wrong goes to the desk."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk

    def take(self, clause: Clause, said: Said, figure: Figure | None, quantity: str = "") -> bool:
        """Take a clause that is a tolerance; False if it is none."""
        if clause.text in ("at most", "at least"):
            said.mode = clause.text
            return True
        first = clause.items[0]
        if isinstance(first, Tolerance) and len(clause.items) == 1:
            self._amount(first.amount, said, figure, quantity)
            return True
        if clause.words() != ["within"]:
            return False
        amount = clause.items[1] if len(clause.items) == 2 else None
        if not isinstance(amount, Amount):
            self._desk.error(
                "tolerance", clause.place, "within what?", self._example(figure, quantity)
            )
            return True
        self._amount(amount, said, figure, quantity)
        return True

    def plus_minus(self, tolerance: Tolerance, said: Said, quantity: str) -> None:
        """Take a tolerance straight behind its figure: 45 mm/s ± 2 mm/s."""
        self._amount(tolerance.amount, said, None, quantity)

    def _amount(self, amount: Amount, said: Said, figure: Figure | None, quantity: str) -> None:
        if said.tolerance is not None:
            self._desk.error("said-twice", amount.place, "the tolerance is given twice")
        if amount.unit is None:
            self._desk.error(
                "tolerance",
                amount.number_place,
                "within what? a share or a figure with a unit",
                self._example(figure, quantity, amount.text),
            )
            return
        unit = amount.unit
        if unit.quantity == "share":
            said.tolerance, said.share = amount.value * unit.factor, True
        elif not quantity or _comparable(unit.quantity, quantity):
            is_point = unit.quantity in ("temperature", "pressure")
            value = amount.value * unit.factor if is_point else to_si(amount.value, unit)
            said.tolerance, said.share, said.quantity = value, False, unit.quantity
        else:
            self._desk.error(
                "wrong-dimension",
                amount.place,
                f"a tolerance of {amount.text} {unit.spelling} does not fit",
                f"{unit.canonical} is a unit of {unit.quantity.replace('_', ' ')}; "
                f"here it is % or {usual_units(quantity) or 'a bare figure'}",
            )
            return
        if amount.value < 0:
            self._desk.error("tolerance", amount.place, "a tolerance is not negative")

    def _example(self, figure: Figure | None, quantity: str, number: str = "5") -> str:
        unit = "bar"
        if figure is not None and " " in figure.text and not figure.text.startswith("("):
            unit = figure.text.split(" ", 1)[1]
        elif quantity and usual_units(quantity):
            unit = usual_units(quantity).replace(" or ", ", ").split(",")[0]
        number = number.lstrip("+-")
        return f"write  within {number} %  or  within {number} {unit}"


def _comparable(unit: str, quantity: str) -> bool:
    return unit == quantity or (unit, quantity) == ("temperature_difference", "temperature")
