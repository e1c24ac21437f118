"""Processes that do the work of the page, so that the server always answers.

A job that takes too long is ended with its process, and another one takes its place. Jobs on
one text go to one process, which keeps what it made of it.
"""

from __future__ import annotations

import asyncio
import multiprocessing
import os
import signal
import threading
import zlib
from collections import OrderedDict
from multiprocessing.connection import Connection
from typing import Any

Json = dict[str, Any]
MOST_WAITING = 200
"""Jobs that wait at most, of all pages; own choice."""
_MOST_TABS = 1000
_READY = "circuitcheck.live.ready"
"""Module that a process has loaded when it begins."""


def _context() -> Any:
    """Give the way to begin processes: forked from one that has loaded everything, if it can be."""
    if "forkserver" not in multiprocessing.get_all_start_methods():
        return multiprocessing.get_context("spawn")
    context = multiprocessing.get_context("forkserver")
    context.set_forkserver_preload([_READY])
    return context


class BusyError(Exception):
    """More is asked than can be done."""


class OutdatedError(Exception):
    """The same page has asked for something newer in the meantime."""


class TooLongError(Exception):
    """A job took longer than it may, or its process was lost."""


class FaultError(Exception):
    """A fault of the program in a job; the message says which."""


def _work(ends: Connection) -> None:
    """Do jobs one after the other until the server is gone."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # a Ctrl-C is for the server
    from circuitcheck.live.ready import jobs

    while True:
        try:
            name, asked = ends.recv()
        except EOFError:
            return
        try:
            answer: Json = {"done": jobs.JOBS[name](asked)}
        except Exception as error:  # noqa: BLE001 - told to the person at the page
            answer = {"fault": f"{type(error).__name__}: {error}"}
        ends.send(answer)


class Worker:
    """One process, begun when it is first needed."""

    def __init__(self) -> None:
        self._process: multiprocessing.process.BaseProcess | None = None
        self._ends: Connection | None = None
        self._guard = threading.Lock()
        self._closed = False
        self._context = _context()

    def ask(self, name: str, asked: Json, limit: float) -> Any:
        """Have a job done within ``limit`` [s].

        Raises
        ------
        TooLongError, FaultError
        """
        ends = self._ready()
        try:
            ends.send((name, asked))
            if not ends.poll(limit):
                raise TooLongError(f"this takes longer than {limit:.0f} s")
            answer = ends.recv()
        except (EOFError, OSError) as error:
            self.end()
            raise TooLongError("the process that works on it was lost; ask again") from error
        except TooLongError:
            self.end()
            raise
        if "fault" in answer:
            raise FaultError(answer["fault"])
        return answer["done"]

    def begin(self) -> None:
        """Begin the process, so that the first job need not wait for it."""
        self._ready()

    def _ready(self) -> Connection:
        with self._guard:
            if self._closed:
                raise TooLongError("the server is being ended")
            if self._process is None or self._ends is None or not self._process.is_alive():
                self._ends, theirs = self._context.Pipe()
                self._process = self._context.Process(target=_work, args=(theirs,), daemon=True)
                self._process.start()
                theirs.close()
            return self._ends

    def end(self, for_good: bool = False) -> None:
        """End the process."""
        with self._guard:
            self._closed = self._closed or for_good
            process = self._process
            self._process = self._ends = None  # who waits there still sees that the end is lost
        if process is not None:
            process.kill()
            process.join(5.0)


class Crew:
    """Some workers for one sort of jobs; what one text needs is always done by the same."""

    def __init__(self, size: int, limit: float) -> None:
        self._workers = [Worker() for _ in range(size)]
        self._turns = [asyncio.Lock() for _ in range(size)]
        self._limit = limit
        self._waiting = 0
        self._newest: OrderedDict[str, int] = OrderedDict()

    def begin(self) -> None:
        """Begin all processes."""
        for worker in self._workers:
            worker.begin()

    async def ask(self, tab: str, name: str, asked: Json) -> Any:
        """Have a job done; of what one page asks, only the newest is.

        Raises
        ------
        BusyError, OutdatedError, TooLongError, FaultError
        """
        if self._waiting >= MOST_WAITING:
            raise BusyError("too much is asked at once")
        key = f"{tab} {name}"
        ticket = self._newest[key] = self._newest.get(key, 0) + 1
        self._newest.move_to_end(key)
        if len(self._newest) > _MOST_TABS:
            self._newest.popitem(last=False)
        chosen = zlib.crc32(tab.encode()) % len(self._workers)
        self._waiting += 1
        try:
            async with self._turns[chosen]:
                if self._newest.get(key, ticket) != ticket:
                    raise OutdatedError
                worker = self._workers[chosen]
                return await asyncio.to_thread(worker.ask, name, asked, self._limit)
        finally:
            self._waiting -= 1

    def end(self) -> None:
        """End all processes."""
        for worker in self._workers:
            worker.end(for_good=True)


def size_for_machine(share: float) -> int:
    """Give how many workers of a sort suit the machine, by their share of its processors."""
    return max(1, min(4, int(share * (os.cpu_count() or 2))))
