"""The table of basic elements, and building symbols from them.

The geometry is data: shared/symbols/elements.toml, each row with its source.
"""

from __future__ import annotations

import tomllib
from functools import cache

from circuitcheck.basics.folders import folder
from circuitcheck.symbols._notation import Shapes, parse


@cache
def _table() -> dict[str, str]:
    with (folder("shared") / "symbols" / "elements.toml").open("rb") as file:
        return {name: str(row["build"]) for name, row in tomllib.load(file).items()}


@cache
def element(name: str) -> Shapes:
    """Give the shapes of a basic element at its origin; ValueError for an unknown name."""
    if name not in _table():
        raise ValueError(f"no basic element {name!r}; there are {', '.join(sorted(_table()))}")
    return parse(_table()[name], element)


def element_names() -> tuple[str, ...]:
    """Name all basic elements, in the order of the table."""
    return tuple(_table())


def build(text: str) -> Shapes:
    """Turn a build string into shapes; ValueError names the part that cannot be read."""
    return parse(text, element)
