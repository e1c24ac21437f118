"""Files of a project by the names that its texts give them, and no files outside it."""

from __future__ import annotations

import os
from pathlib import Path, PurePosixPath, PureWindowsPath

from circuitcheck.language.plain import UnreadableError


def inside(said: str, below: str, folder: Path | None, word: str, example: str) -> str:
    """Give the path of a file from the project's folder on.

    Parameters
    ----------
    said
        The name as the text has it, from the file on in which it stands
    below
        Where that file lies, from the folder on; empty for the folder itself
    folder
        The folder of the project, None for a text that lies in none
    word, example
        What stands before the name, and a name as it could be, for messages

    Raises
    ------
    UnreadableError
        If the name leads out of the folder, or can be the name of no file.
    """
    if folder is None:
        kept = "write the block into it" if word == "use" else f"leave {word} away"
        raise UnreadableError(
            "use-without-folder",
            f"'{said}' is beside no file: this text lies in no folder",
            f"save the text as a file, or {kept}",
        )
    if "\\" in said:
        raise UnreadableError(
            "use-path",
            "folders are parted by /",
            f'write:  {word} "{said.replace(chr(92), "/")}"',
        )
    if PurePosixPath(said).is_absolute() or PureWindowsPath(said).drive or said[0] == "~":
        raise UnreadableError(
            "use-path",
            f"'{said}' is not written from this file on",
            f'a file lies in the folder of the circuit:  {word} "{example}"',
        )
    path = os.path.normpath(f"{below}/{said}" if below else said)
    root = folder.resolve()
    try:
        outside = not (root / path).resolve().is_relative_to(root)
        (root / path).is_file()
    except (OSError, ValueError, RuntimeError) as error:  # a name that no file can have
        message = f"'{said[:40]}...' cannot be the name of a file"
        raise UnreadableError("use-path", message) from error
    if Path(path).parts[:1] == ("..",) or outside:
        raise UnreadableError(
            "use-outside",
            f"'{said}' lies outside the circuit's folder",
            "put the file into the folder of the circuit, or below it",
        )
    return path
