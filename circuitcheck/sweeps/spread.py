"""Spreads the chunks of a sweep over the workers of a Dask scheduler.

By dask.distributed (an extra: ``circuitcheck[spread]``). Every task carries all that it
needs, so that a chunk whose worker ends is done again by another; what comes back is kept
by the number of the chunk, so that nothing is there twice.
"""

from __future__ import annotations

import logging
from collections.abc import Iterator
from concurrent.futures import CancelledError
from contextlib import contextmanager
from functools import lru_cache
from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from circuitcheck.sweeps.run import Sweep

AHEAD = 3
"""Tasks handed out for each thread of the workers, so that none waits for the next."""

PATIENCE = 30.0
"""How long an answer of the scheduler, and a first worker, are waited for [s]."""


class SpreadError(Exception):
    """A sweep that the workers cannot do; the message says why, in words."""


def spread(
    sweep: Sweep, numbers: list[int], address: str
) -> Iterator[tuple[int, bytes, dict[str, int]]]:
    """Give the solved chunks with these numbers as they come back, in any order.

    Raises
    ------
    SpreadError
        If there is no scheduler or no worker, a worker lacks this package, or the scheduler is
        lost on the way
    NotVaried
        If the circuit cannot have values among them
    """
    try:
        import cloudpickle
        import distributed
        from distributed.comm.core import CommClosedError
        from distributed.scheduler import KilledWorker
    except ImportError as error:
        raise SpreadError(f"{error.name} is not installed; install circuitcheck[spread]") from error
    library: Any = distributed  # its functions have no types
    job: bytes = cloudpickle.dumps(sweep)
    try:
        client: Any = library.Client(address, timeout=PATIENCE, set_as_default=False)
    except (OSError, ValueError, TimeoutError) as error:
        raise SpreadError(f"there is no scheduler at {address}: {error}") from error
    with _quiet(), client:
        try:
            client.wait_for_workers(1, timeout=PATIENCE)
        except TimeoutError as error:
            raise SpreadError(f"the scheduler at {address} has no workers") from error
        waiting = iter(numbers)
        running = library.as_completed(loop=client.loop)
        key = sweep.fingerprint()

        def hand_out(count: int) -> None:
            for _, number in zip(range(count), waiting, strict=False):
                name = f"sweep-{key[:16]}-{number}"
                running.add(client.submit(piece, job, number, sweep.version, key=name, pure=False))

        hand_out(AHEAD * max(1, sum(client.nthreads().values())))
        for future in running:
            try:
                number, data, tally = future.result()
            except KilledWorker as error:
                raise SpreadError(f"a chunk ended every worker that took it: {error}") from error
            except ImportError as error:
                raise SpreadError(f"a worker lacks something: {error}") from error
            except (CancelledError, CommClosedError) as error:  # at rest, or bringing a chunk
                raise SpreadError(
                    f"the scheduler at {address} was lost; what has come back is kept, and the "
                    "same command goes on from there"
                ) from error
            future.release()
            hand_out(1)
            yield number, data, tally


@contextmanager
def _quiet() -> Iterator[None]:
    """Keep what the library logs of a lost connection from people: they are told in words."""
    log = logging.getLogger("distributed.client")
    before = log.level
    log.setLevel(logging.CRITICAL)
    try:
        yield
    finally:
        log.setLevel(before)


def piece(job: bytes, number: int, version: str) -> tuple[int, bytes, dict[str, int]]:
    """Solve one chunk; what a worker does, if it has the same version of this program."""
    own = import_module(__name__.partition(".")[0]).__version__
    if version not in ("", own):
        raise SpreadError(f"a worker has circuitcheck {own}, this is {version}")
    return number, *_sweep(job).piece(number)


@lru_cache(maxsize=4)
def _sweep(job: bytes) -> Sweep:
    import pickle

    sweep: Sweep = pickle.loads(job)
    return sweep
