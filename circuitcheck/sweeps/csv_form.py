"""Tables as comma separated values (RFC 4180), safe to open in a spreadsheet."""

from __future__ import annotations

import math
import shutil
from collections.abc import Iterable
from pathlib import Path
from typing import BinaryIO

import numpy as np

from circuitcheck.basics.cells import as_text
from circuitcheck.sweeps.table import Column, Table

DIGITS = 10
"""Significant figures written: beyond what the solver promises."""


def encode(table: Table) -> bytes:
    """Give the rows of a table, the line of heads first."""
    rows = zip(*map(_cells, table.columns.values()), strict=True)
    lines = [",".join(_text(head) for head in table.columns)]
    lines += [",".join(row) for row in rows]
    return ("\n".join(lines) + "\n").encode("utf-8")


def join(pieces: Iterable[Path], target: BinaryIO) -> None:
    """Write pieces one after the other, the heads once."""
    for number, piece in enumerate(pieces):
        with piece.open("rb") as file:
            heads = file.readline()
            if number == 0:
                target.write(heads)
            shutil.copyfileobj(file, target)


def _cells(column: Column) -> list[str]:
    if isinstance(column, list):
        known: dict[str, str] = {}
        return [known.setdefault(word, _text(word)) for word in column]
    if column.dtype == np.bool_:
        return ["true" if value else "false" for value in column.tolist()]
    if column.dtype.kind in "iu":
        return list(map(str, column.tolist()))
    return [f"{x:.{DIGITS}g}" if not math.isnan(x) else "" for x in column.tolist()]


def _text(word: str) -> str:
    word = as_text(word)
    if any(mark in word for mark in ',"\n\r'):
        word = '"' + word.replace('"', '""') + '"'
    return word
