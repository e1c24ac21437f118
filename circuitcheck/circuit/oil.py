"""The oil's line: what was said of it becomes an oil, with what had to be assumed."""

from __future__ import annotations

from circuitcheck.basics.places import Place
from circuitcheck.basics.quantities import show, to_si
from circuitcheck.circuit.desk import Desk
from circuitcheck.circuit.figures import written
from circuitcheck.circuit.model import Assumption
from circuitcheck.circuit.oil_clauses import OilReader, OilSaid
from circuitcheck.fluid.families import USUAL
from circuitcheck.fluid.oil import Density, Given, Oil
from circuitcheck.fluid.viscosity import between_references
from circuitcheck.language.text import Amount, Text

COLDEST, HOTTEST = -60.0, 200.0
"""No hydraulic oil is used colder or hotter [degC]; common practice, no source."""

USUAL_GRADE, USUAL_DEGC = 46, 50.0
"""Taken, and listed as assumed, where a text names no oil; common practice, no source."""

LEAST_VISCOSITY, MOST_VISCOSITY = 1e-7, 0.1
"""What a fluid can have at some temperature [m2/s]; own choice, wide."""


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
        OilReader(desk, said).chapter(chapters[0])
    assumed: list[Assumption] = []
    practice = "common practice, no source"
    if said.kind is None and not said.viscous:
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
        oil = _made(said, said.degC)
    except ValueError as error:
        desk.error("oil", place, str(error))
        oil = Oil.of_grade(USUAL_GRADE)
    for row in oil.assumed:
        shown = show(row.value, row.quantity)
        assumed.append(Assumption("oil", row.name, shown, "built in", row.source))
    return oil, said.degC, assumed


def _made(said: OilSaid, degC: float) -> Oil:
    """Give the oil of what was said, ``degC`` where a figure says no temperature."""
    _check_temperatures(said)
    kind, index = said.kind or USUAL, said.figures.get("viscosity index")
    density = None
    if said.density is not None:
        value, at = said.density
        density = Density(value, degC if at is None else at)
    given = Given(
        density,
        said.figures.get("air", 0.0),
        said.figures.get("bulk modulus"),
        said.figures.get("specific heat"),
        said.window,
    )
    points = [(degC if at is None else at, amount) for amount, at in said.points]
    known = [(at, _viscosity(amount, at)) for at, amount in points]
    if said.references is not None:
        low, high, at = said.references
        L, H = _viscosity(low, at), _viscosity(high, at)
        between = between_references(low.value, high.value, index or 0.0)
        if not L > H:
            raise ValueError("the oil of index 0 is thicker than that of index 100: write it first")
        assert low.unit is not None
        return Oil.of_viscosity(to_si(between, low.unit, at), at, index, given, kind)
    if said.grade is not None:
        return Oil.of_grade(said.grade, index, given, kind)
    if len(known) > 1:
        if index is not None:
            raise ValueError("two viscosities say the viscosity index; take one of them away")
        return Oil.of_points(known[0], known[1], given, kind)
    if known:
        at, nu = known[0]
        return Oil.of_viscosity(nu, at, index, given, kind)
    return Oil.of_kind(kind, given)


def _check_temperatures(said: OilSaid) -> None:
    """Raise ``ValueError`` for a figure at a temperature that no hydraulic fluid sees."""
    named = [at for _, at in said.points]
    named += [said.density[1]] if said.density else []
    named += [said.references[2]] if said.references else []
    for at in named:
        if at is not None and not COLDEST <= at <= HOTTEST:
            raise ValueError(f"a figure at {at:g} degC is of no use; write one near the work")


def _viscosity(amount: Amount, degC: float) -> float:
    """Viscosity [m2/s] of a figure that holds at a temperature [degC]."""
    assert amount.unit is not None
    nu = to_si(amount.value, amount.unit, degC)
    if not LEAST_VISCOSITY <= nu <= MOST_VISCOSITY:
        raise ValueError(f"no hydraulic fluid has {written(amount)}")
    return nu
