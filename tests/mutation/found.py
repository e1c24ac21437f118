"""What mutmut leaves in the folder mutants: the fate of every mutant by its name."""

from __future__ import annotations

import json
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
}  # fmt: skip
"""Patterns of names. Not drawn from: the bookkeeping of elements (laws/net.py, view.py), and of
the kinds what is text, declares ports and figures, or words a state."""


def names() -> dict[str, int | None]:
    """Give every mutant with the exit code of its tests, None where it was not tried."""
    found: dict[str, int | None] = {}
    for file in sorted(MUTANTS.glob("circuitcheck/**/*.meta")):
        found |= json.loads(file.read_text(encoding="utf-8"))["exit_code_by_key"]
    return found
