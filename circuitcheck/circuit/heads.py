"""The chapters of one line: title, oil, units of the answers."""

from __future__ import annotations

from dataclasses import dataclass, field

from circuitcheck.basics.places import Place
from circuitcheck.basics.quantities import read_unit, show, suggest_unit, to_si
from circuitcheck.circuit.desk import LONGEST_WORD, Desk
from circuitcheck.circuit.figures import written
from circuitcheck.circuit.model import Assumption
from circuitcheck.fluid.oil import Density, Oil
from circuitcheck.language.text import Amount, Chapter, Clause, Quote, Text, Word

COLDEST, HOTTEST = -60.0, 200.0
"""No hydraulic oil is used colder or hotter [degC]; common practice, no source."""

USUAL_GRADE, USUAL_DEGC = 46, 50.0
"""Taken, and listed as assumed, where a text names no oil; common practice, no source."""


@dataclass
class OilSaid:
    """What the oil's line says, figure by figure."""

    grade: int | None = None
    points: list[tuple[float, float | None]] = field(default_factory=list)
    degC: float | None = None
    density: float | None = None
    index: float | None = None


def read_title(desk: Desk, text: Text) -> tuple[str, str]:
    """Give title and issue."""
    title, issue = "", ""
    for number, chapter in enumerate(text.named("circuit")):
        if number:
            desk.error("said-twice", chapter.place, "the title is given twice", "take one away")
        for clause in chapter.about:
            first = clause.items[0]
            if isinstance(first, Quote):
                title = first.text
            elif clause.words()[:1] == ["issue"]:
                issue = clause.text.removeprefix("issue").strip().strip('"')
            else:
                desk.error(
                    "title",
                    clause.place,
                    "a circuit has a title in quotes and an issue",
                    'write:  circuit "Pallet lifter", issue B',
                )
    return title, issue


def read_units(desk: Desk, text: Text) -> dict[str, str]:
    """Give the units wanted for answers, by quantity."""
    found: dict[str, str] = {}
    for chapter in text.named("units"):
        for clause in chapter.about:
            unit = read_unit(clause.text)
            if unit is None:
                near = suggest_unit(clause.text) if len(clause.text) <= LONGEST_WORD else None
                remedy = f"did you mean '{near}'?" if near else "for example: bar, L/min, kN, kW"
                message = f"'{clause.text}' is not a unit"
                desk.error("unknown-unit", clause.place, message, remedy)
            elif unit.quantity in found:
                desk.error(
                    "said-twice",
                    clause.place,
                    f"{unit.quantity.replace('_', ' ')} has two units here",
                    f"take away {found[unit.quantity]} or {unit.canonical}",
                )
            else:
                found[unit.quantity] = unit.canonical
    return found


def read_oil(desk: Desk, text: Text) -> tuple[Oil, float, list[Assumption]]:
    """Give the oil, its temperature [degC] and what was assumed of it."""
    said, place = OilSaid(), Place(text.file, 1, 1, 1, 1)
    chapters = list(text.named("oil"))
    for chapter in chapters[1:]:
        desk.error(
            "said-twice", chapter.place, "the oil is given twice", "take one of the lines away"
        )
    if chapters:
        place = chapters[0].place
        _read_oil_line(desk, chapters[0], said)
    assumed: list[Assumption] = []
    practice = "common practice, no source"
    if said.grade is None and not said.points:
        said.grade = USUAL_GRADE
        assumed.append(Assumption("oil", "grade", f"ISO VG {USUAL_GRADE}", "built in", practice))
    if said.degC is None:
        given = [degC for _, degC in said.points if degC is not None]
        said.degC = given[0] if len(given) == 1 else USUAL_DEGC
        if len(given) != 1:
            degrees = show(USUAL_DEGC, "temperature")
            assumed.append(Assumption("oil", "temperature", degrees, "built in", practice))
    if not COLDEST <= said.degC <= HOTTEST:
        message = f"no hydraulic oil is used at {said.degC:g} degC"
        desk.error("out-of-limits", place, message, f"from {COLDEST:g} to {HOTTEST:g} degC it is")
    try:
        oil = _made(said)
    except ValueError as error:
        desk.error("oil", place, str(error))
        oil = Oil.of_grade(USUAL_GRADE)
    for row in oil.assumed:
        shown = show(row.value, row.quantity)
        assumed.append(Assumption("oil", row.name, shown, "built in", row.source))
    return oil, said.degC, assumed


def _made(said: OilSaid) -> Oil:
    assert said.degC is not None
    density = None if said.density is None else Density(said.density, said.degC)
    if said.grade is not None:
        return Oil.of_grade(said.grade, said.index, density)
    points = [(said.degC if degC is None else degC, nu) for nu, degC in said.points]
    if len(points) > 1:
        return Oil.of_points(points[0], points[1], density)
    return Oil.of_viscosity(points[0][1], points[0][0], said.index, density)


def _read_oil_line(desk: Desk, chapter: Chapter, said: OilSaid) -> None:
    if not chapter.about:
        _oil_form(desk, chapter.place)
    for clause in chapter.about:
        before = len(desk.findings)
        if not _oil_clause(clause, said, desk) and len(desk.findings) == before:
            _oil_form(desk, clause.place)


def _oil_form(desk: Desk, place: Place) -> None:
    desk.error(
        "oil-form",
        place,
        "this says nothing of the oil",
        "write:  oil ISO VG 46, at 50 degC   or:  oil 32 cSt at 50 degC, 870 kg/m3",
    )


def _oil_clause(clause: Clause, said: OilSaid, desk: Desk) -> bool:
    words = [item.text for item in clause.items if isinstance(item, Word)]
    amounts = [item for item in clause.items if isinstance(item, Amount)]
    if words[-1:] == ["at"] and amounts[-1:] and amounts[-1].unit is None:
        desk.error(
            "unit-missing",
            amounts[-1].number_place,
            "the temperature of the oil needs a unit",
            f"write:  at {amounts[-1].text} degC",
        )
        return True
    if not amounts or len(words) + len(amounts) != len(clause.items):
        return False
    try:
        if words[:2] == ["ISO", "VG"] and isinstance(clause.items[2], Amount):
            said.grade = int(amounts[0].value)
            whole = said.grade == amounts[0].value and amounts[0].unit is None
            return whole and (len(clause.items) == 3 or _at(clause, 3, said))
        if words[:2] == ["viscosity", "index"] and len(clause.items) == 3:
            said.index = amounts[0].value
            return amounts[0].unit is None
        if clause.words() == ["at"]:
            return _at(clause, 0, said)
        unit = amounts[0].unit
        if unit is None or clause.items[0] is not amounts[0]:
            return False
        if unit.quantity == "density":
            said.density = to_si(amounts[0].value, unit)
            return len(clause.items) == 1
        if unit.quantity == "viscosity" and len(said.points) < 2:
            degC = None
            if len(clause.items) == 3 and words == ["at"]:
                degC = _temperature(amounts[1])
            elif len(clause.items) != 1:
                return False
            said.points.append((to_si(amounts[0].value, unit), degC))
            return len(clause.items) == 1 or degC is not None
    except ValueError as error:
        desk.error("figure", amounts[0].place, f"{written(amounts[0])}: {error}")
    return False


def _at(clause: Clause, first: int, said: OilSaid) -> bool:
    """``at 50 degC``, from item ``first`` of the clause on."""
    items = clause.items[first:]
    if len(items) != 2 or not isinstance(items[1], Amount):
        return False
    said.degC = _temperature(items[1])
    return said.degC is not None


def _temperature(amount: Amount) -> float | None:
    if amount.unit is None or amount.unit.quantity != "temperature":
        return None
    return to_si(amount.value, amount.unit)
