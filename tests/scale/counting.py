"""Work counted in calls of functions, where no clock is to be asked."""

from __future__ import annotations

import sys
from collections.abc import Callable
from typing import Any


def calls(work: Callable[[], Any]) -> int:
    """Count the calls of functions that a piece of work makes."""
    count = 0

    def seen(_frame: object, event: str, _thing: object) -> None:
        nonlocal count
        count += event in ("call", "c_call")

    before = sys.getprofile()
    sys.setprofile(seen)
    try:
        work()
    finally:
        sys.setprofile(before)
    return count
