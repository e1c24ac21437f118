"""Symbols of hydraulic components after ISO 1219-1, one file per kind, found by discovery."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Callable, Mapping
from functools import cache
from types import MappingProxyType

from circuitcheck.symbols._parts import OUTWARD, Anchor, Look, Side, Spot, Symbol

Draw = Callable[[Look], Symbol]


@cache
def all_symbols() -> Mapping[str, Draw]:
    """Find the drawing function of every kind: word of the language -> ``draw``.

    Files whose names begin with ``_`` are common parts. ValueError if two files claim the
    same word.
    """
    found: dict[str, Draw] = {}
    owner: dict[str, str] = {}
    for info in sorted(pkgutil.iter_modules(__path__), key=lambda i: i.name):
        if info.name.startswith("_"):
            continue
        module = importlib.import_module(f"{__name__}.{info.name}")
        words = module.WORDS if hasattr(module, "WORDS") else (module.WORD,)
        for word in words:
            if word in found:
                raise ValueError(
                    f"symbols/{info.name}.py and symbols/{owner[word]}.py both draw '{word}'"
                )
            found[word], owner[word] = module.draw, info.name
    return MappingProxyType(found)


__all__ = ["OUTWARD", "Anchor", "Draw", "Look", "Side", "Spot", "Symbol", "all_symbols"]
