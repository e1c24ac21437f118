"""Claims and readings from a CSV file, as sentences of the language.

The first line names the columns: ``gauge`` (or ``subject``: "G1", "C1 speed"), ``value``
("205 bar"), and, as wanted, ``tolerance`` ("2 %"), ``step``, ``oil`` ("52 degC"). Commas or
semicolons part them.
"""

from __future__ import annotations

import csv
import io

COLUMNS = {"gauge": "subject", "subject": "subject", "what": "what", "value": "value",
           "unit": "unit", "tolerance": "tolerance", "meter tolerance": "tolerance",
           "step": "step", "oil": "oil", "oil temperature": "oil"}  # fmt: skip


def sentences(table: str, chapter: str) -> str:
    """Give the chapter ``claims`` or ``readings`` that a CSV table means.

    Raises
    ------
    ValueError
        If the table has no columns for subject and value, or a line lacks one; the message
        is for people and names the line.
    """
    parted = ";" if table.split("\n", 1)[0].count(";") else ","
    rows = list(csv.reader(io.StringIO(table.lstrip("\ufeff")), delimiter=parted))
    heads = [COLUMNS.get(head.strip().lower(), "") for head in rows[0]] if rows else []
    if "subject" not in heads or "value" not in heads:
        raise ValueError(
            "the first line names the columns: gauge, value, tolerance, step, oil temperature"
        )
    by_oil: dict[str, list[str]] = {}
    for number, row in enumerate(rows[1:], 2):
        said = {head: cell.strip() for head, cell in zip(heads, row, strict=False) if head}
        if not any(said.values()):
            continue
        if not said.get("subject") or not said.get("value"):
            raise ValueError(f"line {number} lacks a gauge or a value")
        of = " ".join(filter(None, (said["subject"], said.get("what"))))
        text = f"  {of} {' '.join(filter(None, (said['value'], said.get('unit'))))}"
        text += f", in {said['step']}" if said.get("step") else ""
        text += f", within {said['tolerance']}" if said.get("tolerance") else ""
        by_oil.setdefault(said.get("oil", ""), []).append(text)
    return "".join(
        f"{chapter}{f' at {oil}' if oil else ''}\n" + "\n".join(lines) + "\n"
        for oil, lines in by_oil.items()
    )
