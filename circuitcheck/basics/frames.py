"""Answers as tables of pandas, for those who have it (``pip install 'circuitcheck[notebook]'``)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any


class PandasMissingError(Exception):
    """pandas is not installed; the message says how to get it."""


def frame(columns: Mapping[str, Sequence[Any]]) -> Any:
    """Give columns of one length as a ``pandas.DataFrame``.

    Raises
    ------
    PandasMissingError
        If pandas is not installed.
    """
    try:
        import pandas
    except ImportError as problem:
        raise PandasMissingError(
            "tables of pandas need pandas: pip install 'circuitcheck[notebook]'"
        ) from problem
    return pandas.DataFrame(dict(columns))


def headed(name: str, unit: str) -> str:
    """Give the head of a column with its unit: "C1 speed [mm/s]"."""
    return f"{name} [{unit}]" if unit else name
