"""The kinds of component, one module each, found by looking into this folder."""

from __future__ import annotations

import importlib
import pkgutil
from functools import cache
from types import MappingProxyType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

    from circuitcheck.components._parts import Kind


@cache
def kinds() -> Mapping[str, Kind]:
    """Give every kind by its word in the language, found in the modules of this folder.

    Raises
    ------
    ValueError
        If two modules claim the same word.
    """
    found: dict[str, Kind] = {}
    for info in sorted(pkgutil.iter_modules(__path__), key=lambda info: info.name):
        if info.name.startswith("_"):
            continue
        module = importlib.import_module(f"{__name__}.{info.name}")
        for kind in module.KINDS:
            for word in (kind.word, *kind.other_words):
                if word in found:
                    raise ValueError(f"'{word}' stands in two modules: {info.name} gives it again")
                found[word] = kind
    return MappingProxyType(found)
