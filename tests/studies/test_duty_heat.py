"""Heat of the oil: published tank figures, closed forms of settling and warming."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.interpolate import PchipInterpolator

from circuitcheck.pipeline import load, parse
from circuitcheck.studies.warming import STEEL
from tests.studies.test_duty_energy import EXAMPLES, rolls

FT2, DEG_F, HP = 0.09290304, 5.0 / 9.0, 745.7

RELIEF = """\
circuit "Oil that runs over a relief"
oil 32 cSt at 40 degC, 870 kg/m3, at 40 degC
parts
  T1 tank, {volume}, {walls}ambient {ambient} degC
  P1 pump, fixed, 20 cc/rev, 1500 rpm, volumetric 100 %, mechanical 100 %
  R1 relief, set 100 bar, 60 L/min
{more}
lines
  from T1 to P1 S
  from P1 P to R1 P
  {back}
cycle
  step run, 60 s
"""


def relief(
    walls: str = "walls 3 m2, sheds 12.5 W/(m2 K), ", ambient: float = 20.0,
    more: str = "", back: str = "from R1 T to T1", volume: str = "100 L",
) -> str:  # fmt: skip
    return RELIEF.format(walls=walls, ambient=ambient, more=more, back=back, volume=volume)


def test_oil_settles_where_the_walls_shed_the_loss() -> None:
    """k A (T - T_air) = P; textbook balance."""
    found = parse(relief("walls 5 m2, sheds 20 W/(m2 K), ")).duty()
    assert found.origin == "settles"
    assert found.degC == pytest.approx(20.0 + found.flows.lost / 100.0, abs=0.05)
    assert found.heat.runs_away is None
    assert found.made == pytest.approx(sum(found.taken.values()), rel=1e-3)


def test_a_warmer_day_makes_the_oil_as_much_warmer() -> None:
    walls = "walls 5 m2, sheds 20 W/(m2 K), "
    mild, hot = (parse(relief(walls, air)).duty() for air in (15.0, 30.0))
    change = (hot.flows.lost - mild.flows.lost) / 100.0
    assert hot.degC - mild.degC == pytest.approx(15.0 + change, abs=0.05)


def test_walls_shed_the_published_heat() -> None:
    """1.7 m2 without the base, 12 W/(m2 K) in normal air, 85 in 35 degC: 1.02 kW.

    Inputs of a trade article on tanks; product by hand.
    """
    walls = "walls 1.7 m2, normal air, "
    text = relief(walls, 35.0, volume="120 L")
    found = parse(text).duty(hold=85.0)
    assert found.needed is not None
    assert found.needed.taken["T1"] == pytest.approx(1020.0, rel=1e-3)


def test_walls_needed_by_the_published_rule() -> None:
    """0.001 hp for every square foot and degF: 29.17 ft2 for 2.188 hp at 75 degF.

    Fluid power textbook, example 14.5; the rule equals 14.5 W/(m2 K) to three figures.
    """
    rule = 0.001 * HP / (FT2 * DEG_F)
    assert rule == pytest.approx(14.45, abs=0.01)
    text = relief(f"walls 1 m2, sheds {rule:.6f} W/(m2 K), ", 20.0)
    found = parse(text).duty(hold=20.0 + 75.0 * DEG_F)
    assert found.needed is not None
    assert found.needed.walls is not None
    per_hp = found.needed.walls / FT2 / (found.needed.made / HP)
    assert per_hp == pytest.approx(29.17 / 2.188, rel=2e-3)


def test_walls_needed_hold_the_oil_there() -> None:
    found = parse(relief("walls 1 m2, sheds 10 W/(m2 K), ")).duty(hold=55.0)
    assert found.needed is not None
    assert found.needed.walls is not None
    again = parse(relief(f"walls {found.needed.walls:.5f} m2, sheds 10 W/(m2 K), ")).duty()
    assert again.degC == pytest.approx(55.0, abs=0.1)


def test_cooler_needed_holds_the_oil_there() -> None:
    found = parse(relief()).duty(hold=45.0)
    assert found.needed is not None
    assert found.needed.missing > 0.0
    cooler = f"  K1 cooler, {found.needed.missing:.2f} W at 25 K over ambient, coolant 20 degC"
    cooled = relief(
        more=f"{cooler}, 60 L/min at 0.1 bar", back="from R1 T through K1 to T1"
    )  # fmt: skip
    again = parse(cooled).duty()
    assert again.degC == pytest.approx(45.0, abs=0.5)


def test_a_cooler_takes_no_more_than_its_oil_brings() -> None:
    """A cooler that no oil passes takes nothing, whatever its rating says."""
    cooler = "  K1 cooler, 5 kW at 20 K over ambient, 60 L/min at 0.1 bar"
    dead = relief(more=cooler, back="from R1 T to T1\n  from T1 to K1 in\n  from K1 out to T1")
    through = relief(more=cooler, back="from R1 T through K1 to T1")
    assert parse(dead).duty().taken["K1"] == pytest.approx(0.0, abs=1e-6)
    assert parse(through).duty().taken["K1"] > 1e3


def test_walls_that_are_not_given_are_five_sides_of_a_cube_and_said() -> None:
    found = parse(relief("")).duty()
    assert found.estimated == {"T1": pytest.approx(5.0 * 0.1 ** (2 / 3))}
    assert parse(relief()).duty().estimated == {}


def test_warming_is_exponential_where_the_loss_is_steady() -> None:
    """T = T_eq - (T_eq - T_0) exp(-t/tau), tau = C/(k A); textbook."""
    found = parse(relief("walls 5 m2, sheds 20 W/(m2 K), ")).duty()
    warming = found.warming
    assert warming is not None
    tau = warming.capacity / 100.0
    assert warming.capacity == pytest.approx(0.1 * 870 * 1950, rel=0.02)
    for share in (0.5, 0.632, 0.9):
        assert warming.share(share) == pytest.approx(-tau * math.log(1 - share), rel=0.02)
    assert np.all(np.diff(warming.degC) > 0.0)
    assert np.all(np.diff(warming.time) > 0.0)
    assert warming.after(0.0) == pytest.approx(20.0)
    assert warming.until(found.degC + 1.0) is None


def test_warming_is_that_of_the_differential_equation() -> None:
    """C dT/dt = made(T) - taken(T) of the staking press, integrated by another method."""
    found = load(EXAMPLES / "staking_press.hyc").duty()
    rows, warming = found.heat.balance, found.warming
    assert warming is not None
    net = PchipInterpolator(rows.degC, rows.net)
    solved = solve_ivp(
        lambda _, degC: net(degC) / warming.capacity, (0.0, warming.share(0.9)),
        [rows.degC[0]], rtol=1e-8, t_eval=[warming.share(0.5), warming.share(0.9)],
    )  # fmt: skip
    rise = warming.settles - rows.degC[0]
    assert solved.y[0] == pytest.approx(rows.degC[0] + np.array([0.5, 0.9]) * rise, abs=0.05)


def test_oil_that_would_run_away_is_said() -> None:
    """Thin oil leaks more than the walls take: above a temperature it only gets hotter."""
    found = load(EXAMPLES / "staking_press.hyc").duty()
    assert found.heat.degC is not None
    assert found.heat.runs_away is not None
    assert found.heat.runs_away > found.heat.degC
    made, taken = found.heat.balance.at(found.heat.runs_away)
    assert made > sum(taken.values())
    assert any("runs away" in said for said in found.remarks)


def test_a_cooler_stands_in_the_air_of_the_tank() -> None:
    """Where the text gives no coolant: its air is that round the tank."""
    cooler = "  K1 cooler, 5 kW at 20 K over ambient, 60 L/min at 0.1 bar"
    through = relief(more=cooler, back="from R1 T through K1 to T1", ambient=12.0)
    found = parse(through).duty(oil=32.0)
    assert found.taken["K1"] == pytest.approx(5e3, rel=1e-3)


def test_a_heater_holds_the_oil_at_its_setting() -> None:
    """It brings its power below the setting and none above: the oil stays between."""
    heater = "  H1 heater, 2 kW, set 60 degC, 60 L/min at 0.1 bar"
    text = relief(
        "walls 5 m2, sheds 25 W/(m2 K), ", more=heater, back="from R1 T through H1 to T1"
    )  # fmt: skip
    found = parse(text).duty()
    assert found.degC == pytest.approx(60.0, abs=0.3)
    assert any("H1 holds the oil there" in said for said in found.remarks)


def test_metal_makes_warming_slower() -> None:
    bare = parse(relief()).duty().warming
    heavy = parse(relief()).duty(metal=300.0).warming
    assert bare is not None
    assert heavy is not None
    assert heavy.capacity - bare.capacity == pytest.approx(300.0 * STEEL)
    assert heavy.share(0.5) / bare.share(0.5) == pytest.approx(heavy.capacity / bare.capacity)


def test_leakage_follows_the_temperature() -> None:
    """Hotter oil leaks more and rubs less: the heat made is not the same at all temperatures."""
    balance = load(EXAMPLES / "press.hyc").duty().heat.balance
    made = balance.made[balance.known]
    assert made[0] > 1.5 * made.min()
    assert np.argmin(made) not in (0, len(made) - 1)
    assert np.all(np.diff(balance.shed[balance.known]) > 0.0)


def test_oil_that_only_gets_hotter_is_said() -> None:
    found = parse(relief("walls 0.1 m2, sheds 5 W/(m2 K), ")).duty()
    assert found.heat.degC is None
    assert found.origin == "text"
    assert found.degC == 40.0
    assert any("does not settle" in said for said in found.remarks)
    assert found.warming is None


def test_without_anything_that_takes_heat_this_is_said() -> None:
    text = relief("").replace("tank, 100 L, ", "tank, ")
    found = parse(text).duty()
    assert found.heat.degC is None
    assert any("Nothing takes heat" in said for said in found.remarks)
    assert found.needed is None or found.needed.walls is None


def test_a_temperature_as_cold_as_the_air_cannot_be_held() -> None:
    assert parse(relief(ambient=30.0)).duty(hold=30.0).needed is None


def test_temperatures_of_steps_are_left_out_and_said() -> None:
    text = rolls((5e3, 8), (2e3, 4)).replace("4 s", "4 s, oil at 60 degC")
    found = parse(text).duty()
    assert any("Temperatures that steps order" in said for said in found.remarks)
