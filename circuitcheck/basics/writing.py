"""Files written whole or not at all, whatever ends the program in the middle.

The content goes to another name beside the file, is flushed to the disk and then takes the
file's name in one step. Of several that write one file the last one stands, whole.
"""

from __future__ import annotations

import errno
import os
import shutil
from contextlib import suppress
from glob import escape
from pathlib import Path

_ENDING = "part"


def write_whole(target: Path, content: bytes, tidy: bool = True) -> None:
    """Write a file, or leave what stood there; raises OSError where it cannot be written.

    ``tidy`` removes what runs that were killed have left of the same file.
    """
    if target.exists() and not os.access(target, os.W_OK):
        raise PermissionError(errno.EACCES, "the file is read-only")
    part = target.with_name(f".{target.name}.{os.getpid()}.{_ENDING}")
    if tidy:
        _clear(target)
    try:
        with part.open("wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        if target.exists():
            shutil.copymode(target, part)
        part.replace(target)
    finally:
        part.unlink(missing_ok=True)


def _clear(target: Path) -> None:
    """Remove what runs left that were killed before they came to the end."""
    for part in target.parent.glob(f".{escape(target.name)}.*.{_ENDING}"):
        process = part.name.rsplit(".", 2)[1]
        if process.isdecimal() and not _runs(int(process)):
            with suppress(OSError):  # it is in nobody's way
                part.unlink()


def _runs(process: int) -> bool:
    if os.name == "nt":  # there is no asking without ending it
        return True
    try:
        os.kill(process, 0)
    except (ProcessLookupError, OverflowError):
        return False
    except PermissionError:  # somebody else's
        return True
    return True
