"""Accumulators over a cycle: what they give by published figures, and cycles that repeat."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from circuitcheck.pipeline import load, parse
from circuitcheck.studies import duty as duty_room
from circuitcheck.studies import heat, laps
from circuitcheck.studies.cycle import cycle_of
from circuitcheck.studies.energy import books_of, flows
from circuitcheck.studies.laps import lap, sharpened
from tests.studies.test_duty_energy import EXAMPLES
from tests.studies.test_duty_work import LATCHING

BAR, ATM = 1e5, 1.01325

SIMPLE = """\
circuit "Store that gives through a throttle"
oil 32 cSt at 40 degC, 870 kg/m3, at 40 degC
parts
  T1 tank, 100 L, walls 5 m2, ambient 20 degC
  P1 pump, fixed, 4 cc/rev, 1500 rpm
  R1 relief, set {set} bar, 60 L/min
  CV1 check, 0.3 bar, 60 L/min at 1 bar
  S1 shut-off, normally closed, 60 L/min at 0.5 bar
  FC1 flow control, {flow} L/min, pressure compensated, least 5 bar
  A1 accumulator, 10 L, precharge 90 bar, {store}
lines
  from T1 to P1 S
  from P1 P to R1 P and CV1 in
  from R1 T to T1
  from CV1 out to A1 P and S1 in
  from S1 out through FC1 to T1
cycle
  step fill, {fill} s, S1 closed
  step give, {give} s, S1 open
"""


def simple(
    store: str = "isothermal, ideal gas", flow: float = 20.0, fill: float = 40.0,
    give: float = 6.0, relief: float = 200.0,
) -> str:  # fmt: skip
    return SIMPLE.format(store=store, flow=flow, fill=fill, give=give, set=relief)


BETWEEN = """\
circuit "Store between two pressures"
oil 32 cSt at 40 degC, 870 kg/m3, at 40 degC
parts
  T1 tank, 100 L, walls 5 m2, ambient 20 degC
  E1 electric motor, 5 kW, 1500 rpm
  P1 pump, fixed, 4 cc/rev, driven by E1, volumetric 100 %, mechanical 100 %
  R1 relief, set {high} bar, {spilled} L/min
  CV1 check, 0.01 bar, 60 L/min at 0.02 bar
  S1 shut-off, normally closed, 600 L/min at 0.1 bar
  R2 relief, set {low} bar, {flow} L/min
  A1 accumulator, 10 L, precharge {charge} bar, gas exponent {exponent}
lines
  from T1 to P1 S
  from P1 P to R1 P and CV1 in
  from CV1 out to A1 P and S1 in
  from S1 out to R2 P
  from R1 T and R2 T to T1
cycle
  step fill, 600 s, S1 closed
  step give, 600 s, S1 open, E1 at 0 rpm
"""


@pytest.mark.parametrize(("exponent", "published"), [(1.0, 4.50), (1.4, 3.62)])
def test_usable_oil_is_the_published_one(exponent: float, published: float) -> None:
    """10 L, p0/p1/p2 90/100/200 bar absolute: 4.50 L slow, 3.62 L fast.

    p0 V0^n = p V^n, textbook; both figures by the formula. A relief ends the filling at the
    upper pressure, another one the giving at the lower.
    """
    low, high, charge = (f"{pressure - ATM:.5f}" for pressure in (100, 200, 90))
    # both reliefs hold their setting at the mean flow that passes them in ten minutes
    flow = published / 10.0
    text = BETWEEN.format(
        low=low, high=high, charge=charge, exponent=exponent, flow=flow, spilled=6.0 - flow
    )
    (held,) = parse(text).duty(oil=40.0, pieces=1).stores
    assert held.high / BAR + ATM == pytest.approx(200.0, rel=2e-3)
    assert held.low / BAR + ATM == pytest.approx(100.0, rel=2e-3)
    assert held.turned * 1e3 == pytest.approx(published, rel=0.005)

    def stored(pressure: float) -> float:
        return 10.0 * (1.0 - (90.0 / (pressure / BAR + ATM)) ** (1.0 / exponent))

    assert held.most * 1e3 == pytest.approx(stored(held.high), rel=1e-4)
    assert held.least * 1e3 == pytest.approx(stored(held.low), rel=1e-4)


def test_a_cycle_begins_as_it_ends_wherever_it_is_started() -> None:
    text = simple()
    from_empty = parse(text).duty(oil=40.0).stores[0]
    half = text.replace("isothermal, ideal gas", "isothermal, ideal gas, at start 3 L")
    from_half = parse(half).duty(oil=40.0).stores[0]
    assert from_empty.start == pytest.approx(from_half.start, rel=1e-3)
    assert abs(from_empty.gain) <= 1e-5 * 10e-3
    assert from_empty.turned > 1e-3


def test_oil_that_a_store_turns_over_is_what_is_drawn() -> None:
    found = parse(simple(flow=20.0, give=6.0)).duty(oil=40.0)
    (held,) = found.stores
    # 20 L/min for 6 s, less what the pump gives meanwhile: 4 cc at 1500 rpm, some of it slips
    drawn, pumped = 20.0 / 60.0 * 6.0, 6.0 / 60.0 * 6.0
    assert held.turned * 1e3 == pytest.approx(drawn - 0.9 * pumped, abs=0.1 * pumped)


def test_a_store_that_gives_more_than_it_gets_ends_empty() -> None:
    found = parse(simple(flow=40.0, fill=5.0, give=30.0)).duty(oil=40.0)
    (held,) = found.stores
    assert held.least == pytest.approx(0.0, abs=1e-6)
    assert abs(held.gain) < 1e-6


def test_warm_gas_comes_to_its_own_rest() -> None:
    """Gas that is squeezed and has no time to cool begins the next cycle warm or cold."""
    circuit = parse(simple("heat time 20 s")).circuit
    found = lap(cycle_of(circuit), [40.0])
    assert found.repeats.all()
    excess = float(found.excess["A1"][0])
    assert abs(excess) > 1e-3
    case = found.answer.case
    last = [v["excess"] for e, v in zip(found.answer.system.elements,
            found.answer.values.values(), strict=True) if e.law == "warm_store"]  # fmt: skip
    assert case.by_step(last[0])[-1, 0] == pytest.approx(excess, abs=2e-4)


def test_a_cycle_that_does_not_come_to_rest_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(laps, "LAPS", 1)
    found = parse(simple()).duty(oil=40.0)
    assert any("does not come to rest" in said for said in found.remarks)


def test_a_store_too_large_for_its_cycle_is_not_waited_for(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The pump loads for many cycles and then rests for many: no cycle is like the last."""
    counts: list[int] = []

    def counted(*given: Any, **more: Any) -> laps.Lap:
        found = lap(*given, **more)
        counts.append(found.laps)
        return found

    for room in (heat, duty_room):
        monkeypatch.setattr(room, "lap", counted)
    large = LATCHING.replace("10 L, bladder, precharge 0 bar", "1000 L, bladder, precharge 80 bar")
    found = parse(large).duty()
    assert any("does not come to rest" in said for said in found.remarks)
    assert counts[0] == laps.LAPS
    assert max(counts[1:]) == laps.FEW_LAPS


def test_pieces_bring_the_work_of_the_store_to_nothing() -> None:
    """Isothermal and adiabatic gas give back what they took: what is left over is the error of
    steps that are taken at their ends, and goes as one over their number."""
    left = []
    for pieces in (2, 4, 8):
        found = lap(cycle_of(parse(simple()).circuit, pieces), [40.0])
        sums = flows(found, books_of(found))
        assert sums.error < 1e-6
        left.append(sum(flow.power for flow in sums.out if flow.kind == "store"))
    assert left[0] > left[1] > left[2]
    assert left[1] / left[2] == pytest.approx(2.0, rel=0.25)


def test_a_valve_that_latches_is_followed_in_fine_pieces() -> None:
    """The unloading valve of the press opens within a step; what the pump then wastes must not
    depend on the number of pieces."""
    circuit = load(EXAMPLES / "press_accumulator.hyc").circuit
    lost = []
    for pieces in (2, 4):
        found = sharpened(lap(cycle_of(circuit, pieces), [45.0]))
        assert found.repeats.all()
        lost.append(flows(found, books_of(found)).lost)
        assert len(found.cycle.steps) > pieces * len(circuit.steps)
        assert all(sum(row) == pytest.approx(1.0) for row in found.cycle.shares)
    assert lost[0] == pytest.approx(lost[1], rel=0.03)
    # the first step begins with the valve as the last one left it: latched
    books = books_of(found)
    assert books.input[0] < 300.0


def test_many_temperatures_are_those_one_by_one() -> None:
    circuit = parse(simple()).circuit
    together = lap(cycle_of(circuit), [30.0, 60.0])
    for i, degC in enumerate((30.0, 60.0)):
        alone = lap(cycle_of(circuit), [degC])
        assert together.stored["A1"][i] == pytest.approx(alone.stored["A1"][0], abs=2e-7)
        assert np.allclose(together.time[:, i], alone.time[:, 0])
