"""Opens a circuit file; a file that is no plain text is said so, not thrown."""

from __future__ import annotations

from pathlib import Path

from circuitcheck.basics.findings import Finding
from circuitcheck.basics.places import Place
from circuitcheck.language.faults import fault
from circuitcheck.language.reader import read
from circuitcheck.language.text import Text


def read_file(path: str | Path) -> tuple[Text, list[Finding]]:
    """Read a circuit file; see `reader.read`. The text is UTF-8.

    A file that cannot be opened or decoded gives an empty text and one finding.
    """
    name = str(path)
    try:
        data = Path(path).read_bytes()
    except OSError as error:
        reason = (error.strerror or "it cannot be opened").lower()
        return _unreadable(name, "file-unread", f"the file cannot be read: {reason}")
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return _unreadable(
            name, "file-encoding", "this file is saved as UTF-16", "save it again as UTF-8"
        )
    try:
        source = data.decode("utf-8")
    except UnicodeDecodeError as error:
        before = data[: error.start].decode("utf-8")
        line = before.count("\n") + 1
        column = len(before) - before.rfind("\n")
        return _unreadable(
            name,
            "file-encoding",
            "this character is not written in UTF-8",
            "save the file again as UTF-8",
            Place(name, line, column, line, column + 1),
        )
    return read(source, name)


def _unreadable(
    name: str, slug: str, message: str, remedy: str = "", place: Place | None = None
) -> tuple[Text, list[Finding]]:
    at = place or Place(name, 1, 1, 1, 1)
    finding = fault(slug, at, message, remedy)
    return Text(name, "", complete=False), [finding]
