"""Solves many random circuits and prints those that fail, cut down to what makes them fail.

Run it from the folder of the checkout. Every circuit is solved under many settings at once,
100,000 states in all:

    python tests/properties/campaign.py --circuits 1000 --settings 25 --steps 4

Without ``--settings`` its steps are solved as a text is, and what fails is cut down:

    python tests/properties/campaign.py --circuits 10000
"""

from __future__ import annotations

import argparse
import copy
import sys
import time
import zlib
from collections import Counter
from collections.abc import Iterator, Sequence
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent.parent))

from circuitcheck.pipeline import CircuitError, parse
from tests.properties.batches import Batch, solved
from tests.properties.checks import Fault, faults
from tests.properties.design import CONTROLS, Design, Dice, design
from tests.properties.writing import text_of


def found(text: str, roads: Counter[str] | None = None) -> dict[str, list[Fault]]:
    """Solve a text; give what is wrong by step."""
    project = parse(text)
    try:
        circuit = project.circuit
    except CircuitError as error:
        return {"(text)": [Fault("text", str(error))]}
    points = project.solve().points
    if roads is not None:
        roads.update(point.method for point in points)
    wrong = {point.step.name: faults(circuit, point) for point in points}
    return {step: what for step, what in wrong.items() if what}


def _simpler(whole: Design) -> Iterator[Design]:
    """Give designs with one thing less, the largest things first."""
    for i in range(len(whole.branches)):
        if len(whole.branches) > 1:
            less = copy.deepcopy(whole)
            del less.branches[i]
            for moves in less.moves:
                del moves[i]
            yield less
    plain = {"second": None, "torque": None, "droop": False, "filter": "none", "check": False}
    plain |= {"suction": None, "pressure": None, "back": None, "signal": None}
    for name, value in plain.items():
        if getattr(whole.supply, name) != value:
            less = copy.deepcopy(whole)
            setattr(less.supply, name, value)
            yield less
    bare = {"holding": "none", "metering": "none", "before": "none", "hose": None, "other": None}
    bare |= {"weight": 0.0, "efficiency": 1.0}
    for i in range(len(whole.branches)):
        for name, value in bare.items():
            if getattr(whole.branches[i], name) != value:
                less = copy.deepcopy(whole)
                setattr(less.branches[i], name, value)
                yield less
        for load in (0.0, 0.2):
            if whole.moves[0][i].load not in (0.0, load):
                less = copy.deepcopy(whole)
                less.moves[0][i].load = load
                yield less
    if whole.warm[0] != 40.0:
        less = copy.deepcopy(whole)
        less.warm[0] = 40.0
        yield less


def fails(whole: Design, sort: str) -> bool:
    """Whether a step of a design fails in this way."""
    return any(fault.sort == sort for what in found(text_of(whole)).values() for fault in what)


def smallest(whole: Design, step: int, sort: str) -> Design:
    """Cut a failing design down as long as the step still fails in the same way."""
    best = copy.deepcopy(whole)
    best.moves, best.warm = [whole.moves[step]], [whole.warm[step]]
    if not fails(best, sort):
        return whole  # it fails only in the company of the other steps
    again = True
    while again:
        again = False
        for less in _simpler(best):
            if fails(less, sort):
                best, again = less, True
                break
    return best


def batch(seed: str, controls: Sequence[str], said: argparse.Namespace) -> Batch:
    """Draw one circuit and solve it under its settings."""
    whole = design(Dice(seed), controls, most=said.actuators, steps=said.steps)
    return solved(whole, zlib.crc32(seed.encode()), said.settings)


def under_settings(said: argparse.Namespace, controls: Sequence[str]) -> int:
    """Solve circuits under many settings each; the exit code is 1 where anything failed."""
    began, worst, plain, states = time.process_time(), 0.0, 0.0, 0
    parts: Counter[int] = Counter()
    roads: Counter[str] = Counter()
    sorts: Counter[str] = Counter()
    for number in range(said.circuits):
        seed = f"{said.seed}-{number}"
        done = batch(seed, controls, said)
        roads.update(done.found.found.method)
        states += done.found.case.variants
        parts[10 * (len(done.found.case.circuit.parts) // 10)] += 1
        worst = max(worst, float(done.imbalance.max(initial=0.0)))
        plain = max(plain, float(done.plain.max(initial=0.0)))
        for sort, which in done.wrong.items():
            sorts[sort] += len(which)
            if sorts[sort] - len(which) < said.shown:
                text = f"# {sort}, seed {seed}, {len(which)} states\n{done.telling(which[0])}"
                _show(text, said.folder, f"{sort}_{seed}")
        if number % 10 == 9:
            spent = time.process_time() - began
            print(
                f"# {number + 1} circuits, {states} states in {spent:.0f} s of the processor, "
                f"failed: {dict(sorts)}, worst imbalance {worst:.2g} L/min",
                flush=True,
            )
    print(f"# {states} states: {dict(roads)}")
    print(f"# parts of a circuit, in tens: {dict(sorted(parts.items()))}")
    print(f"# worst imbalance {plain:.2g} L/min, beyond rounding {worst:.2g} L/min")
    print(f"# failed: {dict(sorts) or 'none'}")
    return 1 if sorts else 0


def main() -> int:
    """Run the campaign; the exit code is 1 where anything failed."""
    ask = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    ask.add_argument("--circuits", type=int, default=1000, help="how many circuits")
    ask.add_argument("--seed", type=int, default=1, help="another seed, other circuits")
    ask.add_argument("--steps", type=int, default=8, help="steps of each circuit")
    ask.add_argument("--control", choices=CONTROLS, help="pumps of this control only")
    ask.add_argument("--shown", type=int, default=5, help="failures of one sort to cut down")
    ask.add_argument("--folder", type=Path, help="also write each failing text here")
    ask.add_argument("--settings", type=int, default=0, help="settings of each circuit")
    ask.add_argument("--actuators", type=int, default=6, help="most actuators of a circuit")
    said = ask.parse_args()
    controls = CONTROLS if said.control is None else (said.control,)
    if said.settings:
        return under_settings(said, controls)
    began = time.perf_counter()
    roads: Counter[str] = Counter()
    sorts: Counter[str] = Counter()
    for number in range(said.circuits):
        seed = f"{said.seed}-{number}"
        whole = design(Dice(seed), controls, steps=said.steps)
        for step, what in found(text_of(whole), roads).items():
            sort = what[0].sort
            sorts[sort] += 1
            if sorts[sort] <= said.shown:
                less = whole if sort == "text" else smallest(whole, int(step[1:]) - 1, sort)
                text = f"# seed {seed}, step {step}: {'; '.join(map(str, what))}\n{text_of(less)}"
                _show(text, said.folder, f"{sort.replace(' ', '_')}_{seed}_{step}")
        if number % 100 == 99:
            spent = time.perf_counter() - began
            print(f"# {number + 1} circuits in {spent:.0f} s, failed: {dict(sorts)}", flush=True)
    print(f"# {said.circuits} circuits, {sum(roads.values())} steps: {dict(roads)}")
    print(f"# failed: {dict(sorts) or 'none'}")
    return 1 if sorts else 0


def _show(text: str, folder: Path | None, name: str) -> None:
    print(text, flush=True)
    if folder is not None:
        folder.mkdir(parents=True, exist_ok=True)
        (folder / f"{name}.hyc").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    sys.exit(main())
