"""Claims and readings from a CSV file, as sentences of the language.

The first line names the columns: ``gauge`` (or ``subject``: "G1", "C1 speed"), ``value``
("205 bar"), and, as wanted, ``tolerance`` ("2 %"), ``step``, ``oil`` ("52 degC"). Commas or
semicolons part them.
"""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass

COLUMNS = {"gauge": "subject", "subject": "subject", "what": "what", "value": "value",
           "unit": "unit", "tolerance": "tolerance", "meter tolerance": "tolerance",
           "step": "step", "oil": "oil", "oil temperature": "oil"}  # fmt: skip


@dataclass(frozen=True)
class Listed:
    """A chapter made from a table; ``rows``: the line of the table behind each of its lines."""

    text: str
    rows: tuple[int, ...]


def listed(table: str, chapter: str) -> Listed:
    """Give the chapter ``claims`` or ``readings`` that a CSV table means.

    Raises
    ------
    ValueError
        If the table has no columns for subject and value, or a line lacks one; the message
        is for people and names the line.
    """
    parted = ";" if table.split("\n", 1)[0].count(";") else ","
    reader = csv.reader(io.StringIO(table.lstrip("\ufeff")), delimiter=parted)
    try:
        rows = [(reader.line_num, row) for row in reader]
    except csv.Error as wrong:
        raise ValueError(f"line {reader.line_num} is no line of a table: {wrong}") from wrong
    heads = [COLUMNS.get(head.strip().lower(), "") for head in rows[0][1]] if rows else []
    if "subject" not in heads or "value" not in heads:
        raise ValueError(
            "the first line names the columns: gauge, value, tolerance, step, oil temperature"
        )
    by_oil: dict[str, list[tuple[str, int]]] = {}
    for number, row in rows[1:]:
        cells = zip(heads, row, strict=False)
        said = {head: " ".join(cell.split()) for head, cell in cells if head}
        if not any(said.values()):
            continue
        if not said.get("subject") or not said.get("value"):
            raise ValueError(f"line {number} lacks a gauge or a value")
        of = " ".join(filter(None, (said["subject"], said.get("what"))))
        text = f"  {of} {' '.join(filter(None, (said['value'], said.get('unit'))))}"
        text += f", in {said['step']}" if said.get("step") else ""
        text += f", within {said['tolerance']}" if said.get("tolerance") else ""
        by_oil.setdefault(said.get("oil", ""), []).append((text, number))
    lines: list[tuple[str, int]] = []
    for oil, some in by_oil.items():
        lines += [(f"{chapter}{f' at {oil}' if oil else ''}", some[0][1]), *some]
    return Listed("".join(f"{text}\n" for text, _ in lines), tuple(row for _, row in lines))
