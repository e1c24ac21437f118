"""The kinds of component, one module each, found by looking into this folder."""

from __future__ import annotations

import importlib
import pkgutil
from functools import cache
from types import MappingProxyType
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from collections.abc import Mapping

    from circuitcheck.components._parts import Kind


class ComponentModule(Protocol):
    """What a component module exports; a module of one's own outside the package, too."""

    KINDS: tuple[Kind, ...]


_own: list[ComponentModule] = []


def register(module: ComponentModule) -> None:
    """Add the kinds of a module of one's own; ValueError if one of its words is taken."""
    _own.append(module)
    kinds.cache_clear()
    try:
        kinds()
    except ValueError:
        forget(module)
        raise


def forget(module: ComponentModule) -> None:
    """Take the kinds of a registered module away again."""
    _own.remove(module)
    kinds.cache_clear()


@cache
def _of_folder() -> tuple[tuple[str, ComponentModule], ...]:
    names = sorted(info.name for info in pkgutil.iter_modules(__path__))
    return tuple(
        (name, importlib.import_module(f"{__name__}.{name}"))
        for name in names
        if not name.startswith("_")
    )


@cache
def kinds() -> Mapping[str, Kind]:
    """Give every kind by its word in the language: those of this folder, then registered ones.

    Raises
    ------
    ValueError
        If two modules claim the same word.
    """
    found: dict[str, Kind] = {}
    modules = [*_of_folder(), *((getattr(m, "__name__", "a module"), m) for m in _own)]
    for name, module in modules:
        for kind in module.KINDS:
            for word in (kind.word, *kind.other_words):
                if word in found:
                    raise ValueError(f"'{word}' stands in two modules: {name} gives it again")
                found[word] = kind
    return MappingProxyType(found)
