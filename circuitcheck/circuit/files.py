"""Files that a figure names: looked for beside the circuit, inside its folder only."""

from __future__ import annotations

import difflib
import os
from pathlib import Path

from circuitcheck.language.nearby import inside
from circuitcheck.language.plain import UnreadableError, plain_text
from circuitcheck.language.sentences import plain_newlines
from circuitcheck.language.text import Quote

MOST_BYTES = 2_000_000
"""No table of a part is larger; own choice."""


class Files:
    """The project's folder; ``file`` is the circuit's own name as places have it."""

    def __init__(self, file: str, folder: Path | None) -> None:
        self._beside = Path(file).parent
        self._folder = folder

    def text(self, name: Quote, word: str) -> str:
        """Give the text of a file, named from the file on in which ``name`` stands.

        Raises
        ------
        UnreadableError
            If it lies outside the project, is not there or is no text.
        """
        said = name.text.strip()
        below = os.path.relpath(Path(name.place.file).parent, self._beside)
        path = inside(said, "" if below == "." else below, self._folder, word, "table.csv")
        assert self._folder is not None
        place = self._folder / path
        if not place.exists():
            there = sorted(near.name for near in place.parent.glob(f"*{place.suffix}"))
            meant = difflib.get_close_matches(place.name, there, 1, 0.6)
            remedy = f"did you mean '{meant[0]}'?" if meant else "it is sought from this file on"
            raise UnreadableError("use-missing", f"there is no file '{said}'", remedy)
        try:
            return plain_newlines(plain_text(place, MOST_BYTES))
        except UnreadableError as problem:
            at = f", line {problem.line}" if problem.width else ""
            message = f"{said}{at}: {problem.message}"
            raise UnreadableError(problem.slug, message, problem.remedy) from problem
