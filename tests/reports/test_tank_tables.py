"""The table of a tank: a row per step, levels with the rods in and out below it."""

from __future__ import annotations

from circuitcheck.pipeline import parse
from circuitcheck.reports.tank_tables import tank_tables

TEXT = """circuit "plunger"
oil 32 cSt at 50 degC
parts
  T1  tank, 100 L, walls 2 m2, ambient 20 degC
  P1  pump, fixed, 16 cc/rev, 1450 rpm, volumetric 100 %
  R1  relief, set 180 bar
  V1  valve 4/3, tandem centre
  C1  cylinder, bore 80 mm, rod 50 mm, stroke 400 mm
lines
  from T1 to P1 S
  from P1 P to V1 P and R1 P
  from V1 T and R1 T to T1
  from V1 A to C1 cap
  from V1 B to C1 rod
cycle
  step idle, V1 at centre, 5 s, oil at 45 degC
  step out, V1 at a, C1 load 20 kN, C1 travels 400 mm, oil at 45 degC
"""


def test_a_tank_is_told_step_by_step() -> None:
    (made,) = tank_tables(parse(TEXT).solved(), "metric")
    assert made.caption == "Tank T1"
    heads = [column.head for column in made.columns]
    idle, out = (dict(zip(heads, row, strict=True)) for row in made.rows)
    assert (idle["Oil"], out["Oil"]) == ("100", "99.2")
    assert idle["Wall heat"] == idle["Cooled"] == "0.6"
    assert float(idle["Dwell"]) == 259
    assert "Level" not in heads  # no floor is given
    assert made.notes[0] == "All rods in: 100 L; all out: 99.2 L. Swing of the cycle: 0.785 L."


def test_a_tank_without_a_volume_has_no_table() -> None:
    assert not list(tank_tables(parse(TEXT.replace("tank, 100 L", "tank")).solved(), "metric"))
