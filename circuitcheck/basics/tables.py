"""Reading the tables of the shared folder: commented CSV and TOML."""

from __future__ import annotations

import csv
import tomllib
from functools import cache
from typing import Any

from circuitcheck.basics.folders import folder


@cache
def read_csv(name: str) -> tuple[dict[str, str], ...]:
    """Give the rows of ``shared/<name>``; lines beginning with # are comments."""
    with (folder("shared") / name).open(encoding="utf-8", newline="") as file:
        return tuple(csv.DictReader(line for line in file if not line.startswith("#")))


@cache
def read_toml(name: str) -> dict[str, Any]:
    """Give the tables of ``shared/<name>``; the caller must not change them."""
    with (folder("shared") / name).open("rb") as file:
        return tomllib.load(file)
