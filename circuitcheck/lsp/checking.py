"""Checks texts beside the conversation with the editor; what has become old is dropped."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from circuitcheck.basics.findings import Finding
from circuitcheck.pipeline import parse
from circuitcheck.reports.result import Result

PAUSE = 0.25
"""Rest of the keyboard after which a text is checked [s]; own choice."""


@dataclass(frozen=True)
class Job:
    """A version of a text to be checked; ``due`` is when its writer may have paused."""

    uri: str
    version: int
    source: str
    file: str
    folder: Path | None
    due: float


@dataclass(frozen=True)
class Checked:
    """What was found in a version of a text: at first its mistakes, then everything.

    ``result`` is None as long as only the text itself was looked at.
    """

    uri: str
    version: int
    findings: tuple[Finding, ...]
    result: Result | None


class Checker:
    """One thread that checks the newest version of each text, stage by stage.

    A version that is followed by another one before its turn is never looked at; one that is
    being checked is given up after the stage it is in. ``tell`` is called in that thread with
    what was found, ``fail`` with what went wrong in the program itself.
    """

    def __init__(
        self, tell: Callable[[Checked], None], fail: Callable[[str, Exception], None]
    ) -> None:
        self._tell = tell
        self._fail = fail
        self._jobs: dict[str, Job] = {}
        self._newest: dict[str, int] = {}
        self._changed = threading.Condition()
        self._ended = False
        self._thread = threading.Thread(target=self._run, name="checker", daemon=True)
        self._thread.start()

    def ask(
        self, uri: str, version: int, source: str, file: str, folder: Path | None,
        pause: float = PAUSE,
    ) -> None:  # fmt: skip
        """Have a version checked after a pause, in place of every earlier one."""
        job = Job(uri, version, source, file, folder, time.monotonic() + pause)
        with self._changed:
            self._jobs[uri] = job
            self._newest[uri] = version
            self._changed.notify()

    def forget(self, uri: str) -> None:
        """Drop what is asked of a text."""
        with self._changed:
            self._jobs.pop(uri, None)
            self._newest.pop(uri, None)

    def end(self) -> None:
        """Stop; a stage that is running is not waited for."""
        with self._changed:
            self._ended = True
            self._changed.notify()

    def _run(self) -> None:
        while (job := self._next()) is not None:
            try:
                self._check(job)
            except Exception as problem:  # noqa: BLE001 - the editor goes on, and is told
                self._fail(job.uri, problem)

    def _next(self) -> Job | None:
        with self._changed:
            while not self._ended:
                first = min(self._jobs.values(), key=lambda job: job.due, default=None)
                wait = None if first is None else first.due - time.monotonic()
                if first is not None and wait is not None and wait <= 0.0:
                    return self._jobs.pop(first.uri)
                self._changed.wait(wait)
            return None

    def _old(self, job: Job) -> bool:
        with self._changed:
            return self._ended or self._newest.get(job.uri) != job.version

    def _check(self, job: Job) -> None:
        project = parse(job.source, job.file, job.folder)
        if self._old(job):
            return
        self._tell(Checked(job.uri, job.version, project.mistakes, None))
        if self._old(job):
            return
        project.solved()
        if self._old(job):
            return
        result = project.check()
        if not self._old(job):
            self._tell(Checked(job.uri, job.version, result.findings, result))
