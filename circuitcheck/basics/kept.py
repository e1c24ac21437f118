"""What took long to make and is needed at every start, kept in the user's cache folder.

A file is read only if it was written for the same key and is whole; whatever is wrong with
it, it counts as absent, and what it held is made anew.
"""

from __future__ import annotations

import hashlib
import os
import sys
import tempfile
from contextlib import suppress
from pathlib import Path

DIGEST = hashlib.sha256


def cache_folder() -> Path | None:
    """Give this program's folder below the user's cache folder; None where there is none.

    ``XDG_CACHE_HOME`` chooses another place for the latter, as the XDG Base Directory
    Specification has it.
    """
    chosen = os.environ.get("XDG_CACHE_HOME", "")
    if Path(chosen).is_absolute():
        return Path(chosen) / "circuitcheck"
    if sys.platform == "win32":
        local = os.environ.get("LOCALAPPDATA", "")
        return Path(local) / "circuitcheck" / "cache" if local else None
    try:
        home = Path.home()
    except RuntimeError:  # a user without a home
        return None
    below = "Library/Caches" if sys.platform == "darwin" else ".cache"
    return home / below / "circuitcheck"


def kept(name: str, key: str) -> bytes | None:
    """Give what was kept under a name for this key, None where there is no such thing."""
    folder = cache_folder()
    if folder is None:
        return None
    try:
        whole = (folder / name).read_bytes()
    except OSError:
        return None
    size = DIGEST().digest_size
    content = whole[size:]
    return content if whole[:size] == _seal(key, content) else None


def keep(name: str, key: str, content: bytes) -> None:
    """Keep something, in one go; where the folder cannot be written, nothing is kept."""
    folder = cache_folder()
    if folder is None:
        return
    with suppress(OSError):  # nothing is lost but the time to make it again
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        handle, part = tempfile.mkstemp(prefix=f".{name}.", dir=folder)
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(_seal(key, content) + content)
            Path(part).replace(folder / name)
        finally:
            Path(part).unlink(missing_ok=True)


def _seal(key: str, content: bytes) -> bytes:
    return DIGEST(DIGEST(key.encode()).digest() + content).digest()
