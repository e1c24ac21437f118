"""Memory of a process that reads and solves circuits over and over.

python -m tests.scale.memory                10,000 solves of a small and a larger circuit
python -m tests.scale.memory --solves 500   fewer
"""

from __future__ import annotations

import argparse
import gc
import itertools
import os
from pathlib import Path

from circuitcheck.pipeline import parse

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
CIRCUITS = ("press", "lift")
PAGE = os.sysconf("SC_PAGE_SIZE") / 1e6


def resident() -> float:
    """Memory that this process holds now [MB]."""
    gc.collect()
    return int(Path("/proc/self/statm").read_text().split()[1]) * PAGE


def grown(solves: int, samples: int = 10, warm: int = 100) -> list[float]:
    """Solve so often after ``warm`` times; give the memory held at each sample [MB].

    Every solve is of another text, so that nothing kept for the same text helps.
    """
    texts = [(EXAMPLES / f"{name}.hyc").read_text(encoding="utf-8") for name in CIRCUITS]
    held, every = [], max(1, solves // samples)
    for number, text in zip(range(warm + solves), itertools.cycle(texts), strict=False):
        solution = parse(f"# {number}\n{text}").solve()
        assert solution.solved
        if number >= warm - 1 and (number - warm + 1) % every == 0:
            held.append(resident())
    return held


def main() -> None:
    ask = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    ask.add_argument("--solves", type=int, default=10_000)
    solves = ask.parse_args().solves
    held = grown(solves)
    for i, now in enumerate(held):
        print(f"{i * max(1, solves // 10):6d} solves  {now:7.1f} MB")
    print(f"grown by {held[-1] - held[0]:.1f} MB")


if __name__ == "__main__":
    main()
