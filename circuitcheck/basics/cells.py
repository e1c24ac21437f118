"""Cells of tables that spreadsheets open: what they would run as a formula stays a text."""

from __future__ import annotations

_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
"""Beginnings that spreadsheets take for a formula, in any width of letters."""


def as_text(word: str) -> str:
    """Give a word as a cell that no spreadsheet computes: behind an apostrophe."""
    return f"'{word}" if word.startswith(_FORMULA) else word
