"""A plugin of pytest that keeps every comparison of figures which the tests make.

`pytest -p tests.numbers.recorder --numbers kept.json` runs tests as they are and keeps, file by
file, how many figures were compared and which came nearest to its tolerance.
"""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

import numpy as np
import pytest

SCALAR: type[Any] = type(pytest.approx(1.0))


@dataclass
class Kept:
    """What is known of a file: figures compared, and the one nearest to its tolerance.

    ``share``: deviation by tolerance; ``off``: deviation by the figure wanted, or the plain
    deviation (SI), ``relative`` false, where the figure wanted is zero within its tolerance.
    """

    figures: int = 0
    share: float = 0.0
    off: float = 0.0
    relative: bool = True
    found: float = 0.0
    wanted: float = 0.0
    test: str = ""


KEPT: dict[str, Kept] = {}
_now: list[str] = [""]


def note(found: float, wanted: float, tolerance: float) -> None:
    """Keep one comparison that held."""
    if not (math.isfinite(found) and math.isfinite(wanted) and tolerance > 0.0):
        return
    file, _, test = _now[0].partition("::")
    kept = KEPT.setdefault(file, Kept())
    kept.figures += 1
    deviation = abs(found - wanted)
    if deviation / tolerance >= kept.share:
        kept.share, kept.test = deviation / tolerance, test
        kept.found, kept.wanted = found, wanted
        kept.relative = abs(wanted) > tolerance
        kept.off = deviation / abs(wanted) if kept.relative else deviation


def _number(value: object) -> bool:
    return isinstance(value, (int, float, np.number)) and not isinstance(value, bool)


def _watch_approx() -> None:
    plain: Callable[[Any, object], bool] = SCALAR.__eq__

    def watched(self: Any, actual: Any) -> bool:
        same = plain(self, actual)
        if same and _number(actual) and _number(self.expected):
            note(float(actual), float(self.expected), float(self.tolerance))
        return same

    SCALAR.__eq__ = watched


def _watch_numpy() -> None:
    plain = np.testing.assert_allclose

    def watched(
        actual: Any, desired: Any, rtol: float = 1e-7, atol: float = 0.0, **more: Any
    ) -> None:
        plain(actual, desired, rtol, atol, **more)
        for found, wanted in np.broadcast(np.asarray(actual), np.asarray(desired)):
            if _number(found) and _number(wanted):
                note(float(found), float(wanted), atol + rtol * abs(float(wanted)))

    np.testing.assert_allclose = watched


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--numbers", type=Path, help="write the comparisons of figures here")


def pytest_configure() -> None:
    _watch_approx()
    _watch_numpy()


def pytest_runtest_call(item: pytest.Item) -> None:
    _now[0] = item.nodeid


def pytest_sessionfinish(session: pytest.Session) -> None:
    where: Path | None = session.config.getoption("--numbers")
    if where is not None:
        where.write_text(json.dumps({file: asdict(kept) for file, kept in KEPT.items()}))
