"""Laws that hold for every circuit, on circuits drawn by lot.

The same draws in every run. `campaign.py` in this folder draws as many others as wanted.
"""

from __future__ import annotations

import dataclasses
import math
import re
from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from circuitcheck.pipeline import parse
from circuitcheck.solver.operating import OperatingPoint
from circuitcheck.solver.solve import solve
from tests.properties.checks import BAR, L_MIN, faults
from tests.properties.design import CONTROLS, Design, Drawn, design
from tests.properties.writing import Units, text_of


@st.composite
def designs(
    draw: st.DrawFn, controls: tuple[str, ...] = CONTROLS, most: int = 4, steps: int = 3
) -> Design:
    return design(Drawn(draw), controls, most, steps)


def drawn(count: int) -> Callable[[Callable[..., None]], Callable[..., None]]:
    """So many draws, the same in every run; `campaign.py` cuts down what fails, and faster."""
    return settings(
        max_examples=count,
        derandomize=True,
        deadline=None,
        database=None,
        phases=[Phase.generate],
        suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
    )


def points_of(text: str) -> list[OperatingPoint]:
    points = parse(text).solve().points
    for point in points:
        assert point.success, f"step {point.step.name}: {point.message}\n{text}"
    return points


def pairs_of(text: str, other: str) -> list[tuple[OperatingPoint, OperatingPoint]]:
    """Steps of two texts side by side, without those that are said to have several points.

    Which of these is shown may turn on the last place of a figure.
    """
    several = ("several-operating-points", "two-operating-points")
    open_: set[str] = set()
    points = []
    for one in (text, other):
        solution = parse(one).solve()
        open_ |= {found.step for found in solution.findings if found.slug in several}
        assert solution.solved, f"{[point.message for point in solution]}\n{one}"
        points.append(solution.points)
    pairs = list(zip(*points, strict=True))
    return [pair for pair in pairs if pair[0].step.name not in open_]


@pytest.mark.parametrize("control", CONTROLS)
def test_every_circuit_solves_and_balances(control: str) -> None:
    @drawn(12)
    @given(designs((control,)))
    def law(whole: Design) -> None:
        text = text_of(whole)
        project = parse(text)
        for point in project.solve():
            wrong = faults(project.circuit, point)
            assert not wrong, f"step {point.step.name}: {'; '.join(map(str, wrong))}\n{text}"

    law()


SIMPLE = {"holding": "none", "before": "none", "metering": "none"}


@drawn(10)
@given(designs(("fixed", "pressure compensated"), most=2), st.floats(1.01, 1.5))
def test_raising_a_relief_never_lowers_the_pressure_at_the_pump(
    whole: Design, raised: float
) -> None:
    """Of circuits in which no pressure works a valve elsewhere."""
    whole.branches = [dataclasses.replace(branch, **SIMPLE) for branch in whole.branches]
    whole.supply.second = None
    text = text_of(whole)
    circuit = parse(text).circuit
    setting = circuit.parts["R1"].figures["set"].value
    before, after = solve(circuit), solve(circuit, {("R1", "set"): np.array(raised * setting)})
    for low, high in zip(before, after, strict=True):
        gain = high["P1"].ports["P"].pressure - low["P1"].ports["P"].pressure
        assert gain > -1.0, f"step {low.step.name} falls by {-gain:.3g} Pa\n{text}"


NOISE = 1e-3 * L_MIN
"""Flow below which a state may go either way on rounding [m3/s]."""


def same(one: float, two: float, share: float, floor: float) -> bool:
    if math.isnan(one) or math.isnan(two):
        return math.isnan(one) and math.isnan(two)
    return abs(one - two) <= share * max(abs(one), abs(two), floor)


def differences(
    one: OperatingPoint, two: OperatingPoint, share: float, names: Callable[[str], str] = str
) -> list[str]:
    """Port pressures and flows, speeds and losses that differ; ``names`` gives those of two."""
    found: list[str] = []
    for name, part in one.parts.items():
        if part.kind == "line":
            continue  # lines have no names of their own in these texts
        other = two.parts[names(name)]
        still = max((abs(state.flow) for state in part.ports.values()), default=0.0) < NOISE
        if part.state != other.state and not still:
            found.append(f"{name} is {part.state} and {other.state}")
        for port, state in part.ports.items():
            if not same(state.pressure, other.ports[port].pressure, share, BAR):
                found.append(
                    f"{name} {port}: {state.pressure:.12g} and {other.ports[port].pressure:.12g} Pa"
                )
            if not same(state.flow, other.ports[port].flow, share, L_MIN):
                found.append(f"{name} {port}: {state.flow:.12g} and {other.ports[port].flow:.12g}")
    return found


@drawn(8)
@given(designs())
def test_inch_units_give_the_same_figures_and_results(whole: Design) -> None:
    """Figures to rounding; results to what the solver leaves of a step, 1e-7 bar."""
    metric, inch = text_of(whole), text_of(whole, Units(inch=True))
    one, two = parse(metric), parse(inch)
    for part, other in zip(one.circuit.parts.values(), two.circuit.parts.values(), strict=True):
        for name, figure in part.figures.items():
            assert figure.value == pytest.approx(other.figures[name].value, rel=1e-13), name
    for point, same_point in pairs_of(metric, inch):
        wrong = differences(point, same_point, 1e-7)
        assert not wrong, f"step {point.step.name}: {'; '.join(wrong)}\n{metric}\n{inch}"


def other_name(name: str) -> str:
    return f"item_{name.lower()}_x"


@drawn(10)
@given(designs(), st.integers(0, 1000))
def test_other_names_and_another_order_give_the_same_results(whole: Design, seed: int) -> None:
    text, other = text_of(whole), text_of(whole, namer=other_name, shuffle=seed)
    for one, two in pairs_of(text, other):
        wrong = differences(one, two, 1e-6, other_name)
        assert not wrong, f"step {one.step.name}: {'; '.join(wrong)}\n{text}\n{other}"


def laid_out_otherwise(text: str) -> str:
    """The same sentences with comments, colons, blank lines, carried lines, no indenting."""
    rows = []
    for row in text.splitlines():
        row = row.strip()
        if row in ("parts", "lines", "cycle"):
            row += ":"
        row = re.sub(r", ", ",   # carried on\n\t\t", row, count=1)
        rows.append(f"{row}   # a remark, with a comma")
        rows.append("")
    return "\n".join(rows) + "\n"


@drawn(6)
@given(designs(most=2))
def test_the_layout_of_a_text_does_not_matter(whole: Design) -> None:
    text = text_of(whole)
    for one, two in zip(points_of(text), points_of(laid_out_otherwise(text)), strict=True):
        assert not differences(one, two, 0.0)


@drawn(6)
@given(designs(most=2))
def test_a_step_does_not_mind_its_company(whole: Design) -> None:
    """A step solved alone gives what it gives among others, where its loads are ordered."""
    for moves in whole.moves:
        for move in moves:
            move.load = move.load or 0.02
    alone = dataclasses.replace(whole, moves=whole.moves[-1:], warm=whole.warm[-1:])
    last, only = points_of(text_of(whole))[-1], points_of(text_of(alone))[0]
    wrong = differences(last, only, 1e-6)
    assert not wrong, f"{'; '.join(wrong)}\n{text_of(whole)}"


def test_the_checks_see_a_missing_flow_and_a_missing_power() -> None:
    """The checks can fail: a point with a flow and a loss taken away."""
    project = parse(
        'circuit "Idle"\noil ISO VG 46, at 50 degC\nparts\nT1 tank\nP1 pump, fixed, 10 cc/rev, '
        "1500 rpm\nR1 relief, set 100 bar\nlines\nfrom T1 to P1 S\nfrom P1 P to R1 P\n"
        "from R1 T to T1\n"
    )
    (point,) = project.solve()
    assert not faults(project.circuit, point)
    pump = point.parts["P1"]
    short = dataclasses.replace(pump.ports["P"], flow=pump.ports["P"].flow * (1 + 1e-5))
    bent = dataclasses.replace(pump, ports={**pump.ports, "P": short}, loss=-1.0)
    wrong = dataclasses.replace(
        point,
        parts={**point.parts, "P1": bent},
        totals=dataclasses.replace(point.totals, loss=point.totals.loss * 0.999),
    )
    sorts = {fault.sort for fault in faults(project.circuit, wrong)}
    assert sorts == {"flow", "power", "negative loss", "losses"}
    gone = dataclasses.replace(point, success=False)
    assert [fault.sort for fault in faults(project.circuit, gone)] == ["unsolved"]
