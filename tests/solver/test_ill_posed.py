"""What has no answer is said from the structure, with the parts to look at, and not tried."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import scipy.sparse as sp

from circuitcheck.basics.findings import Finding, Severity
from circuitcheck.components._parts import Part
from circuitcheck.laws.net import Net
from circuitcheck.pipeline import open_file, parse
from circuitcheck.solver import ill_posed
from circuitcheck.solver.answer import Answer, answer
from circuitcheck.solver.operating import COMPUTED, HELD, INDETERMINATE, Solution
from circuitcheck.solver.solve import solve
from circuitcheck.solver.system import Case

SLUGS = {
    ill_posed.CONTRADICT,
    ill_posed.NO_WAY,
    ill_posed.TRAPPED,
    ill_posed.NO_REFERENCE,
    ill_posed.APART,
    ill_posed.ALONE,
}

TWO_PUMPS = """
circuit "two pumps without slip"
parts
  T1  tank
  P1 and P2  pump, fixed, 10 cc/rev, 1450 rpm, volumetric 100 %
  C1  cylinder, {build}, bore 50 mm, {rod}stroke 100 mm
lines
  from T1 to P1 S and P2 S
  {lines}
cycle
  step go,  C1 load 1 kN
  step stop,  C1 at end stop
"""

INTO_ONE_END = TWO_PUMPS.format(build="single acting", rod="", lines="from P1 P and P2 P to C1 cap")
AGAINST_EACH_OTHER = TWO_PUMPS.format(
    build="double acting", rod="rod 20 mm, ", lines="from P1 P to C1 cap\n  from P2 P to C1 rod"
)


def solved(text: str) -> Solution:
    return parse(text).solve()


def said(solution: Solution) -> dict[str, Finding]:
    return {finding.slug: finding for finding in solution.findings if finding.slug in SLUGS}


def untried(text: str) -> Answer:
    circuit = parse(text).circuit
    return answer(Case(circuit, circuit.steps))


def test_two_rigid_pumps_into_one_dead_end_contradict_each_other() -> None:
    solution = solved(INTO_ONE_END)
    finding = said(solution)[ill_posed.CONTRADICT]
    assert finding.severity is Severity.ERROR
    assert finding.step == "stop"
    assert finding.component == "P1"
    assert "P1 and P2 force oil in at P1 P" in finding.message
    assert "C1" in finding.message
    assert solution.step("go").success
    assert not solution.step("stop").success


def test_no_number_is_tried_where_the_structure_says_no() -> None:
    found = untried(INTO_ONE_END)
    assert found.found.iterations[0] > 0
    assert found.found.iterations[1] == 0
    assert [finding.slug for finding in solved(INTO_ONE_END).findings] == [ill_posed.CONTRADICT]


def test_two_rigid_pumps_on_both_sides_of_a_piston_contradict_each_other() -> None:
    """The rod would have to run at two speeds."""
    finding = said(solved(AGAINST_EACH_OTHER))[ill_posed.CONTRADICT]
    assert finding.step == "go"
    for name in ("P1", "P2", "C1"):
        assert name in finding.message


def test_one_rigid_pump_without_a_way_out_is_named() -> None:
    text = INTO_ONE_END.replace("P1 and P2", "P1").replace(" and P2 S", "").replace(" and P2 P", "")
    solution = solved(text)
    assert "P1 forces oil in at P1 P, where C1 cannot give way" in (
        said(solution)[ill_posed.NO_WAY].message
    )
    assert solution.step("go").success


@pytest.mark.parametrize(
    "change",
    [
        ("volumetric 100 %", "volumetric 95 %"),
        ("1450 rpm, volumetric", "driven by E1, volumetric"),
        (
            "from P1 P and P2 P to C1 cap",
            "from P1 P and P2 P to C1 cap and R1 P\n  from R1 T to T1",
        ),
    ],
)
def test_slip_a_drive_that_droops_or_a_relief_gives_way(change: tuple[str, str]) -> None:
    text = INTO_ONE_END.replace(*change)
    more = "  E1 engine, 2 kW, droop 6 %, 1450 rpm\n" if "E1" in text else ""
    more += "  R1 relief, set 100 bar\n" if "R1" in text else ""
    solution = solved(text.replace("lines\n", f"{more}lines\n", 1))
    assert not said(solution)


def test_a_rigid_pump_that_draws_from_nothing_runs_empty_and_is_solved() -> None:
    """Oil that is missing is reckoned with; only oil that has no way out is not."""
    text = """
circuit "shut suction"
parts
  T1  tank
  P1  pump, fixed, 10 cc/rev, 1450 rpm, volumetric 100 %
  Q1  shut-off, 40 L/min
lines
  from T1 to Q1 in
  from Q1 out to P1 S
  from P1 P to T1
cycle
  step run, Q1 closed
"""
    solution = solved(text)
    assert not said(solution)
    assert solution.step("run").success


REST = """
circuit "rest"
parts
  T1  tank
  P1  pump, fixed, 10 cc/rev, 1000 rpm
  R1  relief, set 100 bar
{parts}
lines
  from T1 to P1 S
  from P1 P to R1 P
  from R1 T to T1
{lines}
cycle
  step still{steps}
"""


def test_oil_between_two_standing_pistons_is_trapped() -> None:
    text = REST.format(
        parts="  C1 and C2  cylinder, single acting, bore 50 mm, stroke 100 mm",
        lines="  from C1 cap to C2 cap",
        steps=", C1 at end stop, C2 at end stop",
    )
    solution = solved(text)
    finding = said(solution)[ill_posed.TRAPPED]
    assert finding.severity is Severity.WARNING
    assert "C1 and C2" in finding.message
    assert np.isnan(solution.step("still").junctions["C1 cap"].pressure)


@pytest.mark.parametrize(("leak", "status"), [(0, INDETERMINATE), (10, HELD)])
def test_a_seal_without_leakage_decides_nothing(leak: int, status: str) -> None:
    text = REST.format(
        parts="  C1 and C2  cylinder, single acting, bore 50 mm, stroke 100 mm\n"
        f"  RU1  rotary union, leak {leak} mL/min",
        lines="  from C1 cap through RU1 to C2 cap\n  from RU1 L to T1",
        steps=", C1 at end stop, C2 at end stop",
    )
    solution = solved(text)
    assert solution.solved
    assert {solution.step("still").junctions[at].status for at in ("C1 cap", "RU1 out")} == {status}
    assert (ill_posed.TRAPPED in said(solution)) == (leak == 0)


BOTH_STAND = ", C1 at end stop, C2 at end stop"
BOTTLE = "  A1  accumulator, 2 L, precharge 40 bar"
BLED = "  from C1 cap to OR1 in\n  from OR1 out to T1"


@pytest.mark.parametrize(
    ("part", "lines", "steps", "status"),
    [
        (f"{BOTTLE}, at start 0.5 L", "  from C1 cap to A1", f"{BOTH_STAND}, 5 s", COMPUTED),
        (BOTTLE, "  from C1 cap to A1", f"{BOTH_STAND}, 5 s", INDETERMINATE),
        (f"{BOTTLE}, at start 0.5 L", "  from C1 cap to A1", BOTH_STAND, INDETERMINATE),
        ("  OR1  orifice, 1 mm", BLED, BOTH_STAND, COMPUTED),
        ("", "", ", C1 load 5 kN, C2 at end stop", COMPUTED),
    ],
    ids=["oil held", "no oil held", "no time", "orifice", "air behind a free piston"],
)  # fmt: skip
def test_what_decides_the_pressure_of_a_volume(
    part: str, lines: str, steps: str, status: str
) -> None:
    """Oil held in a store for a time, a way to the tank, air behind a piston that may move."""
    text = REST.format(
        parts=f"  C1 and C2  cylinder, single acting, bore 50 mm, stroke 100 mm\n{part}",
        lines=f"  from C1 cap to C2 cap\n{lines}",
        steps=steps,
    )
    solution = solved(text)
    assert solution.solved
    assert solution.step("still").junctions["C1 cap"].status == status
    assert (ill_posed.TRAPPED in said(solution)) == (status == INDETERMINATE)


def test_a_circuit_apart_is_named_part_by_part() -> None:
    text = REST.format(
        parts="  P2  pump, fixed, 10 cc/rev, 1000 rpm\n  R2  relief, set 100 bar",
        lines="  from P2 P to R2 P\n  from R2 T to P2 S",
        steps="",
    )
    solution = solved(text)
    assert [f.slug for f in solution.findings] == [ill_posed.APART], "one finding, not one a line"
    finding = said(solution)[ill_posed.APART]
    assert "P2 and R2" in finding.message
    assert "R1" not in finding.message


def test_a_circuit_without_a_tank_has_no_reference() -> None:
    text = REST.format(parts="", lines="", steps="")
    text = text.replace("  T1  tank\n", "").replace("from T1 to P1 S", "from R1 T to P1 S")
    text = text.replace("  from R1 T to T1\n", "")
    finding = said(solved(text))[ill_posed.NO_REFERENCE]
    assert "P1 and R1" in finding.message


def test_a_rod_on_which_nothing_works_stands_still() -> None:
    """No kind of ours has one; a kind of one's own may."""
    circuit = parse(REST.format(parts="", lines="", steps="")).circuit
    tank = circuit.parts["T1"]

    def equations(part: Part, net: Net) -> None:
        tank.kind.equations(part, net)
        net.rod(1e-3)

    circuit.parts["T1"] = replace(tank, kind=replace(tank.kind, equations=equations))
    found = answer(Case(circuit, circuit.steps))
    assert found.found.solved.all()
    assert found.speed("T1").tolist() == [0.0]
    (one,) = found.undecided
    assert (one.slug, one.names) == (ill_posed.ALONE, ("T1",))
    (finding,) = solve(circuit).findings
    assert finding.severity is Severity.WARNING
    assert "nothing turns or moves T1" in finding.message


def test_a_second_look_does_not_try_what_the_structure_forbids() -> None:
    before = untried(INTO_ONE_END)
    again = answer(before.case, before)
    assert again.found.solved.tolist() == [True, False]
    assert again.found.method.tolist() == ["from before", "not solved"]
    assert again.found.iterations[1] == 0


def test_only_the_variations_without_an_answer_are_left_out() -> None:
    circuit = parse(INTO_ONE_END).circuit
    shares = np.array([1.0, 0.95, 1.0, 0.9])
    case = Case(circuit, circuit.steps[1:], {("P1", "volumetric"): shares}, variations=4)
    found = answer(case)
    assert found.found.solved.tolist() == [False, True, False, True]
    (one,) = found.contradictions
    assert one.where.tolist() == [True, False, True, False]


@pytest.mark.parametrize(
    ("able", "wanted"),
    [
        ([[1, 0, 0], [1, 0, 0], [1, 1, 1]], [(0, 1)]),
        ([[1, 0, 0], [0, 0, 1], [0, 0, 1]], [(1, 2)]),
        ([[1, 0, 0, 1], [0, 1, 1, 0], [1, 1, 1, 0], [0, 1, 1, 0]], []),
        ([[1, 1, 1, 1], [0, 1, 0, 0], [0, 1, 1, 0], [0, 0, 1, 0]], [(1, 2, 3)]),
    ],
)
def test_balances_with_one_unknown_less_than_they_need(
    able: list[list[int]], wanted: list[tuple[int, ...]]
) -> None:
    """Rows are balances, columns the unknowns that can settle them; one is left over."""
    found = list(ill_posed._overdetermined(sp.csr_matrix(np.array(able, dtype=float))))
    assert found == wanted


EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.hyc"))


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_nothing_is_ill_posed_in_the_examples(path: Path) -> None:
    project = open_file(path)
    if project.understood:
        assert not said(project.solve())
