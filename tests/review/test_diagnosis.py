"""Diagnosis: the fault that was put in is named, a sound machine is left alone."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from circuitcheck import pipeline
from circuitcheck.circuit.model import Claim
from circuitcheck.components._parts import Figure
from circuitcheck.reports.diagnosis import verdict
from circuitcheck.review.diagnosis import Bench, Diagnosis, diagnose
from circuitcheck.review.faults import faults
from circuitcheck.review.listed import listed
from circuitcheck.review.meters import places
from circuitcheck.review.signatures import shown

from .test_accepting import PRESS
from .test_start_up import GAUGED


def machine(*changes: tuple[str, str]) -> dict[tuple[str, str, str, str], float]:
    """What can be read on a machine whose text is changed: {(part, port, what, step): SI}."""
    text = GAUGED
    for change, to in changes:
        assert change in text
        text = text.replace(change, to)
    project = pipeline.parse(text)
    found = {}
    for point in project.solve():
        for name, state in point.parts.items():
            for what, value in state.values.items():
                found[name, "", what, point.step.name] = value
            for port, there in state.ports.items():
                found[name, port, "pressure", point.step.name] = there.pressure
    return found


READ = (
    ("G1", "", "pressure", "pressure", "idle"),
    ("G1", "", "pressure", "pressure", "out"),
    ("P1", "", "flow", "flow", "idle"),
    ("P1", "", "flow", "flow", "out"),
    ("C1", "", "speed", "speed", "out"),
    ("E1", "", "speed", "rotation", "idle"),
    ("R1", "", "flow", "flow", "idle"),
    ("R1", "", "flow", "flow", "out"),
)


def judged(values: dict[tuple[str, str, str, str], float]) -> Diagnosis:
    readings = [
        Claim(name, port, what, Figure(values[name, port, what, step], "", quantity), step, 0.02,
              True)
        for name, port, what, quantity, step in READ
    ]  # fmt: skip
    circuit = pipeline.parse(GAUGED).circuit
    return Bench(circuit, readings).diagnose(readings)


def test_a_sound_machine_is_left_alone() -> None:
    found = judged(machine())
    assert found.sound
    assert found.misfit < 1e-6
    assert verdict(found, "metric")[0].startswith("Nothing wrong")


@pytest.mark.parametrize(
    ("change", "to", "part", "figure", "size"),
    [
        ("set 180 bar", "set 120 bar", "R1", "set", 120e5),
        ("16 cc/rev, driven", "16 cc/rev, wear 1.6, driven", "P1", "wear", 1.6),
        ("1450 rpm", "1300 rpm", "E1", "speed", 1300 * np.pi / 30),
        ("stroke 400 mm\n", "stroke 400 mm, seal leak 8 L/min at 100 bar\n", "C1", "seal leak",
         8e-3 / 60),
    ],
)  # fmt: skip
def test_the_fault_that_was_put_in_is_named_with_its_size(
    change: str, to: str, part: str, figure: str, size: float
) -> None:
    found = judged(machine((change, to)))
    assert not found.sound
    best = found.candidates[0]
    assert (best.fault.part, best.fault.figure) == (part, figure)
    assert best.size == pytest.approx(size, rel=0.05)
    assert found.explains


@pytest.mark.parametrize(
    ("one", "other", "expected"),
    [
        (("set 180 bar", "set 120 bar"), ("1450 rpm", "1300 rpm"),
         {("R1", "set"): 120e5, ("E1", "speed"): 1300 * np.pi / 30}),
        (("set 180 bar", "set 150 bar"),
         ("16 cc/rev, driven", "16 cc/rev, wear 1.6, driven"),
         {("R1", "set"): 150e5, ("P1", "wear"): 1.6}),
    ],
)  # fmt: skip
def test_two_faults_are_named_together_where_no_single_one_explains(
    one: tuple[str, str], other: tuple[str, str], expected: dict[tuple[str, str], float]
) -> None:
    found = judged(machine(one, other))
    assert not found.explains
    best = found.pairs[0]
    named = {(fault.part, fault.figure): size
             for fault, size in zip(best.faults, best.sizes, strict=True)}  # fmt: skip
    assert named == pytest.approx(expected, rel=0.05)
    assert "Two faults together would" in " ".join(verdict(found, "metric"))


def test_two_faults_are_not_asked_of_readings_that_two_sizes_would_fit_anyhow() -> None:
    text = GAUGED + "readings within 1 %\n  G1 100 bar, in idle\n  P1 flow 40 L/min, in out\n"
    found, _ = diagnose(pipeline.parse(text).circuit)
    assert found.pairs == ()


def test_machines_solved_together_are_as_each_alone() -> None:
    project = pipeline.load("examples/press_accumulator.hyc")
    circuit = project.circuit
    some, all_faults = places(circuit), faults(circuit, circuit.oil_degC)
    machines = [((fault, float(fault.figures[k])),) for fault in all_faults[::9] for k in (3, 8)]
    together = shown(circuit, some, {}, [*machines, ()])
    for row, machine_ in zip(together, [*machines, ()], strict=True):
        alone = shown(circuit, some, {}, [machine_])[0]
        assert row == pytest.approx(alone, rel=1e-5, abs=1e-9, nan_ok=True)
    known = ~np.isnan(together[-1])
    solved = {
        (name, what, point.step.name): value
        for point in project.solve()
        for name, state in point.parts.items()
        for what, value in state.values.items()
    }
    for meter, value, there in zip(some, together[-1], known, strict=True):
        if there and not meter.port:
            expected = solved[meter.subject, meter.what, meter.step]
            assert value == pytest.approx(abs(expected), rel=1e-5, abs=1e-9), meter


def test_a_fault_grows_from_what_the_step_orders() -> None:
    text = GAUGED.replace("step idle,", "step idle, E1 at 1000 rpm,", 1)
    assert text != GAUGED
    circuit = pipeline.parse(text).circuit
    slow = next(f for f in faults(circuit, 45.0) if f.part == "E1")
    meter = next(m for m in places(circuit) if m.subject == "E1" and m.step == "idle"
                 and m.what == "speed")  # fmt: skip
    ((value,),) = shown(circuit, [meter], {}, [((slow, 0.9 * slow.sound),)])
    assert value == pytest.approx(900 * np.pi / 30)


def test_one_reading_that_is_wrong_is_suspected() -> None:
    values = machine()
    values["C1", "", "speed", "out"] *= 2.0
    found = judged(values)
    assert not found.sound
    assert not found.explains
    assert found.readings[found.doubtful].subject == "C1"


def test_faults_of_the_same_signature_are_not_told_apart_and_a_reading_is_proposed() -> None:
    text = GAUGED + "readings within 2 %\n  G1 100 bar, in idle\n"
    found, left = diagnose(pipeline.parse(text).circuit)
    assert left == []
    assert len(found.leading) > 1
    assert found.next is not None
    assert len(found.next.alike) > 1
    told = sorted(number for group in found.next.alike for number in group)
    assert told == list(range(len(found.leading)))
    shown = [[found.next.shows[i] for i in group] for group in found.next.alike]
    for below, above in pairwise(shown):
        assert max(below) < min(above)
    said = " ".join(verdict(found, "metric"))
    assert "cannot tell apart" in said
    assert "Read next" in said


def test_a_reading_without_a_step_is_left_out_and_told() -> None:
    text = GAUGED + "readings\n  G1 173 bar, in idle\n  G1 40 bar\n"
    _, left = diagnose(pipeline.parse(text).circuit)
    assert [one.figure.text for one in left] == ["40 bar"]


def test_every_fault_begins_sound_or_is_there() -> None:
    circuit = pipeline.parse(PRESS).circuit
    for fault in faults(circuit, 45.0):
        assert np.all(np.isfinite(fault.figures)), fault.name
        assert fault.name.startswith(fault.part)


def test_readings_from_a_table_become_sentences() -> None:
    table = "gauge,value,tolerance,step,oil temperature\nG1,205 bar,2 %,press,52 degC\n"
    assert listed(table, "readings").text == (
        "readings at 52 degC\n  G1 205 bar, in press, within 2 %\n"
    )


@pytest.mark.parametrize("table", ["", "a,b\n1,2\n", "gauge,value\nG1,\n"])
def test_a_table_that_is_none_is_refused(table: str) -> None:
    with pytest.raises(ValueError, match="gauge"):
        listed(table, "readings")
