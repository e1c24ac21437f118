"""The chapters of the page of numbers, as `chapters.toml` lists them."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


@dataclass(frozen=True)
class Chapter:
    """A group of test files and what their figures are compared with."""

    title: str
    against: str
    files: list[str]


def chapters() -> list[Chapter]:
    listed = Path(__file__).with_name("chapters.toml").read_text(encoding="utf-8")
    return [Chapter(**entry) for entry in tomllib.loads(listed)["chapter"]]
