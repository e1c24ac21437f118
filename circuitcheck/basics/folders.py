"""Where the folders that are shipped with the package lie (grammar, shared, examples ...)."""

from __future__ import annotations

from functools import cache
from pathlib import Path

PACKAGE = Path(__file__).resolve().parent.parent


BESIDE = {"rule_pages": "tests/rules"}
"""Where a folder lies in a checkout, if not under its own name: pages that are tests as well."""


@cache
def folder(name: str) -> Path:
    """Give the folder ``name``: inside the installed package, else beside it in a checkout.

    Raises ``FileNotFoundError`` naming both places where it was sought. Nothing else in
    the program may build such a path: only this lookup works for a wheel, an editable
    install and a plain checkout alike.
    """
    inside, beside = PACKAGE / name, PACKAGE.parent / BESIDE.get(name, name)
    for place in (inside, beside):
        if place.is_dir():
            return place
    raise FileNotFoundError(
        f"the folder '{name}' belongs to circuitcheck but is neither {inside} nor {beside};"
        " install the package again"
    )
