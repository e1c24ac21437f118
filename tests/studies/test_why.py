"""Why a figure is what it is: formulas that hold, the part that sets it, what is said."""

from __future__ import annotations

import itertools
import json
import math
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from circuitcheck.basics.quantities import read_unit, to_si
from circuitcheck.basics.refusal import CircuitError
from circuitcheck.circuit.subjects import Subject
from circuitcheck.pipeline import Project, load, parse
from circuitcheck.reports.why_text import as_json, filled, written
from circuitcheck.solver.asked import Results
from circuitcheck.studies.why import Why
from circuitcheck.studies.why_formula import Formula, Term, reckon
from circuitcheck.studies.why_network import Network
from circuitcheck.studies.why_results import walk
from circuitcheck.studies.why_trail import Reason
from circuitcheck.studies.why_walk import Walk
from tests.press_text import TWO_PUMPS

EXAMPLES = (
    "press", "lift", "feed_slide", "torque_limit", "travel_drive", "anchor_winch",
)  # fmt: skip
ROUNDING = 1e-6
TINY = {"pressure": 1e-2}
"""Least that counts [SI]: a ten-millionth of a bar, else 1e-9."""


def every(reason: Reason) -> Iterator[Reason]:
    yield reason
    for below in reason.because:
        yield from every(below)


@pytest.fixture(scope="module", params=EXAMPLES)
def example(request: pytest.FixtureRequest, project: Path) -> Project:
    return load(project / "examples" / f"{request.param}.hyc")


def walks(project: Project) -> Iterator[tuple[str, float, Reason]]:
    """All results of all parts and ports in all steps."""
    solution = project.solve()
    assert solution.answer is not None
    results = Results(solution.answer)
    for i, point in enumerate(solution.points):
        net = Network(solution.answer, i)
        subjects = [Subject("", "", "heat", "power"), Subject("", "", "power", "power")]
        for part in point.parts.values():
            subjects += [Subject(part.name, "", n, part.quantities[n]) for n in part.values]
            ports = [port for port in part.ports if port]
            subjects += [Subject(part.name, p, w, w) for p in ports for w in ("pressure", "flow")]
        for subject in subjects:
            said = " ".join(filter(None, (subject.name, subject.port, subject.what)))
            value = float(results.of(subject)[i])
            reason = walk(Walk(project.circuit, point, net), subject, said, value)
            yield f"{point.step.name}: {said}", value, reason


def test_every_formula_comes_to_its_figure(example: Project) -> None:
    formulas = 0
    for name, value, reason in walks(example):
        if math.isfinite(value):
            assert abs(reason.value) == pytest.approx(abs(value), rel=ROUNDING, abs=1e-9), name
        for one in every(reason):
            if one.formula is not None:
                formulas += 1
                least = TINY.get(one.quantity, 1e-9)
                assert one.formula.value == pytest.approx(one.value, rel=ROUNDING, abs=least), (
                    f"{name}: {one.of} = {one.formula.right}"
                )
    assert formulas > 200


FIGURE = re.compile(r"(?P<number>-?\d+(?:\.\d+)?(?:e-?\d+)?)(?: (?P<unit>[A-Za-z°%][\w/%°]*))?")


def read_back(text: str) -> tuple[str, dict[str, tuple[float, float]]]:
    """Turn a written expression into letters, each with the SI ends of its rounding."""
    found: dict[str, tuple[float, float]] = {}

    def letter(match: re.Match[str]) -> str:
        number, unit = match["number"], match["unit"]
        if unit in (None, "x", "root", "pi"):
            return match.group()
        decimals = len(number.split("e")[0].partition(".")[2])
        half = 0.5 * 10.0**-decimals * 10.0 ** float(number.partition("e")[2] or 0)
        known = read_unit(unit)
        assert known is not None, unit
        name = f"q{len(found)}"
        scale = math.tau if known.quantity == "rotation" else 1.0
        ends = [to_si(float(number) + s * half, known) / scale for s in (-1, 1)]
        found[name] = (ends[0], ends[1])
        return name

    return FIGURE.sub(letter, text).replace(" x ", " * "), found


def test_the_written_figures_come_out_within_their_rounding(project: Path) -> None:
    """As a reader would: with the figures as they stand on paper, and nothing else."""
    checked = 0
    for file, result, step in (
        ("press", "C1 speed", "press"), ("press", "P1 P pressure", "squeeze"),
        ("press", "P1 shaft power", "press"), ("lift", "C1 rod pressure", "down"),
        ("feed_slide", "C1 speed", "feed"), ("torque_limit", "C1 speed", "trunk"),
        ("blade_and_winch", "P1 P pressure", "haul"), ("clamps", "C1 cap pressure", "hold"),
    ):  # fmt: skip
        why = load(project / "examples" / f"{file}.hyc").why(result, step)
        assert why.reason is not None
        for one in every(why.reason):
            if one.formula is None or any(t.quantity == "ratio" for t in one.formula.terms):
                continue
            said = written(one.formula, one.value, "metric")
            right, ends = read_back(filled(one.formula, "metric"))
            goal, spread = read_back(said.rpartition(" = ")[2])
            corners = list(itertools.islice(itertools.product(*ends.values()), 4096))
            values = [reckon(right, dict(zip(ends, corner, strict=True))) for corner in corners]
            low, high = spread[goal]
            assert min(values) <= high, said
            assert max(values) >= low, said
            checked += 1
    assert checked > 30


CIRCUIT = """\
oil ISO VG 46, at 50 degC
parts
  T1  tank, 100 L
  E1  electric motor, 15 kW, 1450 rpm
  P1  {pump}, driven by E1
  R1  relief, set 150 bar, 60 L/min
  V1  valve 4/3, closed centre, 100 L/min at 5 bar
  C1  cylinder, bore 63 mm, rod 36 mm, stroke 500 mm
{parts}
lines
  from T1 to P1 S
  from P1 P to R1 P
  from R1 T to T1
  from P1 P to V1 P
  from V1 T to T1
{lines}
cycle
  step work, V1 at a, {load}
"""
FIXED = "pump, fixed, 16 cc/rev"
STRAIGHT = "  from V1 A to C1 cap\n  from V1 B to C1 rod"
METERED = "  from V1 A to {0} in\n  from {0} out to C1 cap\n  from V1 B to C1 rod"
DRAINED = STRAIGHT + "\n  from P1 L to T1"


def built(
    pump: str = FIXED, parts: str = "", lines: str = STRAIGHT, load: str = "C1 load 10 kN"
) -> Project:
    return parse(CIRCUIT.format(pump=pump, parts=parts, lines=lines, load=load))


SITUATIONS = {
    "the pump gives all it can": (built(), "C1 speed", "P1", "gives all the oil it can"),
    "a flow control keeps its flow": (
        built(parts="  FC1 flow control, 8 L/min", lines=METERED.format("FC1")),
        "C1 speed", "FC1", "keeps its set flow",
    ),
    "a throttle with the relief open": (
        built(parts="  TH1 throttle, 4 L/min at 20 bar", lines=METERED.format("TH1")),
        "C1 speed", "TH1", "throttles",
    ),
    "the relief holds the pressure": (
        built(parts="  FC1 flow control, 8 L/min", lines=METERED.format("FC1")),
        "P1 P pressure", "R1", "stands open and holds the pressure",
    ),
    "the load asks for the pressure": (built(), "P1 P pressure", "C1", "the load on C1"),
    "the load is the force": (built(), "C1 force", "C1", "the load on C1"),
    "a pump at its cut-off": (
        built("pump, pressure compensated, 28 cc/rev, compensator 120 bar",
              "  FC1 flow control, 8 L/min", METERED.format("FC1") + "\n  from P1 L to T1"),
        "P1 P pressure", "P1", "stands at its cut-off",
    ),
    "a pump at its torque limit": (
        built("pump, variable, 45 cc/rev, torque limit 60 Nm", lines=DRAINED,
              load="C1 load 35 kN"),
        "P1 flow", "P1", "gives what its torque limit allows",
    ),
    "a stalled cylinder": (
        built(load="C1 load 80 kN"), "C1 speed", "R1", "stands open and holds the pressure"
    ),
    "an end stop": (built(load="C1 at end stop"), "C1 speed", "", "stands at its end stop"),
    "a reducing valve": (
        built(parts="  RV1 reducing valve, set 60 bar",
              lines="  from V1 A to RV1 P\n  from RV1 A to C1 cap\n  from RV1 T to T1\n"
                    "  from V1 B to C1 rod", load="C1 at end stop"),
        "C1 cap pressure", "RV1", "keeps the pressure behind it",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", SITUATIONS)
def test_the_part_that_sets_a_result_is_named(name: str) -> None:
    project, result, part, said = SITUATIONS[name]
    why = project.why(result)
    assert why.limits[:1] == ((part,) if part else ()), why
    assert said in why.verdict


def test_a_counterbalance_is_named(project: Path) -> None:
    why = load(project / "examples" / "lift.hyc").why("C1 rod pressure", "down")
    assert why.limits == ("CB1", "C1")
    assert "holds the load back" in why.verdict


@pytest.mark.parametrize(
    ("name", "moved", "unmoved"),
    [
        ("the pump gives all it can", ("16 cc/rev", "16.32 cc/rev"), ("150 bar", "153 bar")),
        ("a flow control keeps its flow", ("8 L/min", "8.16 L/min"), ("150 bar", "153 bar")),
        ("the relief holds the pressure", ("150 bar", "153 bar"), ("load 10 kN", "load 10.2 kN")),
        ("the load asks for the pressure", ("load 10 kN", "load 10.2 kN"), ("150 bar", "153 bar")),
        ("a pump at its cut-off", ("120 bar", "122.4 bar"), ("150 bar", "153 bar")),
    ],
)
def test_what_is_said_to_set_a_result_does(
    name: str, moved: tuple[str, str], unmoved: tuple[str, str]
) -> None:
    """A second opinion without slopes: 2 % more written into the text, and solved again."""
    project, result, _, _ = SITUATIONS[name]
    before = project.why(result)
    for change, share in ((moved, before.movers), (unmoved, ())):
        after = parse(project.text.replace(*change)).why(result).value / before.value - 1.0
        if share:
            top = next(m for m in share if m.part == before.limits[0] and m.name not in SIZES)
            assert after == pytest.approx(0.02 * top.share, rel=0.05)
            assert after > 0.015
        else:
            assert abs(after) < 2e-3


SIZES = ("C1 bore", "C1 rod", "C1 efficiency")


def test_points_and_blanks_name_the_same_result() -> None:
    project = built()
    assert project.why("C1.speed") == project.why("C1 speed", "work")
    assert project.why("P1.P.pressure").value == project.point("work")["P1"].ports["P"].pressure


def test_the_walk_follows_the_oil_to_the_pump() -> None:
    reason = built().why("C1 speed").reason
    assert reason is not None
    told = [one.of for one in every(reason)]
    assert told[0] == "C1 speed"
    assert "flow from P1" in told
    assert reason.formula is not None
    assert [t.letter for t in reason.formula.terms] == ["Q", "A"]


def test_a_held_cylinder_names_what_shuts_it() -> None:
    project = parse(built().text.replace("V1 at a, C1 load 10 kN", "V1 at centre"))
    reason = project.why("C1 cap pressure").reason
    assert reason is not None
    assert "only leakage decides it" in reason.said
    assert "V1 (valve, at centre)" in reason.said


def test_a_step_without_an_operating_point_is_said_so() -> None:
    project = parse(TWO_PUMPS)
    why = project.why("C1 speed", "stop")
    assert not why.solved
    assert math.isnan(why.value)
    assert why.reason is None
    assert "step stop has no operating point" in why.verdict
    assert json.loads(as_json(why))["value"] is None
    assert project.why("C1 speed", "go").limits == ("P1", "P2")


def test_what_is_not_there_is_refused() -> None:
    project = built()
    with pytest.raises(CircuitError, match="did you mean"):
        project.why("C1 sped")
    with pytest.raises(CircuitError, match="which result"):
        project.why("")
    with pytest.raises(CircuitError, match="there is no part or line C9"):
        project.why("C9 speed")
    with pytest.raises(KeyError):
        project.why("C1 speed", "rest")


def test_the_json_form_can_be_reckoned_by_others() -> None:
    why: Why = built().why("C1 speed")
    read = json.loads(as_json(why))
    assert read["form"] == "circuitcheck-why/1"
    assert (read["value"], read["unit"]) == (why.value, "m_per_s")
    assert read["set_by"] == list(why.limits)
    assert {m["figure"] for m in read["movers"]} >= {"P1 displacement", "E1 speed"}
    top = read["reason"]["formula"]
    known = {t["letter"]: t["value"] for t in top["terms"]}
    assert reckon(top["right"], known) == pytest.approx(read["value"])


def test_formulas_take_nothing_but_figures() -> None:
    terms = (Term("Q", 2.0, "flow", ""), Term("A", 4.0, "area", ""))
    assert Formula("v", "speed", "root(Q / A) * 2 - -1", terms).value == pytest.approx(2.4142136)
    for wrong in ("Q ** A", "open(Q)", "__import__", "Q if A else 1"):
        with pytest.raises(ValueError, match="does not belong"):
            reckon(wrong, {"Q": 1.0, "A": 1.0})


def test_what_nothing_decides_is_said_so() -> None:
    """Two cylinders at their ends, joined with each other and with nothing else."""
    text = """\
parts
  C1 and C2  cylinder, single acting, bore 50 mm, stroke 100 mm
lines
  from C1 cap to C2 cap
cycle
  step still,  C1 at end stop,  C2 at end stop
"""
    why = parse(text).why("C1 cap pressure")
    assert math.isnan(why.value)
    assert why.limits == ()
    assert "nothing decides it" in why.verdict
    assert json.loads(as_json(why))["reason"]["value"] is None


def test_the_report_of_what_nothing_decides_can_be_written() -> None:
    """Every result of a circuit without a decided pressure, and of one that only stands."""
    text = CIRCUIT.format(pump=FIXED, parts="", lines=STRAIGHT, load="C1 load 80 kN")
    for made in (parse(text), parse(text.replace("V1 at a, C1 load 80 kN", "V1 at centre"))):
        for name, _, reason in walks(made):
            for one in every(reason):
                assert one.of, name
                assert one.formula is None or math.isfinite(one.formula.value), name
