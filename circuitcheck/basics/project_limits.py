"""Thresholds of rules for a whole project: ``circuitcheck.toml`` or ``pyproject.toml``.

The nearest of both, from the circuit's folder upwards, counts. In ``circuitcheck.toml``::

    [limits.relief-gap-small]
    gap = "20 bar"

and the same under ``[tool.circuitcheck.limits.relief-gap-small]`` in ``pyproject.toml``.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from circuitcheck.basics.findings import Finding, Severity
from circuitcheck.basics.limits import Limit, limited_rules, limits_of, own_limit
from circuitcheck.basics.quantities import read_unit

MOST_BYTES = 2_000_000
"""No such file is larger; own choice."""

_FIGURE = re.compile(r"\s*([+-]?\d+(?:\.\d+)?)\s*(\S.*?)?\s*")


def project_limits(folder: Path) -> tuple[dict[str, dict[str, Limit]], list[Finding]]:
    """Give the thresholds that a project sets, by rule and name, and what is wrong with them."""
    for place in (folder.resolve(), *folder.resolve().parents):
        for name, keys in (
            ("circuitcheck.toml", ("limits",)),
            ("pyproject.toml", ("tool", "circuitcheck", "limits")),
        ):
            path = place / name
            if path.is_file():
                table, wrong = _read(path, keys)
                if wrong is not None:
                    return {}, [wrong]
                if table is not None:
                    return _limits(path, table)
    return {}, []


def _read(path: Path, keys: tuple[str, ...]) -> tuple[Any, Finding | None]:
    """Give the table of limits, None where the file has none; or why it cannot be read."""
    try:
        with path.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
        if len(data) > MOST_BYTES:
            return None, _wrong(f"{path.name} is too large to be read")
        found: Any = tomllib.loads(data.decode("utf-8"))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError, OSError) as problem:
        return None, _wrong(f"{path.name} cannot be read: {problem}")
    except RecursionError:
        return None, _wrong(f"{path.name} cannot be read: its lists are nested too deep")
    for key in keys:
        found = found.get(key) if isinstance(found, dict) else None
    return found, None


def _limits(path: Path, table: Any) -> tuple[dict[str, dict[str, Limit]], list[Finding]]:
    limits: dict[str, dict[str, Limit]] = {}
    wrong: list[Finding] = []
    for rule, name, text in _entries(table):
        try:
            limits.setdefault(rule, {})[name] = _limit(path, rule, name, text)
        except ValueError as problem:
            wrong.append(_wrong(f"{path.name}: {problem}"))
    return limits, wrong


def _entries(table: Any) -> Iterator[tuple[str, str, Any]]:
    for rule, names in table.items() if isinstance(table, dict) else ():
        entries = names.items() if isinstance(names, dict) else [("", names)]
        for name, text in entries:
            yield rule.replace("_", "-"), name.replace("-", "_").replace(" ", "_"), text


def _limit(path: Path, rule: str, name: str, text: Any) -> Limit:
    if rule not in limited_rules():
        raise ValueError(f"no rule '{rule}' has a threshold")
    if name not in limits_of(rule):
        names = ", ".join(limits_of(rule))
        raise ValueError(f"{rule} has no threshold '{name}'; it has: {names}")
    figure = _FIGURE.fullmatch(str(text))
    if figure is None or isinstance(text, bool):
        raise ValueError(f"'{text}' of {rule} is no figure, write it as \"20 bar\"")
    unit = read_unit(figure[2]) if figure[2] else None
    if figure[2] and unit is None:
        raise ValueError(f"'{figure[2]}' of {rule} is not a unit")
    return own_limit(rule, name, float(figure[1]), unit, f"limit of {path.name}")


def _wrong(message: str) -> Finding:
    return Finding(
        slug="project-limits-wrong",
        severity=Severity.ERROR,
        message=message,
        remedy='write  [limits.relief-gap-small]  and under it  gap = "20 bar"',
    )
