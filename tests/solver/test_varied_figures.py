"""Every variation is the circuit whose text has that figure written in."""

from __future__ import annotations

import re
import tracemalloc
from pathlib import Path

import numpy as np
import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import circuitcheck as cc
from circuitcheck.basics.findings import Severity
from circuitcheck.solver.answer import answer
from circuitcheck.solver.assignment import Wish, assign
from circuitcheck.solver.fitted import with_values
from circuitcheck.solver.results import solution
from circuitcheck.solver.settling import Settled
from circuitcheck.solver.solve import solve
from circuitcheck.solver.system import Case
from circuitcheck.solver.work import NotVaried, _imbalance, _remarks
from tests.press_text import THROTTLE_STAND

STAND = """circuit "stand"
oil ISO VG 46, at {degC} degC
parts
  T1 tank
  E1 electric motor, 7.5 kW, 1450 rpm
  P1 pump, fixed, 16 cc/rev, driven by E1, volumetric 92 %, mechanical 90 %
  R1 relief, set {set} bar, 60 L/min
  V1 valve 4/3, closed centre, solenoids a and b, spring centred, 40 L/min at 5 bar
  CB1 counterbalance, set 250 bar, pilot 3:1, 40 L/min at 8 bar
  C1 cylinder, bore {bore} mm, rod 36 mm, stroke 500 mm
lines
  from T1 to P1 S
  from P1 P to R1 P
  from R1 T to T1
  from P1 P to V1 P, hose 12.7 mm, {length} m
  from V1 A to CB1 V, hose 12.7 mm, 3 m
  from CB1 C to C1 cap
  from V1 B to C1 rod, hose 12.7 mm, 3 m
  pilot from C1 rod to CB1 X
  back from V1 T to T1, hose 19 mm, 1 m
cycle
  step out, V1 at a {opening} %, C1 load {load} kN
  step back, V1 at b {opening} %, C1 load {load} kN
"""
FOLLOWED = ("press_accumulator", "clamps", "lift", "torque_limit")
"""Examples with stores, valves that latch, rods at their ends, loads that drive."""

USUAL = {"degC": 45, "set": 160, "bore": 63, "length": 2, "opening": 100, "load": 20}
NAMES = {
    "degC": ("oil temperature", "degC"),
    "set": ("R1 set", "bar"),
    "bore": ("C1 bore", "mm"),
    "opening": ("V1 opening", "%"),
    "load": ("C1 load", "kN"),
}
RESULTS = ("C1 speed", "P1 P pressure", "R1 flow", "back pressure", "heat", "C1 heat")

EXAMPLES = [
    file
    for file in sorted((Path(__file__).resolve().parents[2] / "examples").glob("*.hyc"))
    if file.stem != "wrong"
]


def stand(**figures: float) -> cc.Project:
    return cc.parse(STAND.format(**(USUAL | figures)))


row = st.fixed_dictionaries(
    {
        "degC": st.floats(5, 70),
        "set": st.floats(60, 300),
        "bore": st.floats(45, 100),
        "opening": st.floats(10, 100),
        "load": st.floats(-15, 60),
    }
)


@settings(max_examples=6, deadline=None)
@given(st.lists(row, min_size=2, max_size=4))
def test_a_variation_is_the_circuit_with_these_figures_in_its_text(
    rows: list[dict[str, float]],
) -> None:
    rows = [{name: float(f"{value:.6g}") for name, value in row.items()} for row in rows]
    texts = {
        NAMES[name][0]: ", ".join(f"{row[name]} {NAMES[name][1]}" for row in rows) for name in NAMES
    }
    varied = stand().vary(texts, along=False)
    for number, figures in enumerate(rows):
        alone = stand(**figures).solve()
        assert [p.success for p in alone] == varied.solved[:, number].tolist()
        if not alone.solved:
            continue
        for name, scale in (("speed", 1e-7), ("heat", 1e-2)):
            told = [p["C1"].values[name] for p in alone]
            assert varied.si(f"C1 {name}")[:, number] == pytest.approx(told, rel=1e-6, abs=scale)
        told = [p["P1"].ports["P"].pressure for p in alone]
        assert varied.si("P1 P pressure")[:, number] == pytest.approx(told, rel=1e-6, abs=10.0)
        told = [p.totals.loss for p in alone]
        assert varied.si("heat")[:, number] == pytest.approx(told, rel=1e-6, abs=1e-2)


def test_every_figure_of_every_kind_is_varied_rightly_or_refused() -> None:
    """The equations at both ends are those of the circuit that has the figure written in."""
    tried: dict[tuple[str, str], bool] = {}
    for file in EXAMPLES:
        project = cc.load(file)
        for part in project.circuit.parts.values():
            for name, figure in part.figures.items():
                parameter = part.kind.parameter(name)
                of = (part.kind.word, name)
                if parameter is None or figure.quantity in ("code", "file") or tried.get(of):
                    continue
                other = figure.value * 0.99 or 0.01
                if parameter.least is not None and other < parameter.least:
                    other = figure.value * 1.01
                if parameter.most is not None and other > parameter.most:
                    continue
                work, _ = assign(
                    project.circuit, Wish({f"{part.name} {name}": [figure.value, other]})
                )
                try:
                    work.check()
                except NotVaried:
                    tried.setdefault(of, False)
                else:
                    tried[of] = True
    assert len(tried) > 150
    assert sum(tried.values()) > 0.9 * len(tried)


@pytest.mark.parametrize(
    "file", [file for file in EXAMPLES if file.stem in FOLLOWED], ids=lambda file: file.stem
)
def test_steps_that_depend_on_earlier_ones_are_followed_in_each_variation(file: Path) -> None:
    """Latches, stores, places of rods: oil temperatures and a size, against single solves."""
    project = cc.load(file)
    part = next(p for p in project.circuit.parts.values() if "bore" in p.figures)
    name = f"{part.name} bore"
    bore = part.figures["bore"].value
    values = {"oil temperature": np.array([25.0, 50.0]), name: np.array([bore, 1.05 * bore])}
    work, _ = assign(project.circuit, Wish(values))
    varied = project.vary(values)
    for number in range(2):
        one = {key: float(row[number]) for key, row in varied.values.items()}
        alone = solve(with_values(project.circuit, work.varied, one))
        assert [p.success for p in alone] == np.atleast_2d(varied.solved)[:, number].tolist()
        for other in project.circuit.parts:
            told = np.array([p.parts[other].loss for p in alone])
            heat = np.atleast_2d(varied.si(f"{other} heat"))[:, number]
            good = np.array([p.success for p in alone])
            assert heat[good] == pytest.approx(told[good], rel=1e-4, abs=0.05), other


SPREAD = {"R1 set": "60 to 300 bar", "C1 load": "-10 to 60 kN", "V1 opening": "10 to 100 %"}


def test_the_order_of_variations_does_not_matter() -> None:
    dice = np.random.default_rng(3)
    values = {"R1 set": dice.uniform(60e5, 3e7, 200), "C1 load": dice.uniform(-1e4, 6e4, 200)}
    order = dice.permutation(200)
    one = stand().vary(values)
    other = stand().vary({name: row[order] for name, row in values.items()})
    for name in RESULTS:
        assert np.allclose(one.si(name)[:, order], other.si(name), rtol=1e-6, atol=1e-6)


def test_chunks_give_what_one_batch_gives() -> None:
    whole = stand().vary(SPREAD, random=150, results=RESULTS)
    pieces = stand().vary(SPREAD, random=150, results=RESULTS, chunk=37)
    assert len(pieces) == 150
    for key, row in whole.values.items():
        assert np.array_equal(row, pieces.values[key])
    for name in RESULTS:
        assert np.allclose(whole.si(name), pieces.si(name), rtol=1e-6, atol=1e-6)


def test_neighbours_give_what_single_starts_give() -> None:
    values = {"C1 load": "0 to 60 kN, 400 points"}
    along = stand().vary(values, along=True)
    cold = stand().vary(values, along=False)
    assert along.iterations.sum() < 0.4 * cold.iterations.sum()
    for name in RESULTS:
        assert np.allclose(along.si(name), cold.si(name), rtol=1e-5, atol=1e-5)


def test_shapes_units_states_and_names() -> None:
    both = stand().vary({"R1 set": "60 to 300 bar, 5 points"})
    assert both["C1"].speed.to("mm/s").magnitude.shape == (2, 5)
    one = stand().vary({"R1 set": "60 to 300 bar, 5 points"}, steps=("back",))
    assert one.steps == ["back"]
    assert one["C1"].speed.magnitude.shape == (5,)
    assert one["P1"].ports["P"].pressure.to("bar").magnitude[0] < 100
    assert np.allclose(one["P1"].ports["P"].flow.magnitude, one.si("P1 P flow"))
    assert len(one["R1"].state) == 5
    assert set(one["R1"].state) <= {"closed", "open", "fully open"}
    assert np.array_equal(one.si("C1 speed"), both.si("C1 speed")[1])
    assert one.method[0][0]
    assert one.imbalance.max() < 1e-7 * 1e-3 / 60
    with pytest.raises(AttributeError, match="C1 has no 'sped'; it has"):
        _ = one["C1"].sped
    with pytest.raises(KeyError, match="did you mean 'speed'"):
        one.si("C1 sped")


def test_pint_quantities_are_taken_in_any_unit() -> None:
    units = pint.UnitRegistry()
    by_psi = stand().vary({"R1 set": units.Quantity([1000.0, 2000.0], "psi")})
    by_text = stand().vary({"R1 set": "1000 psi, 2000 psi"})
    assert np.allclose(by_psi.si("R1 pressure"), by_text.si("R1 pressure"))


def test_what_is_assumed_from_a_figure_follows_it() -> None:
    """The ratio of a belt comes from its pulleys, and turns the pump."""
    text = STAND.replace(
        "driven by E1, vol",
        "driven by BD1, vol",
    ).replace(
        "lines\n", "  BD1 belt, driven by E1, driving pulley {d} mm, driven pulley 180 mm\nlines\n"
    )
    varied = cc.parse(text.format(**USUAL, d=120)).vary({"BD1 driving pulley": "90 mm, 180 mm"})
    for number, diameter in enumerate((90, 180)):
        alone = cc.parse(text.format(**USUAL, d=diameter)).solve()
        told = [point["C1"].values["speed"] for point in alone]
        # a coupling holds two speeds together to 1e-5, by a stiffness of all variations together
        assert varied.si("C1 speed")[:, number] == pytest.approx(told, rel=2e-5)
    assert varied.si("C1 speed")[0, 1] > 1.8 * varied.si("C1 speed")[0, 0]


def test_unsolved_variations_have_no_figures_and_are_told() -> None:
    """A cylinder at its stop on a fixed pump whose relief may be set beyond any sense."""
    text = STAND.replace("  from P1 P to R1 P\n  from R1 T to T1\n", "").replace(
        "  R1 relief, set {set} bar, 60 L/min\n", ""
    )
    project = cc.parse(text.format(**USUAL))
    found = project.vary({"C1 load": "20 kN, 4000 kN"}, steps=("out",))
    told = {finding.slug for finding in found.findings}
    assert told
    worst = found.remarks["nothing-limits-pressure"] | found.remarks["not-solved"]
    assert worst.tolist() == [False, True]
    assert np.isnan(found.si("C1 speed")[~found.solved]).all()
    assert all(finding.severity is Severity.ERROR for finding in found.findings)
    assert "1 of 2 variations" in found.findings[0].message


WRONG = [
    ({"R9 set": "1 bar"}, "there is no part R9"),
    ({"R1 sett": "50 bar"}, "did you mean 'set'?"),
    ({"R1": "50 bar"}, "which figure of R1?"),
    ({"R1 set": "50 to 300 bars, 3 points"}, "did you mean 'bar'?"),
    ({"R1 set": "50 kN"}, "R1 set is not given in kN"),
    ({"R1 set": "50"}, "needs a unit"),
    ({"R1 set": "50 to 300 bar"}, "how many points"),
    ({"R1 set": "50 to 300 bar, many"}, "is not a range"),
    ({"R1 set": "low, high"}, "is not a figure"),
    ({"R1 set": "50 to 300 bar in steps of 0 bar"}, "is not the size of a step"),
    ({"R1 set": [-5.0]}, "too small"),
    ({"R1 set": [np.nan]}, "finite numbers"),
    ({"R1 set": [[1e5], [2e5]]}, "one row"),
    ({"R1 set": ["a"]}, "not numbers"),
    ({"C1 rod": "20 to 90 mm, 10 points"}, "is not smaller than the bore"),
    ({"V1 opening": "0 to 120 %, 5 points"}, "at most 100 %"),
    ({"oil viscosity": "5 cSt"}, "only the temperature"),
    ({"P1 losses": "3"}, "no figure"),
    ({"C1 load": "5 kN, 6 kN", "R1 set": "1 bar, 2 bar, 3 bar"}, "as many values"),
    ({"R1 set": "50 bar", "R1  set": "60 bar"}, "is varied twice"),
    ({}, "nothing is to be varied"),
    ({"  ": "50 bar"}, "which figure?"),
]


@pytest.mark.parametrize(("values", "said"), WRONG)
def test_what_cannot_be_varied_is_said_in_words(values: dict[str, object], said: str) -> None:
    with pytest.raises(cc.CircuitError) as caught:
        stand().vary(values)
    assert all(finding.slug and finding.place.line >= 1 for finding in caught.value.findings)
    assert said in re.sub(r"\s+", " ", str(caught.value))


@pytest.mark.parametrize(
    ("wanted", "said"),
    [
        ({"results": ["C1 sped"]}, "did you mean 'speed'?"),
        ({"results": ["T9 flow"]}, "there is no part or line T9"),
        ({"results": ["  "]}, "has no name"),
        ({"steps": ["owt"]}, "did you mean 'out'?"),
        ({"grid": True, "random": 5}, "a grid or random"),
        ({"random": 2_000_000_000}, "a thousand million"),
        ({"random": -1}, "a thousand million"),
        ({"latin": 5, "random": 5}, "a Latin hypercube, not two"),
        ({"latin": 2_000_000_000}, "a Latin hypercube has from 1 to"),
    ],
)
def test_what_cannot_be_wanted_is_said_in_words(wanted: dict[str, object], said: str) -> None:
    with pytest.raises(cc.CircuitError) as caught:
        stand().vary({"R1 set": "50 bar, 60 bar"}, **wanted)
    assert all(finding.slug and finding.place.line >= 1 for finding in caught.value.findings)
    assert said in re.sub(r"\s+", " ", str(caught.value))


def test_a_temperature_written_in_holds_in_steps_that_have_their_own() -> None:
    circuit = cc.parse(THROTTLE_STAND).circuit
    work, _ = assign(circuit, Wish({"oil temperature": [40.0, 50.0]}))
    one = solve(with_values(circuit, work.varied, {("oil", "temperature"): 40.0}))
    assert [point.oil_degC for point in one] == [40.0, 40.0]
    assert [point.oil_degC for point in solve(circuit)] == [20.0, 60.0]


def test_a_line_without_a_size_has_the_pressure_of_its_junction() -> None:
    found = cc.parse(THROTTLE_STAND).vary({"R1 set": "80 bar, 160 bar"})
    assert np.ptp(found.si("pressure")) > 10e5
    assert np.array_equal(found.si("pressure"), found.si("P1 P pressure"))


def test_states_that_were_not_kept_are_told() -> None:
    kept = stand().vary(SPREAD, random=6, chunk=6, results=("C1 speed",))
    assert [len(row) for row in kept.states("C1")] == [6, 6]
    chunks = stand().vary(SPREAD, random=6, chunk=3, results=("C1 speed",))
    with pytest.raises(KeyError, match="the state of C1 was not kept"):
        chunks.states("C1")


def test_the_imbalance_is_that_of_the_worst_junction() -> None:
    """Of a point a little off, and the same as operating points tell."""
    found = answer(Case(circuit := stand().circuit, circuit.steps))
    found.found.x[:] *= 1.0 + 1e-4
    worst = _imbalance(found)
    free = ~found.equations.all_pinned.any(axis=1)
    flows = np.array([u.kind == "pressure" for u in found.system.unknowns])
    assert worst == pytest.approx(np.abs(found.balance[free & flows]).max(axis=0))
    assert (worst > 1e-9).all()
    assert [point.imbalance for point in solution(found)] == pytest.approx(worst.tolist())


def test_what_no_road_solves_is_remarked_variation_by_variation() -> None:
    circuit = stand().circuit
    found = answer(Case(circuit, circuit.steps))
    found.found.solved[1] = False
    ways = {"C1": np.zeros(2)}
    found.case.directions = ways
    told = _remarks(Settled(found, np.zeros(1, dtype=bool)))
    assert {slug: row.tolist() for slug, row in told.items()} == {
        "no-steady-point": [False, False],
        "not-solved": [False, True],
        "steps-do-not-settle": [False, False],
        "nothing-limits-pressure": [False, False],
        "load-direction-open": [False, False],
    }
    driven = stand(load=-10).circuit
    found = answer(Case(driven, driven.steps, directions=ways))
    assert _remarks(Settled(found, np.ones(1, dtype=bool)))["load-direction-open"].all()


def test_a_figure_that_decides_how_a_part_is_built_is_refused() -> None:
    """Without droop a motor holds its speed; with droop it has another equation."""
    with pytest.raises(cc.CircuitError, match="decides how E1 is built"):
        stand().vary({"E1 droop": "0 to 4 %, 5 points"})


def test_memory_does_not_grow_with_the_number_of_variations() -> None:
    def peak(count: int) -> int:
        tracemalloc.start()
        stand().vary(SPREAD, random=count, chunk=300, results=("C1 speed",), along=False)
        found = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
        return found

    assert peak(1800) < 1.3 * peak(600)


def test_many_variations_need_the_names_of_the_results() -> None:
    with pytest.raises(ValueError, match="name the results"):
        stand().vary({"R1 set": "50 to 300 bar, 100 points"}, chunk=10)
