"""What mutmut leaves in the folder mutants: the fate of every mutant by its name."""

from __future__ import annotations

import json
from fnmatch import fnmatchcase
from pathlib import Path

MUTANTS = Path("mutants")

ROOMS = {
    "laws": tuple(
        f"circuitcheck.laws.{module}.*"
        for module in (
            "_law", "bores", "brakes", "drives", "machines", "measured", "modulated", "passages",
            "pipe", "pipe_curve", "pipe_friction", "rotary", "smoothing", "storage",
            "transmissions", "warm_gas",
        )
    ),
    "components": tuple(
        f"circuitcheck.components.{module}.{function}__mutmut_*"
        for module, function in (("*", "x_equations"), ("*", "x_results"), ("_*", "x_*"))
    ),
    "rules": ("circuitcheck.rules.[!_]*",),
    "rules-shared": ("circuitcheck.rules._*",),
    "solver": ("circuitcheck.solver.*",),
}  # fmt: skip
"""Patterns of names. Not drawn from: the bookkeeping of elements (laws/net.py, view.py)."""

WORDS = {
    "components": (
        "*mistakes", "*cautions", "*parameter", "*_data", "*ports", "*state", "word_of", "steps",
        "strays", "assumes", "rated_flow", "beyond",
    ),
    "solver": (
        "findings", "_finding", "*ǁ_finding", "listed", "_undecided", "_several", "_shown",
        "*ǁrefused", "*ǁworst", "*ǁ__str__", "points_frame", "_rows", "_figures",
    ),
}  # fmt: skip
"""Functions of the kinds that declare ports and figures, word a state or refuse a figure; of the
solver those that make a sentence or the rows of a table."""


def belongs(name: str, room: str) -> bool:
    """Whether a mutant is one of those that are drawn from."""
    function = name.rsplit(".x", 1)[-1].removeprefix("_").rsplit("__mutmut_", 1)[0]
    if any(fnmatchcase(function, pattern) for pattern in WORDS.get(room, ())):
        return False
    return any(fnmatchcase(name, pattern) for pattern in ROOMS[room])


def names() -> dict[str, int | None]:
    """Give every mutant with the exit code of its tests, None where it was not tried."""
    found: dict[str, int | None] = {}
    for file in sorted(MUTANTS.glob("circuitcheck/**/*.meta")):
        found |= json.loads(file.read_text(encoding="utf-8"))["exit_code_by_key"]
    return found
