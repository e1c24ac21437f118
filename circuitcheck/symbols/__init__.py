"""Symbols of hydraulic components after ISO 1219-1, one file per kind, found by discovery."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Callable, Mapping
from functools import cache
from types import MappingProxyType
from typing import Any, Protocol

from circuitcheck.symbols._parts import OUTWARD, Anchor, Look, Side, Spot, Symbol

Draw = Callable[[Look], Symbol]


class SymbolModule(Protocol):
    """What a symbol module exports: ``WORD`` or ``WORDS``, and ``draw``; one's own, too."""

    draw: Draw


_own: list[SymbolModule] = []


def register(module: SymbolModule) -> None:
    """Add the symbol of a module of one's own; ValueError if one of its words is taken."""
    _own.append(module)
    all_symbols.cache_clear()
    try:
        all_symbols()
    except ValueError:
        forget(module)
        raise


def forget(module: SymbolModule) -> None:
    """Take the symbol of a registered module away again."""
    _own.remove(module)
    all_symbols.cache_clear()


def words_of(module: Any) -> tuple[str, ...]:
    """Give the words of the language that a symbol module draws."""
    return tuple(module.WORDS) if hasattr(module, "WORDS") else (module.WORD,)


@cache
def all_symbols() -> Mapping[str, Draw]:
    """Find the drawing function of every kind: word of the language -> ``draw``.

    Files of this folder whose names begin with ``_`` are common parts; registered modules
    come after the files. ValueError if two claim the same word.
    """
    found: dict[str, Draw] = {}
    owner: dict[str, str] = {}
    files = sorted(info.name for info in pkgutil.iter_modules(__path__))
    modules: list[tuple[str, Any]] = [
        (f"symbols/{name}.py", importlib.import_module(f"{__name__}.{name}"))
        for name in files
        if not name.startswith("_")
    ]
    modules += [(getattr(module, "__name__", "a module"), module) for module in _own]
    for name, module in modules:
        for word in words_of(module):
            if word in found:
                raise ValueError(f"{name} and {owner[word]} both draw '{word}'")
            found[word], owner[word] = module.draw, name
    return MappingProxyType(found)


__all__ = [
    "OUTWARD",
    "Anchor",
    "Draw",
    "Look",
    "Side",
    "Spot",
    "Symbol",
    "SymbolModule",
    "all_symbols",
    "forget",
    "register",
    "words_of",
]
