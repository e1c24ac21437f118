"""Reads the clauses of the oil's line: fluid, grade, viscosities, temperature, air, window."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from itertools import takewhile
from typing import NamedTuple

from circuitcheck.basics.places import Place
from circuitcheck.basics.quantities import show, to_si
from circuitcheck.circuit.desk import Desk
from circuitcheck.circuit.figures import written
from circuitcheck.fluid.families import designations, families
from circuitcheck.language.text import Amount, Chapter, Clause, Word

Piece = Word | Amount
"""What the oil's line consists of."""


class Limits(NamedTuple):
    """What a figure of an oil can be [SI]; own choice, wide."""

    least: float
    most: float
    quantity: str
    example: str


LIMITS = {
    "viscosity index": Limits(-100.0, 500.0, "count", "VI 140"),
    "density": Limits(500.0, 2500.0, "density", "870 kg/m3"),
    "air": Limits(0.0, 0.2, "share", "air 0.5 %"),
    "bulk modulus": Limits(1e8, 2e10, "pressure", "bulk modulus 15000 bar"),
    "specific heat": Limits(1000.0, 5000.0, "specific_heat", "specific heat 1.95 kJ/(kg K)"),
}


@dataclass
class OilSaid:
    """What the oil's line says, figure by figure; viscosities wait for their temperature."""

    kind: str | None = None
    grade: int | None = None
    points: list[tuple[Amount, float | None]] = field(default_factory=list)
    references: tuple[Amount, Amount, float] | None = None
    degC: float | None = None
    density: tuple[float, float | None] | None = None
    figures: dict[str, float] = field(default_factory=dict)
    window: tuple[float, float] | None = None

    @property
    def viscous(self) -> bool:
        """Whether it says how thick the oil is."""
        return self.grade is not None or bool(self.points) or self.references is not None


class OilReader:
    """Reads the clauses of the oil's line into an `OilSaid`; what is wrong goes to the desk."""

    def __init__(self, desk: Desk, said: OilSaid) -> None:
        self._desk = desk
        self._said = said
        self._named: dict[str, Callable[[list[Piece], float | None], bool]] = {
            "ISO VG": self._grade,
            "viscosity index": self._index,
            "VI": self._index,
            "viscosity": self._window,
            "air": lambda rest, degC: self._figure("air", rest, degC),
            "bulk modulus": lambda rest, degC: self._figure("bulk modulus", rest, degC),
            "specific heat": lambda rest, degC: self._figure("specific heat", rest, degC),
        }

    def chapter(self, chapter: Chapter) -> None:
        if not chapter.about:
            self._form(chapter.place)
        for clause in chapter.about:
            before = len(self._desk.findings)
            if not self._clause(clause) and len(self._desk.findings) == before:
                self._form(clause.place)
        said = self._said
        if (said.grade is not None) + bool(said.points) + (said.references is not None) > 1:
            message = "the oil has a grade and viscosities"
            self._desk.error("said-twice", chapter.place, message, "take one of them away")

    def _form(self, place: Place) -> None:
        self._desk.error(
            "oil-form",
            place,
            "this says nothing of the oil",
            "write:  oil ISO VG 46, at 50 degC   or:  oil 32 cSt at 50 degC, 870 kg/m3",
        )

    def _clause(self, clause: Clause) -> bool:
        """Read one clause; False where it is not understood."""
        items: list[Piece] = [item for item in clause.items if isinstance(item, Piece)]
        if len(items) < len(clause.items):
            return False
        degC, last = None, items[-1]
        if len(items) > 1 and items[-2].text == "at" and isinstance(last, Amount):
            degC = self._temperature(last)
            if degC is None:
                return False
            items = items[:-2]
        lead = [item.text for item in takewhile(lambda item: isinstance(item, Word), items)]
        rest, name = items[len(lead) :], " ".join(lead)
        if not items:
            return self._take_temperature(degC)
        if not lead:
            return self._bare(rest, degC)
        if name in self._named:
            return self._named[name](rest, degC)
        if name in designations() or name in families().values():
            return self._kind(name, rest, degC, clause)
        near = self._desk.ask(name, [*self._named, *designations(), *families().values()])
        if near:
            self._desk.error("oil-form", clause.place, f"an oil has no '{name}'", str(near))
        return False

    # ---- what it is ------------------------------------------------------------------

    def _kind(self, name: str, rest: list[Piece], degC: float | None, clause: Clause) -> bool:
        """``HLP 46``, ``HFA 95/5``, ``water glycol``."""
        if self._said.kind is not None:
            return self._twice("the kind of fluid", clause.place)
        self._said.kind = name
        if len(rest) == 1 and isinstance(rest[0], Amount) and rest[0].pair == (95.0, 5.0):
            rest = []
        if rest:
            return self._grade(rest, degC)
        return degC is None or self._take_temperature(degC)

    def _grade(self, rest: list[Piece], degC: float | None) -> bool:
        if len(rest) != 1 or not isinstance(rest[0], Amount):
            return False
        if self._said.grade is not None:
            return self._twice("the grade", rest[0].place)
        amount = rest[0]
        if amount.unit is not None or amount.pair or not amount.value.is_integer():
            return False
        self._said.grade = int(amount.value)
        return degC is None or self._take_temperature(degC)

    def _bare(self, rest: list[Piece], degC: float | None) -> bool:
        """``32 cSt at 40 degC``, ``870 kg/m3 at 15 degC``."""
        amount = rest[0]
        if len(rest) != 1 or not isinstance(amount, Amount) or amount.unit is None:
            return False
        if amount.unit.quantity == "viscosity":
            if len(self._said.points) == 2:
                return self._twice("the viscosity", amount.place, "two viscosities are enough")
            self._said.points.append((amount, degC))
            return True
        if amount.unit.quantity != "density":
            return False
        if self._said.density is not None:
            return self._twice("the density", amount.place)
        value = self._si("density", amount)
        if value is None:
            return False
        self._said.density = (value, degC)
        return True

    def _index(self, rest: list[Piece], degC: float | None) -> bool:
        """``VI 150``, or ``VI 80 between 400 SUS and 150 SUS at 100 degF``."""
        if not self._figure("viscosity index", rest[:1], None):
            return False
        if len(rest) == 1:
            return degC is None
        words = [item.text for item in rest[1::2]]
        low, high = rest[2] if len(rest) > 2 else None, rest[-1]
        if words != ["between", "and"] or degC is None or len(rest) != 5:
            return False
        if not (_is_viscosity(low) and _is_viscosity(high)):
            return False
        assert isinstance(low, Amount)
        assert isinstance(high, Amount)
        if low.unit != high.unit:
            message = "both reference oils take the same unit"
            self._desk.error("figure-form", high.place, message)
            return False
        self._said.references = (low, high, degC)
        return True

    # ---- its other figures -----------------------------------------------------------

    def _window(self, rest: list[Piece], degC: float | None) -> bool:
        """``viscosity 16 to 36 cSt``: what is wanted in every step."""
        if len(rest) != 3 or rest[1].text != "to" or degC is not None:
            return False
        low, high = rest[0], rest[2]
        if not isinstance(low, Amount) or not isinstance(high, Amount) or not _is_viscosity(high):
            return False
        assert high.unit is not None
        if low.unit is not None and not _is_viscosity(low):
            return False
        try:
            least, most = to_si(low.value, low.unit or high.unit), to_si(high.value, high.unit)
        except ValueError as error:
            self._desk.error("figure", low.place, str(error))
            return False
        if not 0 < least < most:
            message = "a window of viscosities goes from the thinner to the thicker oil"
            self._desk.error("figure-form", low.place, message, "write:  viscosity 16 to 36 cSt")
            return False
        self._said.window = (least, most)
        return True

    def _figure(self, name: str, rest: list[Piece], degC: float | None) -> bool:
        if len(rest) != 1 or not isinstance(rest[0], Amount) or degC is not None:
            return False
        if name in self._said.figures:
            return self._twice(f"the {name}", rest[0].place)
        value = self._si(name, rest[0])
        if value is not None:
            self._said.figures[name] = value
        return value is not None

    def _si(self, name: str, amount: Amount) -> float | None:
        """SI value of a figure within its limits; None, and reported, where it is not."""
        least, most, quantity, example = LIMITS[name]
        bare = quantity == "count"
        if amount.pair or (amount.unit is None) != bare:
            message = f"the {name} of the oil needs {'no' if bare else 'a'} unit"
            self._desk.error("unit-missing", amount.place, message, f"write:  {example}")
            return None
        if amount.unit is not None and amount.unit.quantity != quantity:
            message = f"the {name} of the oil is not given in {amount.unit.spelling}"
            self._desk.error("wrong-dimension", amount.place, message)
            return None
        value = amount.value if amount.unit is None else to_si(amount.value, amount.unit)
        if least <= value <= most:
            return value
        self._desk.error(
            "out-of-limits",
            amount.place,
            f"no hydraulic fluid has a {name} of {written(amount)}"
            if name != "air"
            else f"no oil works with {written(amount)} of air in it",
            f"from {show(least, quantity)} to {show(most, quantity)} it is",
        )
        return None

    def _take_temperature(self, degC: float | None) -> bool:
        self._said.degC = degC
        return degC is not None

    def _temperature(self, amount: Amount) -> float | None:
        if amount.unit is None:
            self._desk.error(
                "unit-missing",
                amount.number_place,
                "the temperature of the oil needs a unit",
                f"write:  at {amount.text} degC",
            )
            return None
        if amount.unit.quantity != "temperature":
            return None
        return to_si(amount.value, amount.unit)

    def _twice(self, what: str, place: Place, remedy: str = "take one away") -> bool:
        self._desk.error("said-twice", place, f"{what} is given twice", remedy)
        return False


def _is_viscosity(item: Piece | None) -> bool:
    unit = item.unit if isinstance(item, Amount) else None
    return unit is not None and unit.quantity == "viscosity"
