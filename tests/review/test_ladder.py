"""The pressure ladder: order, what stands on it, what is marked, the picture."""

from __future__ import annotations

import itertools
import re

from circuitcheck import pipeline, rules
from circuitcheck.reports.ladder import ladder_table
from circuitcheck.reports.ladder_picture import ladder_picture
from circuitcheck.review.ladder import ORDER, OVER, RATING, SETTING, WORKING, Rung, ladder

from .test_accepting import PRESS


def rungs(text: str) -> list[Rung]:
    result = pipeline.parse(text).check()
    assert result.circuit is not None
    assert result.solution is not None
    return ladder(result.circuit, result.solution, result.findings)


def test_rungs_stand_low_to_high_and_name_their_step() -> None:
    found = rungs(PRESS)
    assert [rung.pressure for rung in found] == sorted(rung.pressure for rung in found)
    assert {rung.sort for rung in found} == {WORKING, SETTING}
    (setting,) = [rung for rung in found if rung.sort == SETTING]
    assert (setting.of, setting.pressure) == (("R1",), 180e5)
    pump = next(rung for rung in found if rung.of == ("P1 P",))
    assert pump.step == "idle"


def test_a_relief_over_the_rating_it_guards_is_marked() -> None:
    weak = PRESS.replace("stroke 400 mm", "stroke 400 mm, rated 150 bar")
    found = rungs(weak)
    assert [rung.of for rung in found if rung.sort == RATING] == [("C1",)]
    wrong = [rung for rung in found if rung.wrong]
    assert any("relief-over-lowest-rating" in rung.wrong for rung in wrong)
    table = ladder_table(found, "metric")
    assert any("WRONG: relief-over-lowest-rating" in row[-1] for row in table.rows)


def test_the_table_gives_the_gap_to_the_rung_below() -> None:
    below = Rung(100e5, WORKING, "highest", ("P1 P",), "out")
    above = Rung(130e5, SETTING, "set", ("R1",))
    rows = ladder_table([below, above], "metric").rows
    assert [row[:2] for row in rows] == [("130.0", "30.0"), ("100.0", "")]


def test_labels_of_the_picture_do_not_lie_on_one_another() -> None:
    many = [Rung(1e5 * (100 + i / 10), SETTING, "set", (f"R{i}",)) for i in range(30)]
    picture = ladder_picture([*many, Rung(315e5, RATING, "rated", ("P1",))], "", "metric")
    texts = re.findall(r'y="([\d.]+)"[^>]*>100? bar  R|y="([\d.]+)"[^>]*>1\d\d bar  R', picture)
    heights = sorted(float(a or b) for a, b in texts)
    assert len(heights) == 30
    assert min(b - a for a, b in itertools.pairwise(heights)) > 2.8


def test_rules_that_flag_an_order_are_rules() -> None:
    assert set(rules.catalogue()) >= ORDER | OVER


def test_a_pump_that_is_driven_over_its_rating_is_marked_there_and_not_at_its_setting() -> None:
    text = PRESS.replace("16 cc/rev,", "16 cc/rev, rated 150 bar,")
    marked = [rung for rung in rungs(text) if "pressure-over-rating" in rung.wrong]
    assert [(rung.sort, rung.of) for rung in marked] == [(RATING, ("P1",))]
