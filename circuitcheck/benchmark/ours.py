"""This program on a circuit: state by state, all states together, and by sparse factors."""

from __future__ import annotations

import numpy as np

from circuitcheck.benchmark.cases import Bench
from circuitcheck.benchmark.measuring import Measured, imbalance, memory, timed
from circuitcheck.laws._law import BAR, L_MIN
from circuitcheck.laws.smoothing import Array
from circuitcheck.solver.answer import Answer, answer
from circuitcheck.solver.equations import Equations
from circuitcheck.solver.roads import find
from circuitcheck.solver.system import Case, build

SEED = 1

RESULTS = ("C1 speed", "P1 P pressure")
"""What is asked of `Project.vary`."""


def case_of(bench: Bench, task: str, count: int) -> Case:
    """The states of a task, the same for every way."""
    return bench.sweep(count) if task == "sweep" else bench.cold(count, SEED)


def solved(bench: Bench, task: str, count: int) -> Answer:
    """Our answer, all states together."""
    return answer(case_of(bench, task, count), along=task == "sweep")


def batched(bench: Bench, task: str, count: int) -> Measured:
    """All states together, equations and their order of elimination included."""
    case = case_of(bench, task, count)
    answer(case_of(bench, task, 50), along=task == "sweep")  # libraries are loaded before
    with timed() as clock:
        found = answer(case, along=task == "sweep")
    row = _row("ours, batched", found, clock.seconds)
    row.more["unknowns"] = found.equations.n
    return row


def varied(bench: Bench, task: str, count: int, again: bool = False) -> Measured:
    """All states as a user asks for them: by names, through `Project.vary`, two results kept.

    ``again``: a second call, for which the project knows what the first one found out about
    the ranges of the figures.
    """
    case = case_of(bench, task, count)
    values = {f"{part} {figure}": row for (part, figure), row in case.changes.items()}
    few = {name: np.asarray(row)[: min(count, 50)] for name, row in values.items()}
    bench.project().vary(few, results=RESULTS)  # libraries are loaded before
    project = bench.project()
    if again:
        project.vary(values, results=RESULTS)
    with timed() as clock:
        found = project.vary(values, results=RESULTS)
        wanted = [found.si(name) for name in RESULTS]
    held = memory()
    whole = solved(bench, task, count)
    at_pump = whole.whole[whole.ports_of["P1"]["P"]]
    return Measured(
        "project.vary, again" if again else "project.vary, first",
        count,
        clock.seconds,
        float(found.solved.mean()),
        float(found.iterations.mean()),
        float(found.imbalance[found.solved].max(initial=0.0)) / L_MIN,
        float(np.abs(wanted[1] - at_pump)[found.solved].max(initial=0.0)) / BAR,
        held,
    )


def varied_again(bench: Bench, task: str, count: int) -> Measured:
    """The same, called a second time."""
    return varied(bench, task, count, again=True)


def single(bench: Bench, task: str, count: int) -> Measured:
    """State by state, each as a circuit of its own."""
    case = case_of(bench, task, count)
    answers = []
    with timed() as clock:
        for i in range(count):
            one = {name: float(np.asarray(v)[i]) for name, v in case.changes.items()}
            answers.append(answer(Case(case.circuit, case.steps, one)))
    held = memory()
    whole = solved(bench, task, count)
    x = np.concatenate([a.found.x for a in answers], axis=1)
    good = np.array([bool(a.found.solved[0]) for a in answers])
    work = float(np.mean([a.found.iterations[0] for a in answers]))
    return Measured(
        "ours, one by one",
        count,
        clock.seconds,
        float(good.mean()),
        work,
        imbalance(whole.equations, x, good),
        apart(whole, x, good),
        held,
    )


def sparse(bench: Bench, task: str, count: int) -> Measured:
    """All states by the factors of large networks, state by state."""
    equations = Equations(build(case_of(bench, task, count)))
    equations.sparse = True
    with timed() as clock:
        found = find(equations)
    held = memory()
    whole = solved(bench, task, count)
    return Measured(
        "ours, sparse factors",
        count,
        clock.seconds,
        float(found.solved.mean()),
        float(found.iterations.mean()),
        imbalance(equations, found.x, found.solved),
        apart(whole, found.x, found.solved),
        held,
    )


def _row(way: str, found: Answer, seconds: float) -> Measured:
    good = found.found
    return Measured(
        way,
        found.case.variants,
        seconds,
        float(good.solved.mean()),
        float(good.iterations.mean()),
        imbalance(found.equations, good.x, good.solved),
        0.0,
        memory(),
    )


def apart(whole: Answer, x: Array, good: np.ndarray[tuple[int], np.dtype[np.bool_]]) -> float:
    """Largest difference from our batched answer where both have one."""
    both = good & whole.found.solved
    if not both.any():
        return float("nan")
    return float(np.abs(x - whole.found.x)[:, both].max(initial=0.0))
