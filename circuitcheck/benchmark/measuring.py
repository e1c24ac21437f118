"""What is measured of every way to solve a circuit, and how it is kept apart from the others."""

from __future__ import annotations

import multiprocessing
import os
import resource
import signal
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from typing import Any

import numpy as np

from circuitcheck.laws.smoothing import EXACT, Array
from circuitcheck.solver.equations import Bools, Equations


@dataclass
class Measured:
    """One way on one task.

    ``seconds`` of processor time for ``points`` states (networks: for one); ``solved`` share
    of them; ``iterations`` mean, None where a way does not tell; ``imbalance`` worst of the
    solved states [L/min, or bar on a piston], by our equations; ``apart`` largest difference
    from our batched answer [bar, and the like of speeds]; ``memory`` most that the process
    held [MB]; ``more`` further figures by name; ``trouble`` why there are none.
    """

    way: str
    points: int = 0
    seconds: float = np.nan
    solved: float = 0.0
    iterations: float | None = None
    imbalance: float = np.nan
    apart: float = np.nan
    memory: float = np.nan
    more: dict[str, float] = field(default_factory=dict)
    trouble: str = ""

    @property
    def rate(self) -> float:
        """States tried in a second."""
        return self.points / self.seconds


@dataclass
class Clock:
    """Processor time of a block, of this process and of programs that it ran."""

    seconds: float = np.nan


def _used() -> float:
    kids = resource.getrusage(resource.RUSAGE_CHILDREN)
    return time.process_time() + kids.ru_utime + kids.ru_stime


@contextmanager
def timed() -> Iterator[Clock]:
    """Measure a block."""
    clock, begin = Clock(), _used()
    yield clock
    clock.seconds = _used() - begin


def memory() -> float:
    """Most memory so far of this process or of one that it ran [MB]."""
    kinds = (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)
    return max(resource.getrusage(kind).ru_maxrss for kind in kinds) / 1024.0


def imbalance(equations: Equations, x: Array, solved: Bools) -> float:
    """Worst balance of the solved states by our equations; x of shape (n, variants)."""
    which = np.flatnonzero(solved)
    if not len(which):
        return float("nan")
    r, _ = equations.chosen(which).residual(x[:, which], EXACT)
    return float(np.abs(r).max(initial=0.0))


def in_child(work: Callable[..., Any], arguments: tuple[Any, ...], patience: float) -> Any:
    """Run a function in a process of its own, so that memory is its own, too.

    Raises `TimeoutError` after ``patience`` seconds on the clock, `RuntimeError` with the
    message of whatever the function raised.
    """
    context = multiprocessing.get_context("spawn")
    ours, theirs = context.Pipe(duplex=False)
    process = context.Process(target=_child, args=(theirs, work, arguments))
    process.start()
    theirs.close()
    try:
        if not ours.poll(patience):
            raise TimeoutError(f"no answer within {patience:g} s")
        good, found = ours.recv()
    except EOFError:
        raise RuntimeError("the process ended without an answer") from None
    finally:
        _end(process)
    if not good:
        raise RuntimeError(found)
    return found


def _end(process: BaseProcess) -> None:
    """End a process and the programs that it runs, which would go on without it."""
    assert process.pid is not None
    with suppress(ProcessLookupError):  # it has not come to lead a group, or all are gone
        os.killpg(process.pid, signal.SIGKILL)
    process.kill()
    process.join()


def _child(pipe: Connection, work: Callable[..., Any], arguments: tuple[Any, ...]) -> None:
    os.setsid()  # leads a group, with which `_end` ends the programs that it runs
    try:
        pipe.send((True, work(*arguments)))
    except Exception as trouble:  # noqa: BLE001 - whatever it was, the parent reports it
        pipe.send((False, f"{type(trouble).__name__}: {trouble}"[:300]))
