"""The circuit files of a project, without walking through a whole disk."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

MOST_ENTRIES = 20_000
"""Files and folders that are looked at; a project is smaller, a home folder is not. Own choice."""

_PASSED_OVER = frozenset({"node_modules", "__pycache__"})


def circuit_files(folder: Path, most: int = MOST_ENTRIES) -> Iterator[Path]:
    """Give the circuit files in a folder and below it, the nearest first.

    Hidden folders are passed over, and links to folders; after ``most`` entries it ends.
    """
    todo, seen = [folder], 0
    while todo:
        here = todo.pop(0)
        try:
            with os.scandir(here) as entries:
                found = sorted(entries, key=lambda entry: entry.name)
        except OSError:  # it went away, or may not be read: then nothing in it is used either
            continue
        for entry in found:
            seen += 1
            if seen > most:
                return
            if entry.name.startswith(".") or entry.name in _PASSED_OVER:
                continue
            if entry.is_dir(follow_symlinks=False):
                todo.append(Path(entry.path))
            elif entry.name.endswith(".hyc"):
                yield Path(entry.path)
