"""Opens a circuit file with the files that it uses."""

from __future__ import annotations

from pathlib import Path

from circuitcheck.basics.findings import Finding
from circuitcheck.language.bounds import MOST_BYTES
from circuitcheck.language.plain import UnreadableError, plain_text
from circuitcheck.language.sentences import plain_newlines
from circuitcheck.language.text import Text
from circuitcheck.language.uses import read


def read_file(path: str | Path) -> tuple[Text, list[Finding]]:
    """Read a circuit file and the files that it uses; see `uses.read`. The text is UTF-8.

    A file that cannot be opened or decoded gives an empty text and one finding.
    """
    name = str(path)
    try:
        source = plain_text(Path(path), MOST_BYTES, pipes=True)
    except UnreadableError as problem:
        return Text(name, plain_newlines(problem.text), complete=False), [problem.finding(name)]
    return read(source, name, Path(path).parent)
