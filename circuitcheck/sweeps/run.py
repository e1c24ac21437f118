"""Runs a sweep chunk by chunk into its file, here or spread over many machines."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from types import ModuleType

import numpy as np
import scipy

from circuitcheck.basics.quantities import System
from circuitcheck.circuit.model import Circuit
from circuitcheck.solver.assignment import Wish, assign
from circuitcheck.solver.work import WORTHLESS, Chunk, NotVaried, Work
from circuitcheck.sweeps import csv_form, parquet_form
from circuitcheck.sweeps.store import Store
from circuitcheck.sweeps.table import table_of

FORMS: dict[str, ModuleType] = {".csv": csv_form, ".parquet": parquet_form}
"""Forms of the output by the ending of its name."""

CHUNK = 10_000
"""Variations solved, written and kept at a time; own choice: a second or a few."""

Progress = Callable[[int, int], None]
"""Told how many variations are done, of how many."""


@dataclass(frozen=True)
class Sweep:
    """A piece of work with the form of its output; ``ending`` is a key of `FORMS`."""

    work: Work
    ending: str
    units: System
    chunk: int = CHUNK
    version: str = ""

    @property
    def pieces(self) -> int:
        return -(-self.work.plan.count // self.chunk)

    def piece(self, number: int) -> tuple[bytes, dict[str, int]]:
        """Solve a chunk; give its rows as they are written, and its tally.

        Raises `NotVaried` where the circuit cannot have values among them.
        """
        start, stop = number * self.chunk, (number + 1) * self.chunk
        chunk = self.work.solve(start, min(stop, self.work.plan.count))
        table = table_of(self.work, chunk, self.units)
        encoded: bytes = FORMS[self.ending].encode(table)
        return encoded, {"rows": table.rows, "without figures": _worthless(chunk)} | table.tally

    def size(self, number: int) -> int:
        """Variations of a piece."""
        return min(self.chunk, self.work.plan.count - number * self.chunk)

    def fingerprint(self) -> str:
        """Give a text that differs for every other circuit, wish, form or version."""
        work, plan = self.work, self.work.plan
        circuit = work.circuit
        contents = [f.content for part in circuit.parts.values() for f in part.figures.values()]
        said = [
            self.version, circuit.text, circuit.texts, contents, list(work.steps), work.along,
            [text for text, _ in work.asked], plan.form, plan.count, plan.seed,
            [[v.text, a.first, a.last, a.count, a.values] for v, a in plan.axes],
            self.ending, self.units if isinstance(self.units, str) else dict(self.units),
            self.chunk, np.__version__, scipy.__version__,
        ]  # fmt: skip
        return hashlib.sha256(json.dumps(said, sort_keys=True).encode()).hexdigest()


def _worthless(chunk: Chunk) -> int:
    return int(np.count_nonzero(np.logical_or.reduce([chunk.remarks[slug] for slug in WORTHLESS])))


@dataclass(frozen=True)
class Swept:
    """What a finished sweep has to tell: variations, rows, and rows by remark.

    ``continued`` counts variations that an earlier run had solved.
    """

    target: Path
    variations: int
    rows: int
    without_figures: int
    remarks: dict[str, int]
    continued: int


def sweep(
    circuit: Circuit,
    wish: Wish,
    target: Path,
    chunk: int,
    units: System,
    scheduler: str,
    progress: Progress | None,
    afresh: bool,
    version: str,
) -> Swept:
    """Run the sweep that a wish asks for; see `run`. ``version`` is that of this program.

    Raises `CircuitError` where something wanted is not there or cannot be, `ValueError` for
    a name of another ending or without results.
    """
    if target.suffix not in FORMS:
        raise ValueError(f"the name of a sweep's file ends in {' or '.join(FORMS)}")
    if not wish.results:
        raise ValueError("name the results wanted: results=('C1 speed',)")
    work, assignment = assign(circuit, wish)
    one = Sweep(work, target.suffix, units, chunk, version)
    try:
        return run(one, target, scheduler, progress, afresh)
    except NotVaried as refusal:
        raise assignment.refused(refusal.misfit) from None


def run(
    sweep: Sweep,
    target: Path,
    scheduler: str = "",
    progress: Progress | None = None,
    afresh: bool = False,
) -> Swept:
    """Run a sweep, or what is missing of it, into ``target``.

    ``scheduler`` is the address of a Dask scheduler, whose workers then do the chunks.
    ``afresh`` throws away what an earlier run left.

    Raises
    ------
    NotVaried
        If the circuit cannot have the values
    StoreError
        If the folder of pieces belongs to another sweep, or another run is at it
    OSError
        If something cannot be written
    circuitcheck.sweeps.spread.SpreadError
        If the workers cannot do it
    """
    sweep.work.check()
    store = Store(target, sweep.fingerprint(), sweep.pieces, afresh)
    count = sweep.work.plan.count
    with store:
        missing = store.missing
        done = continued = count - sum(map(sweep.size, missing))
        tell = progress or _silent
        tell(done, count)
        for number, data, tally in _solved(sweep, missing, scheduler):
            store.put(number, data, tally)
            done += sweep.size(number)
            tell(done, count)
        tally = store.tally()
        store.finish(FORMS[sweep.ending].join)
    remarks = {k: n for k, n in tally.items() if n and k not in ("rows", "without figures")}
    return Swept(target, count, tally["rows"], tally["without figures"], remarks, continued)


def _silent(_done: int, _of: int) -> None:
    """Tell nobody."""


def _solved(
    sweep: Sweep, missing: list[int], scheduler: str
) -> Iterator[tuple[int, bytes, dict[str, int]]]:
    if scheduler:
        from circuitcheck.sweeps.spread import spread

        yield from spread(sweep, missing, scheduler)
        return
    for number in missing:
        yield number, *sweep.piece(number)
