"""Spreads: closed forms, slopes against runs, meters, what is left out and refused."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.stats import kstest, norm, uniform

from circuitcheck.pipeline import CircuitError, parse
from circuitcheck.studies.doubts import as_warm_as

STAND = """\
oil ISO VG 46, at 50 degC
parts
  T1 tank
  E1 electric motor, 11 kW, 1450 rpm
  P1 pump, fixed, 16 cc/rev, driven by E1, volumetric 92 %, mechanical 90 %, test pressure 200 bar
  R1 relief, set 180 bar, 60 L/min
  TH1 throttle, 15 L/min at 100 bar
  G1 gauge, 0 to 250 bar, class 1 %
  FM1 flowmeter, 0 to 60 L/min, class 2 %
lines
  from T1 to P1 S
  pressure from P1 P to R1 P
  meter from pressure through FM1 to TH1 in
  from pressure to G1
  from R1 T and TH1 out to T1
cycle
  step run
  step cold, oil at 20 degC
"""
LIFT = """\
oil ISO VG 46, at 50 degC
parts
  T1 tank
  P1 pump, fixed, 16 cc/rev, 1450 rpm, volumetric 92 %, mechanical 90 %
  R1 relief, set 250 bar, 40 L/min
  C1 cylinder, single acting, bore 80 mm, stroke 400 mm, efficiency 95 %
lines
  from T1 to P1 S
  from P1 P to C1 cap and R1 P
  from R1 T to T1
cycle
  step lift, C1 load 50 kN
"""


@pytest.mark.parametrize("bell", [False, True])
def test_one_doubt_gives_the_distribution_it_has(bell: bool) -> None:
    """The speed of the drive is the speed of the pump: even from -2 % to +2 %, or normal."""
    found = parse(STAND).spread(
        ["P1 speed"], steps=["run"], off={"E1 speed": "2 %"}, only=True, bell=bell, runs=1000
    )
    (band,) = found.bands
    middle, width = 1450 * math.pi / 30, 0.02 * 1450 * math.pi / 30
    law = norm(middle, width / 2) if bell else uniform(middle - width, 2 * width)
    # a Latin hypercube follows the law to 1/runs; plain draws would by 0.04
    assert kstest(found.draws[0], law.cdf).statistic < 2e-3
    assert (band.low, band.high) == pytest.approx(law.ppf([0.05, 0.95]), rel=1e-4)
    assert band.mean == pytest.approx(middle, rel=1e-5)
    assert band.deviation == pytest.approx(law.std(), rel=5e-3)
    assert band.text == pytest.approx(middle)
    assert band.shares[0].runs == pytest.approx(1.0, abs=1e-6)


def test_a_product_of_two_has_the_variance_of_the_closed_form() -> None:
    """Pressure under a load: p = F/(A eta); F and eta are even within their limits."""
    found = parse(LIFT).spread(
        ["C1 cap pressure"], off={"C1 load": "10 %", "C1 efficiency": "4 %"}, only=True, runs=4000
    )
    (band,) = found.bands
    area = math.pi / 4 * 0.08**2
    # mean and variance of F and of 1/eta, which is even in eta: by integrals
    e0, e1 = 0.95 * 0.96, 0.95 * 1.04
    if e1 > 1.0:
        e1 = 1.0
    force_mean, force_var = 50e3, (0.1 * 50e3) ** 2 / 3
    assert 0.95 * 1.04 < 1.0
    one = math.log(e1 / e0) / (e1 - e0)
    two = (1 / e0 - 1 / e1) / (e1 - e0)
    mean = force_mean * one / area
    variance = ((force_var + force_mean**2) * two - (force_mean * one) ** 2) / area**2
    assert band.mean == pytest.approx(mean, rel=2e-3)
    assert band.deviation == pytest.approx(math.sqrt(variance), rel=2e-2)
    # share of the load: relative variances 0.1^2/3 and 0.04^2/3
    share = {s.name: s.runs for s in band.shares}
    assert share["C1 load"] == pytest.approx(0.01 / (0.01 + 0.0016), abs=0.01)


def test_slopes_carry_what_the_runs_carry_where_all_is_straight() -> None:
    """Linear propagation by the adjoint against the runs."""
    found = parse(STAND).spread(
        ["P1 P pressure", "heat", "TH1 flow"], steps=["run"], runs=2000,
        off={"R1 set": "2 %", "E1 speed": "1 %", "oil temperature": "2 K", "TH1 flow": "1 %"},
    )  # fmt: skip
    for band in found.bands:
        assert band.straight > 0.98, band.name
        assert band.linear == pytest.approx(band.deviation, rel=0.03), band.name
        for share in band.shares:
            assert share.slopes == pytest.approx(share.runs, abs=0.03), (band.name, share)
        assert sum(share.runs for share in band.shares) == pytest.approx(1.0, abs=0.03)
        assert sum(share.slopes for share in band.shares) == pytest.approx(1.0)
        assert band.least <= band.low < band.mean < band.high <= band.most


def test_where_a_relief_begins_to_open_the_spread_is_not_straight() -> None:
    """A set pressure from below to above what the throttle needs: flat beyond, straight below."""
    text = STAND.replace("set 180 bar", "set 205 bar")
    found = parse(text).spread(
        ["P1 P pressure"], steps=["run"], off={"R1 set": "30 %"}, only=True, runs=500
    )
    (band,) = found.bands
    assert band.straight < 0.9
    assert found.unsolved == 0


def test_a_meter_adds_its_class() -> None:
    found = parse(STAND).spread(
        ["G1 pressure", "P1 P pressure", "FM1 flow"], steps=["run"], runs=1000,
        off={"E1 speed": "0.001 %"}, only=True,
    )  # fmt: skip
    gauge, pump, meter = found.bands
    assert pump.deviation < 1e-4 * pump.mean
    # 1 % of a range of 250 bar, even: deviation 2.5 bar / sqrt(3)
    assert gauge.deviation == pytest.approx(2.5e5 / math.sqrt(3), rel=1e-2)
    assert gauge.most - gauge.least == pytest.approx(5e5, rel=1e-2)
    assert meter.deviation == pytest.approx(0.02 * meter.mean / math.sqrt(3), rel=1e-2)
    assert gauge.shares[0].name == "class of G1"
    assert gauge.shares[0].runs > 0.99
    assert gauge.shares[0].slopes > 0.99


def test_the_usual_doubts_and_each_temperature_of_the_oil() -> None:
    found = parse(STAND).spread(["P1 flow", "G1 pressure"])
    names = [doubt.name for doubt in found.doubts]
    assert names == ["R1 set", "E1 speed", "P1 volumetric", "P1 mechanical", "TH1 flow",
                     "oil temperature", "oil viscosity"]  # fmt: skip
    assert [band.step for band in found.bands] == ["run", "cold", "run", "cold"]
    assert all(doubt.source for doubt in found.doubts)
    project = parse(STAND)
    run, cold = found.bands[:2]
    for band, step in ((run, "run"), (cold, "cold")):
        assert band.text == pytest.approx(project.point(step)["P1"].values["flow"])
        assert band.low < band.text < band.high


def test_draws_come_again_by_their_seed() -> None:
    project = parse(STAND)
    one, two, three = (
        project.spread(["P1 flow"], steps=["run"], runs=200, seed=seed) for seed in (1, 1, 2)
    )
    assert one.bands == two.bands
    assert one.bands[0].mean != three.bands[0].mean


def test_thicker_oil_is_colder_oil() -> None:
    oil = parse(STAND).circuit.oil
    degC = np.array([0.0, 40.0, 50.0, 80.0])
    for share in (0.9, 1.0, 1.1):
        warm = as_warm_as(oil, degC, np.full(4, share))
        assert oil.nu(warm) == pytest.approx(share * oil.nu(degC), rel=1e-5)
        assert oil.rho(warm) == pytest.approx(oil.rho(degC), rel=3e-3)
    assert (as_warm_as(oil, degC, np.full(4, 1.1)) < degC).all()


def test_a_figure_that_decides_how_a_part_is_built_is_left_out_or_refused() -> None:
    text = STAND.replace("1450 rpm", "1450 rpm, droop 0 %")
    with pytest.raises(CircuitError, match="droop of E1"):
        parse(text).spread(["P1 flow"], off={"E1 droop": "2 %"}, only=True)


@pytest.mark.parametrize(
    ("off", "said"),
    [
        ({"R1 sett": "5 %"}, "did you mean 'set'"),
        ({"R1 set": "5 mm"}, "does not say by how much"),
        ({"R1 set": "much"}, "does not say by how much"),
        ({"C9 load": "5 %"}, "there is no part C9"),
        ({"oil temperature": "5 bar"}, "5 K"),
        ({"R1 vented": "5 %"}, "no value"),
    ],
)
def test_bad_input_is_said_in_words(off: dict[str, str], said: str) -> None:
    with pytest.raises(CircuitError) as refused:
        parse(STAND).spread(["P1 flow"], off=off)
    assert said in str(refused.value)


def test_names_of_results_and_steps_are_checked() -> None:
    with pytest.raises(CircuitError, match="did you mean"):
        parse(STAND).spread(["P1 flows"])
    with pytest.raises(CircuitError, match="there is no step"):
        parse(STAND).spread(["P1 flow"], steps=["rum"])


def test_the_chapter_tolerances_comes_before_the_usual_and_behind_what_is_said() -> None:
    text = STAND + "tolerances\n  R1 set, within 1 %\n  E1 speed, within 0.5 %\n"
    found = parse(text).spread(["P1 flow"], steps=["run"], runs=50, off={"E1 speed": "3 %"})
    off = {doubt.name: doubt.off / doubt.value for doubt in found.doubts}
    assert off["R1 set"] == pytest.approx(0.01)
    assert off["E1 speed"] == pytest.approx(0.03)
    assert off["P1 volumetric"] == pytest.approx(0.02)
    assert next(d.source for d in found.doubts if d.name == "R1 set") == "line 20 of the text"


def test_an_order_is_off_from_what_each_step_orders() -> None:
    """Two steps with loads of their own: each spreads round its own pressure."""
    text = LIFT + "  step higher, C1 load 80 kN\n  step rest, 4 s\n"
    project = parse(text)
    found = project.spread(
        ["C1 cap pressure"], steps=["lift", "higher"], off={"C1 load": "10 %"}, only=True, runs=400
    )
    for band, load in zip(found.bands, (50e3, 80e3), strict=True):
        pressure = load / (0.95 * math.pi / 4 * 0.08**2)
        assert band.text == pytest.approx(pressure, rel=1e-3)
        assert band.mean == pytest.approx(pressure, rel=1e-3)
        assert band.most - band.least == pytest.approx(0.2 * pressure, rel=1e-2)
        assert band.shares[0].slopes == pytest.approx(1.0)
    # in newton, not as a share: the same to both
    found = project.spread(
        ["C1 cap pressure"], steps=["lift", "higher"], off={"C1 load": "4 kN"}, only=True, runs=400
    )
    low, high = (band.most - band.least for band in found.bands)
    assert low == pytest.approx(high, rel=1e-2)
    rest = project.spread(["heat"], steps=["rest"], off={"C1 load": "4 kN", "P1 speed": "2 %"},
                          only=True, runs=100)  # fmt: skip
    assert {s.name for s in rest.bands[0].shares if s.slopes > 0.5} == {"P1 speed"}
