"""The circuits of one folder: listed, read, and saved without ever losing a newer text."""

from __future__ import annotations

import hashlib
import threading
from dataclasses import dataclass
from pathlib import Path

from circuitcheck.basics.writing import write_whole
from circuitcheck.language.plain import UnreadableError, plain_text

SUFFIX = ".hyc"
MOST_BYTES = 1_000_000
"""No text of a circuit that is edited on a page is larger; own choice."""
MOST_NAMES = 200
"""Circuits of a folder that are offered; own choice."""
_BOM = "\ufeff"


class OffShelfError(Exception):
    """A file that cannot be had or written; the message is for the person at the page."""


@dataclass(frozen=True)
class Held:
    """A text as it lies on the disk; ``mark`` tells it from every other state of the file."""

    text: str
    mark: str


class NewerError(Exception):
    """The file is not what the page believes it to be; ``held`` is what lies there now."""

    def __init__(self, held: Held | None) -> None:
        super().__init__("the file was changed by somebody else")
        self.held = held


class Shelf:
    """Circuits in a folder. Names are plain: nothing outside the folder can be named."""

    def __init__(self, first: Path) -> None:
        self.first = first.name
        self.folder = first.resolve().parent
        self._writing = threading.Lock()
        self._marks: dict[str, tuple[tuple[int, int, int], str]] = {}

    def names(self) -> list[str]:
        """Give the circuits of the folder, by name; the one that was asked for is always among
        them."""
        found = sorted(path.name for path in self.folder.glob(f"*{SUFFIX}") if path.is_file())
        return list(dict.fromkeys([self.first, *found[:MOST_NAMES]]))

    def path(self, name: str) -> Path:
        """Give the path of a circuit; `OffShelfError` for a name that leads anywhere else."""
        plain = name == Path(name).name and not name.startswith(".") and "\0" not in name
        if not plain or "\\" in name or not (name.endswith(SUFFIX) or name == self.first):
            raise OffShelfError(f"'{name}' is not the name of a circuit in this folder")
        path = self.folder / name
        if path.resolve().parent != self.folder:
            raise OffShelfError(f"'{name}' leads out of the folder")
        return path

    def read(self, name: str) -> Held:
        """Read a circuit; raises `OffShelfError`."""
        path = self.path(name)
        try:
            text = plain_text(path, MOST_BYTES)
        except UnreadableError as problem:
            raise OffShelfError(f"{name}: {problem.message}") from problem
        return Held(text.removeprefix(_BOM).replace("\r\n", "\n"), _mark(text.encode()))

    def mark(self, name: str) -> str:
        """Give the mark of a file as it lies there now, "" where there is none.

        The file is read again only where its time or size have changed.
        """
        path = self.path(name)
        try:
            seen = path.stat()
            stamp = (seen.st_mtime_ns, seen.st_size, seen.st_ino)
            known = self._marks.get(name)
            if known is None or known[0] != stamp:
                known = self._marks[name] = (stamp, _mark(path.read_bytes()))
        except OSError:
            return ""
        return known[1]

    def save(self, name: str, text: str, over: str) -> str:
        """Write a text over the state of the file that bears the mark ``over``; give the new mark.

        The file keeps its line ends and its mark of byte order. It is written whole or not at all.

        Raises
        ------
        NewerError
            If the file is another one by now.
        OffShelfError
            If it cannot be written.
        """
        path = self.path(name)
        with self._writing:
            before = path.read_bytes() if path.is_file() else None
            if (_mark(before) if before is not None else "") != over:
                raise NewerError(self.read(name) if before is not None else None)
            content = _as_before(text, before or b"").encode()
            if len(content) > MOST_BYTES:
                raise OffShelfError(f"{name} cannot be saved: the text is too large")
            try:
                write_whole(path, content)
            except OSError as error:
                why = (error.strerror or str(error)).lower()
                raise OffShelfError(f"{name} cannot be saved: {why}") from error
        return _mark(content)


def _mark(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()[:32]


def _as_before(text: str, before: bytes) -> str:
    """Give a text the line ends and the mark of byte order that the file had."""
    if b"\r\n" in before and before.count(b"\n") == before.count(b"\r\n"):
        text = text.replace("\n", "\r\n")
    return _BOM + text if before.startswith(_BOM.encode()) else text
