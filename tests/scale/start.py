"""Measures what a check of a small file costs beside the imports that it cannot do without.

    python tests/scale/start.py --runs 9 examples/lift.hyc

Every run starts a new interpreter; runs of all rows take turns, so that what else the
machine does falls on all alike. Printed are medians of processor seconds, with byte code
compiled and the tables of the parser kept, as from a second start of an installed program
on. The ratio that counts is the one to all core libraries; the others say where it stands.
"""

from __future__ import annotations

import argparse
import os
import resource
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Mapping, Sequence
from pathlib import Path

CORE = "import click, lark, networkx, numpy, pint, svgwrite, rich.console, rich.text"
"""The core libraries; of scipy, which loads its parts when they are named, see `SPARSE`."""

SPARSE = "import scipy.sparse, scipy.sparse.linalg, scipy.sparse.csgraph"
"""What of scipy the solver stands on."""

OWN = "import click, lark, numpy, rich.console, rich.text"
"""The libraries that a check itself loads; it does without the others."""

MOST = 1.3
"""Times the core libraries that a check may cost."""

CHECK = "a check"
LIBRARIES = "all core libraries"
ROWS: Mapping[str, str] = {
    LIBRARIES: f"{CORE}; {SPARSE}",
    "the same, scipy as such": f"{CORE}, scipy",
    "those it loads itself": f"{OWN}; {SPARSE}",
    "an interpreter": "pass",
}


def seconds(said: Sequence[str], environment: Mapping[str, str]) -> float:
    """Processor seconds of one run of the interpreter, its findings thrown away."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    done = subprocess.run(
        [sys.executable, *said], env=dict(environment), capture_output=True, check=False
    )
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    if done.returncode not in (0, 1):
        raise RuntimeError(done.stderr.decode())
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def measured(file: Path, runs: int, beside: Sequence[str] = tuple(ROWS)) -> dict[str, float]:
    """Give the median of each row; a first run of each compiles and is not counted."""
    rows = {CHECK: ("-m", "circuitcheck", "check", str(file))}
    rows |= {name: ("-c", ROWS[name]) for name in beside}
    found: dict[str, list[float]] = {name: [] for name in rows}
    with tempfile.TemporaryDirectory() as folder:
        environment = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
        environment |= {"PYTHONPYCACHEPREFIX": f"{folder}/code", "XDG_CACHE_HOME": folder}
        environment |= {"OMP_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1"}
        for run in range(runs + 1):
            for name, said in rows.items():
                spent = seconds(said, environment)
                if run:
                    found[name].append(spent)
    return {name: statistics.median(several) for name, several in found.items()}


def main() -> None:
    """Print the table."""
    ask = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    ask.add_argument("file", type=Path, nargs="?", default=Path("examples/lift.hyc"))
    ask.add_argument("--runs", type=int, default=9, help="counted runs of each row")
    said = ask.parse_args()
    found = measured(said.file, said.runs)
    print(f"{'':<26}{'s':>8}{'check / it':>12}")
    for name, spent in found.items():
        print(f"{name:<26}{spent:>8.3f}{found[CHECK] / spent:>12.2f}")


if __name__ == "__main__":
    main()
