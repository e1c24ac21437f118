"""Pieces of an unfinished sweep in a folder beside its output; whole ones survive anything.

A piece is written under another name, flushed to the disk and then renamed, its tally
before it: what bears its name is whole. The output appears when all pieces are there.
"""

from __future__ import annotations

import json
import os
import shutil
from collections.abc import Callable, Iterable
from contextlib import suppress
from pathlib import Path
from typing import IO, Any, BinaryIO

from circuitcheck.basics.writing import write_whole

Join = Callable[[Iterable[Path], BinaryIO], None]
JOB, LOCK = "sweep.json", "lock"


class StoreError(Exception):
    """A store that cannot be used; the message says why, in words."""


class Store:
    """The pieces of one sweep, by number. ``with`` keeps other runs out of it.

    ``afresh`` throws away what an earlier run left.
    """

    def __init__(self, target: Path, fingerprint: str, pieces: int, afresh: bool = False) -> None:
        self.target, self.folder = target, target.with_name(f"{target.name}.parts")
        self._afresh = afresh
        self._job = {"fingerprint": fingerprint, "pieces": pieces}
        self._pieces = pieces
        self._lock: IO[str] | None = None

    def __enter__(self) -> Store:
        self._lock = self._alone()
        job = self.folder / JOB
        if self._afresh:
            self._empty()
        elif job.exists() and _read(job) != self._job:
            self._lock.close()
            raise StoreError(
                f"{self.folder} holds the unfinished run of another sweep, or of a circuit that "
                "was changed since; --afresh discards it"
            )
        if not job.exists():
            write_whole(job, json.dumps(self._job).encode())
        return self

    def __exit__(self, *_: object) -> None:
        if self._lock is not None:
            self._lock.close()

    def _alone(self) -> IO[str]:
        """Give the locked file that keeps other runs out; a finished run takes its file along."""
        place = self.folder / LOCK
        while True:
            self.folder.mkdir(exist_ok=True)
            try:
                lock = place.open("a", encoding="utf-8")
            except FileNotFoundError:  # a run that finished has just removed the folder
                continue
            if not _locked(lock):
                lock.close()
                raise StoreError(f"another run is writing {self.target}")
            if place.exists() and os.path.samestat(os.fstat(lock.fileno()), place.stat()):
                return lock
            lock.close()

    def _empty(self) -> None:
        """Remove all but the lock."""
        for path in self.folder.iterdir():
            if path.name != LOCK:
                path.unlink()

    @property
    def missing(self) -> list[int]:
        """Numbers of the pieces that are not there, or not as long as they were written."""
        return [number for number in range(self._pieces) if not self._whole(number)]

    def _whole(self, number: int) -> bool:
        piece, told = self._piece(number), self._told(number)
        return piece.exists() and told.exists() and _read(told).get("bytes") == piece.stat().st_size

    def put(self, number: int, data: bytes, tally: dict[str, int]) -> None:
        """Keep a piece."""
        told = json.dumps({"bytes": len(data), "tally": tally}).encode()
        write_whole(self._told(number), told, tidy=False)
        write_whole(self._piece(number), data, tidy=False)

    def tally(self) -> dict[str, int]:
        """Add up what the pieces were told with."""
        total: dict[str, int] = {}
        for number in range(self._pieces):
            for name, count in _read(self._told(number))["tally"].items():
                total[name] = total.get(name, 0) + count
        return total

    def finish(self, join: Join) -> None:
        """Make the output of all pieces, whole or not at all, and remove them."""
        part = self.folder / "joined"
        with part.open("wb") as file:
            join(map(self._piece, range(self._pieces)), file)
            file.flush()
            os.fsync(file.fileno())
        if self.target.exists():
            shutil.copymode(self.target, part)
        part.replace(self.target)
        self._empty()
        if os.name == "nt":  # an open file cannot be removed there
            self.__exit__()
        (self.folder / LOCK).unlink()
        self.__exit__()
        with suppress(OSError):  # the next run may have begun in it
            self.folder.rmdir()

    def _piece(self, number: int) -> Path:
        return self.folder / f"{number:09d}.piece"

    def _told(self, number: int) -> Path:
        return self.folder / f"{number:09d}.json"


def _read(path: Path) -> dict[str, Any]:
    try:
        found = json.loads(path.read_text(encoding="utf-8"))
    except ValueError:
        return {}
    return found if isinstance(found, dict) else {}


def _locked(file: IO[str]) -> bool:
    """Lock an open file; the system lets go of it when the process ends, however it ends."""
    try:
        import fcntl
    except ImportError:  # not on this system: two runs at once are not kept apart
        return True
    try:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        return False
    return True
