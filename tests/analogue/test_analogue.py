"""Pressures and speeds against a general network simulator that solves the same circuits.

Fifteen circuits, every step. One step of most is left to find its own way from rest, the
others are confirmed from rounded values: there only equations and derivatives are
independent, not the way to the answer.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
import pytest

from circuitcheck.benchmark.analogue import simulator
from circuitcheck.laws.library import LAWS
from circuitcheck.pipeline import Project, load
from circuitcheck.solver.answer import Answer
from circuitcheck.solver.history import differing, followed
from circuitcheck.solver.starts import settled
from circuitcheck.solver.system import Case

FOLDER = Path(__file__).parent / "circuits"

FROM_REST = {
    "drill": ("heavy",),
    "press": ("press",),
    "winch": ("haul", "blade"),
    "regen": ("feed",),
    "splitter": ("split",),
    "lowering": ("raise",),
    "loop": ("warm",),
    "torque": ("drum",),
    "travel": ("row",),
    "station": ("stamp",),
    "bottle": ("press",),
    "twins": ("hard",),
    "crane": ("all",),
    "dumper": ("both",),
    "raft": (),
}

STEPS = {
    "drill": ("light", "heavy", "half", "beyond"),
    "press": ("idle", "press", "squeeze", "back"),
    "winch": ("standby", "blade", "haul", "both", "pay"),
    "regen": ("approach", "feed", "retract"),
    "splitter": ("approach", "split", "stalled"),
    "lowering": ("raise", "lower", "creep"),
    "loop": ("cold", "warm", "hot"),
    "torque": ("free", "drum", "heavy", "stall", "half", "empty"),
    "travel": ("parked", "row", "bank", "stalled", "reversed", "downhill", "back"),
    "station": ("charge", "stamp", "vented", "full"),
    "bottle": ("fill", "rest", "press", "again"),
    "twins": ("easy", "hard", "uneven", "lugging"),
    "crane": ("standby", "lift", "all", "half"),
    "dumper": ("drive", "steer", "tip", "both", "slow"),
    "raft": ("moored", "haul", "slack", "stuck"),
}

AGREEMENT = 1e-6
"""Share of the value to which both must agree."""

FLOOR = 0.01
"""Least value of an unknown that the share is taken of, in its natural size (0.01 bar)."""

POINTS = [(circuit, step) for circuit, steps in STEPS.items() for step in steps]


@cache
def project(circuit: str) -> Project:
    return load(FOLDER / f"{circuit}.hyc")


@cache
def ours(circuit: str) -> Answer:
    """The circuit solved; a load that drives is told which way the motion goes.

    What one step leaves to the next (oil in stores, rods at their ends) is followed.
    """
    whole = project(circuit).circuit
    points = project(circuit).solve().points
    ways = {}
    for part in whole.parts.values():
        if any(order.name == "load" for order in part.kind.orders):
            moved = (part.kind.driven and part.driven_by) or part.name
            ways[part.name] = np.array([np.sign(p.parts[moved].values["speed"]) for p in points])
    found = settled(Case(whole, whole.steps, {}, ways))
    for _ in whole.steps:
        history = followed(found)
        if not differing(found.case.history, history, found.case).any():
            break
        found = settled(Case(whole, whole.steps, {}, ways, history), found)
    assert not differing(found.case.history, followed(found), found.case).any()
    return found


@pytest.mark.parametrize(("circuit", "step"), POINTS)
def test_every_pressure_and_speed_agrees(
    circuit: str, step: str, ngspice: str, tmp_path: Path
) -> None:
    solved = ours(circuit)
    names = [s.name for s in solved.case.steps]
    variant = names.index(step)
    point = project(circuit).point(step)
    assert point.success, point.message
    system, mine = solved.system, solved.whole[:, variant]
    if step in FROM_REST[circuit]:
        found = simulator.solve(ngspice, tmp_path, system, variant)
    else:
        found = simulator.confirm(ngspice, tmp_path, system, variant, [float(x) for x in mine])
    size = np.array([unknown.scale for unknown in system.unknowns])
    off = np.abs(np.array(found) - mine) / np.maximum(np.abs(mine), FLOOR * size)
    worst = int(np.argmax(off))
    name = system.unknowns[worst].name
    told = f"{name}: {mine[worst]:g} here, {found[worst]:g} there"
    assert off[worst] == pytest.approx(0.0, abs=AGREEMENT), told


@pytest.mark.parametrize("circuit", STEPS)
def test_the_list_of_steps_is_whole(circuit: str) -> None:
    assert tuple(step.name for step in project(circuit).circuit.steps) == STEPS[circuit]


def test_one_of_the_steps_runs_empty() -> None:
    assert project("torque").point("empty").parts["M1"].state == "cavitates"


def test_no_chamber_stands_below_absolute_vacuum() -> None:
    solved = ours("torque")
    for unknown, values in zip(solved.system.unknowns, solved.whole, strict=True):
        if unknown.kind == "pressure":
            assert values.min() > -1.01325e5 - 1e3, unknown.name


def test_an_induction_motor_that_runs_is_not_found_stalled() -> None:
    """Every balance holds at 1431 rpm, too, and the motor ran in the step before."""
    assert project("station").point("full").parts["E1"].state != "stalled"


def test_every_law_is_in_one_of_the_circuits() -> None:
    used = {element.law for circuit in STEPS for element in ours(circuit).system.elements}
    assert used == set(LAWS)
