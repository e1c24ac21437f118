"""The table of basic elements, and building symbols from them.

The geometry is data: shared/symbols/elements.toml, each row with its source.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from functools import cache
from typing import TypeVar

from circuitcheck.basics.folders import folder
from circuitcheck.symbols._notation import Shapes, parse

_Made = TypeVar("_Made")
_used: set[str] = set()


@cache
def _rows() -> dict[str, dict[str, str]]:
    with (folder("shared") / "symbols" / "elements.toml").open("rb") as file:
        return tomllib.load(file)


@cache
def _table() -> dict[str, str]:
    return {name: str(row["build"]) for name, row in _rows().items()}


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
    return parse(text, _noted)


def _noted(name: str) -> Shapes:
    _used.add(name)
    return element(name)


def elements_used(make: Callable[[], _Made]) -> tuple[_Made, dict[str, str]]:
    """Call ``make``; also give the elements that were built meanwhile, each with its source."""
    _used.clear()
    made = make()
    return made, {name: _rows()[name]["source"] for name in sorted(_used)}
