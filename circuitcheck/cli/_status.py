"""Exit statuses, and which of them several files give together."""

from __future__ import annotations

from typing import TYPE_CHECKING

from circuitcheck.basics.findings import Severity

if TYPE_CHECKING:
    from circuitcheck.reports.result import Result

CLEAN, FOUND, NOT_UNDERSTOOD, NOT_SOLVED = 0, 1, 2, 3
FAULT = 70
"""EX_SOFTWARE of sysexits.h."""
INTERRUPTED = 130
_WORST_FIRST = (NOT_UNDERSTOOD, NOT_SOLVED, FOUND, CLEAN)


def status_of(result: Result) -> int:
    """Exit status that a result calls for."""
    if result.circuit is None:
        return NOT_UNDERSTOOD
    if not result.solved:
        return NOT_SOLVED
    return FOUND if result.count(Severity.ERROR) else CLEAN


def worst(statuses: list[int]) -> int:
    """Give the status of several files together."""
    return min(statuses, key=_WORST_FIRST.index, default=CLEAN)
