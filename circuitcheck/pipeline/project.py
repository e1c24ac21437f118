"""A circuit text with everything that can be made from it, and the ways to read one."""

from __future__ import annotations

from pathlib import Path

from circuitcheck.basics.findings import Severity
from circuitcheck.basics.memory import uncollected
from circuitcheck.basics.refusal import CircuitError
from circuitcheck.pipeline.daily import Daily
from circuitcheck.pipeline.explained import Explained
from circuitcheck.pipeline.shown import InNotebook
from circuitcheck.pipeline.studied import Studied
from circuitcheck.pipeline.variants import WithVariants
from circuitcheck.pipeline.varied import Varied


class Project(Varied, Studied, WithVariants, Daily, Explained, InNotebook):
    """A circuit text with everything that can be made from it, each made once, on demand.

    What it gives lies in the classes that it is made of, one file each.
    """


def parse(text: str, file: str = "", folder: Path | None = None) -> Project:
    """Read a circuit from a text; mistakes are values, see `Project.mistakes`.

    ``folder`` is where files that the text uses are sought; without it there are none.
    """
    from circuitcheck.language import read

    with uncollected():
        return Project(*read(text, file, folder))


def open_file(path: str | Path) -> Project:
    """Read a circuit from a file as `parse` does; an unreadable file is a mistake, too."""
    from circuitcheck.language import read_file

    with uncollected():
        return Project(*read_file(path))


def load(path: str | Path) -> Project:
    """Read a circuit from a file.

    Raises
    ------
    CircuitError
        If the file cannot be read or the text is not understood; its message shows every
        mistake with its line.
    """
    project = open_file(path)
    if not project.understood:
        errors = [f for f in project.mistakes if f.severity is Severity.ERROR]
        raise CircuitError(tuple(errors), project.text, project.texts)
    return project
