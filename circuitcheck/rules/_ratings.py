"""Highest working pressures of parts."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from circuitcheck.basics.findings import NotChecked
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case

MOST_NAMED = 8


def rating(part: Part, port: str = "") -> float | None:
    """Highest working pressure of a part, at a port if it has its own there [Pa]."""
    if port == "T" and part.figure("tank rated") is not None:
        return part.figure("tank rated")
    if part.kind.word == "gauge":
        return part.figure("range")
    return part.figure("rated") if part.given("rated") else None


def has_rating(part: Part) -> bool:
    """Whether the kind of part can have a rating at all."""
    return part.kind.word == "gauge" or part.kind.parameter("rated") is not None


def unrated(case: Case, names: Iterable[str]) -> Iterator[NotChecked]:
    """One line for all parts without a rating."""
    listed = [name for name in dict.fromkeys(names) if has_rating(case.circuit.parts[name])]
    if listed:
        more = f" and {len(listed) - MOST_NAMED} more" if len(listed) > MOST_NAMED else ""
        yield case.not_checked(
            ", ".join(listed[:MOST_NAMED]) + more, "highest working pressure ('rated')"
        )
