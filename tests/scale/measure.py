"""Measures how the time from text to findings grows with the size of a circuit.

    python tests/scale/measure.py --parts 1000 5000 20000 50000

Prints processor seconds for each stage, the exponent of its growth from the size before (1 is
linear), and the memory at the end. Without ``--solved`` the rules look at the circuit alone; with
it the operating points are computed too, and every rule runs.
"""

from __future__ import annotations

import argparse
import gc
import math
import resource
import sys
import time
from collections.abc import Callable
from multiprocessing import get_context
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parent.parent.parent))

from tests.scale.large import SHAPES

STAGES = ("read", "build", "equations", "rules", "report")
SOLVED = ("read", "build", "solve", "rules", "report")


def measure(shape: str, parts: int, solved: bool = False) -> tuple[int, dict[str, float], float]:
    """Give the number of parts, seconds by stage, and the memory at the end [MB]."""
    from circuitcheck import reports, rules
    from circuitcheck.basics.memory import uncollected
    from circuitcheck.circuit import build
    from circuitcheck.components import kinds
    from circuitcheck.language import read
    from circuitcheck.language.grammar import parser
    from circuitcheck.reports.result import Result
    from circuitcheck.solver.solve import solve

    kinds(), parser(), rules.catalogue()  # what every check pays once, be it large or small
    seconds: dict[str, float] = {}

    def timed(stage: str, work: Callable[[], Any]) -> Any:
        gc.collect()
        begun = time.process_time()
        with uncollected():
            done = work()
        seconds[stage] = time.process_time() - begun
        return done

    source = SHAPES[shape](parts)
    text, wrong = timed("read", lambda: read(source, f"{shape}.hyc"))
    circuit, more = timed("build", lambda: build(text))
    if circuit is None:
        raise ValueError(f"{shape} of {parts}: {[f.message for f in (*wrong, *more)][:3]}")
    if solved:
        solution = timed("solve", lambda: solve(circuit))
    else:
        solution = None
        timed("equations", lambda: equations(circuit))
    found = timed("rules", lambda: rules.check_all(circuit, solution))
    result = Result(
        f"{shape}.hyc", text.source, circuit, found.findings, solution,
        not_checked=found.not_checked,
    )  # fmt: skip
    timed("report", lambda: reports.as_json(result))
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    return len(circuit.parts), seconds, memory


def equations(circuit: Any) -> Any:
    """Write the element laws of every part, as the solver asks for them first."""
    from circuitcheck.solver.system import Case, build

    return build(Case(circuit, circuit.steps))


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--parts", type=int, nargs="+", default=[1000, 5000, 20000, 50000])
    parser.add_argument("--shapes", nargs="+", choices=SHAPES, default=list(SHAPES))
    parser.add_argument("--solved", action="store_true", help="with operating points")
    asked = parser.parse_args()
    stages = SOLVED if asked.solved else STAGES
    heads = "".join(f"{stage:>16}" for stage in (*stages, "all"))
    print(f"{'':<9}{'parts':>8}{heads}{'MB':>8}")
    for shape in asked.shapes:
        before: tuple[int, dict[str, float]] | None = None
        for parts in asked.parts:
            with get_context("spawn").Pool(1) as one:
                count, seconds, memory = one.apply(measure, (shape, parts, asked.solved))
            seconds["all"] = sum(seconds.values())
            cells = "".join(
                f"{spent:>8.2f} s{_growth(stage, count, spent, before):>6}"
                for stage, spent in seconds.items()
            )
            print(f"{shape:<9}{count:>8}{cells}{memory:>8.0f}", flush=True)
            before = count, seconds


def _growth(
    stage: str, count: int, spent: float, before: tuple[int, dict[str, float]] | None
) -> str:
    if before is None or before[1][stage] < 1e-3 or spent < 1e-3:
        return ""
    return f"{math.log(spent / before[1][stage]) / math.log(count / before[0]):.2f}"


if __name__ == "__main__":
    main()
