"""The chapter ``variations``: what it means, and what is said where it is wrong."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from circuitcheck.circuit import Circuit
from tests.circuit.conftest import LINES, PARTS, errors

Make = Callable[..., Circuit]
CYCLE = """cycle
  step out, V1 at a, C1 load 50 kN
  step back, V1 at b, C1 load 2 kN
"""


def test_a_chapter_says_values_results_and_steps(make: Make) -> None:
    circuit = make(
        CYCLE + 'variations "higher setting?"\n'
        "  vary R1 set from 160 bar to 240 bar, 5 points\n"
        "  vary C1 load 50 or 60 kN, in out\n"
        "  vary pressure bore from 8 mm to 12.7 mm in steps of 2 mm\n"
        "  vary oil temperature 20 degC or 50 degC\n"
        "  show C1 speed, P1 P pressure, pressure speed, heat\n"
    )
    (found,) = circuit.questions
    assert found.title == "higher setting?"
    values = {name: axis.values or (axis.first, axis.last) for name, axis in found.vary.items()}
    assert values["R1 set"] == pytest.approx((160e5, 240e5))
    assert found.vary["R1 set"].count == 5
    assert values["C1 load"] == pytest.approx((50e3, 60e3))
    assert values["pressure bore"] == pytest.approx((0.008, 0.010, 0.012))
    assert values["oil temperature"] == pytest.approx((20.0, 50.0))
    assert found.show == ["C1 speed", "P1 P pressure", "pressure speed", "heat"]
    assert found.steps == ["out"]
    assert (found.random, found.latin) == (0, 0)


def test_inches_and_lines_without_a_name(make: Make) -> None:
    lines = LINES.replace("  pressure  from", "  from")
    circuit = make(
        "variations\n  vary P1 P to V1 P bore 3/8 in or 1-1/4 in\n  show P1 flow\n", lines=lines
    )
    (axis,) = circuit.questions[0].vary.values()
    assert axis.values == pytest.approx((0.009525, 0.03175))


@pytest.mark.parametrize(
    ("said", "drawn"), [("200 at random", (200, 0)), ("50 latin hypercube", (0, 50))]
)
def test_a_heading_says_how_variations_are_drawn(
    make: Make, said: str, drawn: tuple[int, int]
) -> None:
    circuit = make(f"variations, {said}\n  vary R1 set from 160 bar to 240 bar\n  show heat\n")
    found = circuit.questions[0]
    assert (found.random, found.latin) == drawn


def test_each_chapter_is_a_question_of_its_own(make: Make) -> None:
    one = "variations\n  vary R1 set 160 bar or 200 bar\n  show heat\n"
    assert len(make(one + one).questions) == 2


@pytest.mark.parametrize(
    ("chapter", "message"),
    [
        ("vary R1 set from 160 bar to 240 bar", "how many points has this range?"),
        ("vary R1 sett 160 bar", "a relief has no 'sett' that could be varied"),
        ("vary R7 set 160 bar", "there is no part R7"),
        ("vary R1 set 160 L/min or 200 L/min", "'set' is not given in L/min"),
        ("vary R1 set 160 or 200", "'set' needs a unit"),
        ("vary R1 set 160 bar to 200 bar or 220 bar", "has no values"),
        ("vary C1 bore -3 mm or 60 mm", "bore"),
        ("vary R1 set 160 bar, 200 bar", "'200 bar' is not part of a variation"),
        ("vary R1 set 160 bar, in pres", "there is no step 'pres'"),
        ("vary R1 set", "which figure has which values?"),
        ("vary R1 set from 100 bar to 200 bar in steps of 10 mm", "is not the size of a step"),
        ("vary C1 load 10 kN, 2.5 points", "is not a number of variations"),
        ("show C1 sped", "'sped' is not something that can be checked"),
        ("show C1 speed 5 mm/s", "'C1 speed 5 mm/s' is not a result"),
        ("show heat", "nothing is varied here"),
    ],
)
def test_what_is_wrong_is_said_in_words(chapter: str, message: str) -> None:
    source = f"parts{PARTS}\nlines{LINES}\n{CYCLE}variations\n  {chapter}\n"
    found = errors(source)
    assert len(found) == 1, found
    assert message in found[0]


def test_a_figure_varied_twice_and_a_strange_heading_are_told() -> None:
    source = f"parts{PARTS}\nlines{LINES}\nvariations, 5 times\n"
    row = "  vary R1 set 160 bar or 200 bar\n"
    told = errors(source + row + row)
    assert told[0] == "'5 times' does not belong behind the heading variations"
    assert told[1] == "R1 set is varied twice"


def test_wrong_places_bear_the_caret(make: Make) -> None:
    from circuitcheck.circuit import build
    from circuitcheck.language import read

    source = f"parts{PARTS}\nlines{LINES}\nvariations\n  vary R1 sett 160 bar\n"
    text, _ = read(source, "x.hyc")
    circuit, findings = build(text)
    assert circuit is None
    place: Any = findings[0].place
    assert source.splitlines()[place.line - 1][place.column - 1 : place.end_column - 1] == "sett"


# ---- tolerances -------------------------------------------------------------------------------


def test_tolerances_say_what_may_be_off(make: Make) -> None:
    circuit = make(
        CYCLE + "tolerances\n  R1 set, within 3 %\n  C1 load ± 4 kN\n"
        "  temperature of oil, within 8 K\n  viscosity of oil, within 5 %\n"
        "  V1 opening, within 2 %\n"
    )
    found = {row.figure.text if row.figure else "": row for row in circuit.tolerances}
    assert (found["R1 set"].tolerance, found["R1 set"].share) == (pytest.approx(0.03), True)
    assert (found["C1 load"].tolerance, found["C1 load"].share) == (4e3, False)
    assert (found["oil temperature"].tolerance, found["oil temperature"].share) == (8.0, False)
    assert (found[""].tolerance, found[""].figure) == (0.05, None)
    assert found["V1 opening"].share is False  # of a share, per cent are points


@pytest.mark.parametrize(
    ("sentence", "message"),
    [
        ("R1 sett, within 3 %", "a relief has no 'sett'"),
        ("R1 set", "by how much may it be off?"),
        ("R1 set, within 3 mm", "a tolerance of 3 mm does not fit"),
        ("R1 set 200 bar, within 3 %", "'set 200 bar' is not the name of a figure"),
        ("R1 set, in press", "'in press' is no tolerance"),
        ("R1 set, within 3 %\n  R1 set, within 4 %", "is given twice"),
        ("density of oil, within 3 %", "of the oil only the temperature can be varied"),
    ],
)
def test_what_is_wrong_in_tolerances(sentence: str, message: str) -> None:
    found = errors(f"parts{PARTS}\nlines{LINES}\ntolerances\n  {sentence}\n")
    assert found
    assert message in found[0]
