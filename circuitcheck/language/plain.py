"""Gives the text of a file; a file that holds none is said so, in words."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from circuitcheck.basics.findings import Finding
from circuitcheck.basics.places import Place
from circuitcheck.language.faults import fault


@dataclass
class UnreadableError(Exception):
    """A file that is no text: what is wrong, what to do; line and column of a wrong mark.

    ``text`` is what can be shown of it.
    """

    slug: str
    message: str
    remedy: str = ""
    line: int = 1
    column: int = 1
    width: int = 0
    text: str = ""

    def finding(self, name: str) -> Finding:
        """Say it at the place in the file itself."""
        place = Place(name, self.line, self.column, self.line, self.column + self.width)
        return fault(self.slug, place, self.message, self.remedy)


def plain_text(path: Path, most: int, pipes: bool = False) -> str:
    """Give the text of a file written in UTF-8, of ``most`` bytes at most.

    ``pipes``: it may come through a pipe or from a device as well, as long as that ends.

    Raises
    ------
    UnreadableError
        If the file cannot be opened, or is written in another way.
    """
    try:
        if not pipes and path.exists() and not path.is_file():
            raise UnreadableError("file-unread", "this is not a file")
        with path.open("rb") as file:
            data = file.read(most + 1)
    except OSError as error:
        reason = (error.strerror or "it cannot be opened").lower()
        raise UnreadableError("file-unread", f"the file cannot be read: {reason}") from error
    if len(data) > most:
        message = f"the file is too large: more than {most // 1_000_000} MB"
        raise UnreadableError("file-unread", message)
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        raise UnreadableError(
            "file-encoding", "this file is saved as UTF-16", "save it again as UTF-8"
        )
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as error:
        before = data[: error.start].decode("utf-8")
        raise UnreadableError(
            "file-encoding",
            "this character is not written in UTF-8",
            "save the file again as UTF-8",
            before.count("\n") + 1,
            len(before) - before.rfind("\n"),
            1,
            data.decode("utf-8", "replace"),
        ) from error
