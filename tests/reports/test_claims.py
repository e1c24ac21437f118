"""Claims beside computed figures."""

from __future__ import annotations

import pytest

from circuitcheck.pipeline import Project, parse
from circuitcheck.reports.claims import HOLDS, OFF, UNKNOWN, Verdict, claims_table

CIRCUIT = '''\
circuit "Test"
parts
  T1  tank, 60 L
  E1  electric motor, 11 kW, 1450 rpm
  P1  pump, fixed, 16 cc/rev, driven by E1
  R1  relief, set 210 bar, 60 L/min
  G1  gauge, 0 to 315 bar
lines
  from T1 to P1 S
  from P1 P to R1 P and G1
  from R1 T to T1
cycle
  step run
claims within 3 %
  {claim}
'''


def verdict(claim: str) -> Verdict:
    made = parse(CIRCUIT.format(claim=claim), "x.hyc")
    assert made.understood, made.mistakes
    (found,) = made.check().claims
    return found


@pytest.mark.parametrize(
    ("claim", "word", "wish"),
    [
        ("P1 flow 21.5 L/min", HOLDS, "within 3 %"),
        ("P1 flow 30 L/min", OFF, "within 3 %"),
        ("P1 flow 22 L/min, within 2 L/min", HOLDS, "within 2 L/min"),
        ("E1 power 9.5 kW, at most", HOLDS, "at most"),
        ("E1 power 5 kW, at most", OFF, "at most"),
        ("P1 flow 20 L/min, at least", HOLDS, "at least"),
        ("P1 flow 25 L/min, at least", OFF, "at least"),
        ("time 20 s, over the cycle", UNKNOWN, "within 3 %"),
    ],
)
def test_a_claim_is_judged_by_its_own_tolerance(claim: str, word: str, wish: str) -> None:
    found = verdict(claim)
    assert (found.word, found.wish) == (word, wish)


def test_the_table_shows_claimed_computed_and_the_way_between() -> None:
    found = verdict("P1 flow 43 L/min")
    computed = found.computed
    assert computed is not None
    (row,) = claims_table((found,), "metric").rows
    assert row[0] == "P1 flow"
    assert row[2] == "43 L/min"
    assert row[4] == f"{computed * 60000:.3g} L/min"
    assert row[5] == f"{100 * (computed * 60000 / 43 - 1):+.1f} %"
    assert row[6] == OFF


def test_what_cannot_be_judged_says_why() -> None:
    made = claims_table((verdict("time 20 s, over the cycle"),), "metric")
    assert made.rows[0][-1] == UNKNOWN
    assert "duration" in made.notes[0]


def test_a_claim_with_the_wrong_area_is_off_in_one_direction(wrong: Project) -> None:
    speeds = [v for v in wrong.check().claims if v.what == "speed"]
    assert [v.word for v in speeds] == [HOLDS, OFF]
