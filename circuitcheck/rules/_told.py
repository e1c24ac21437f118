"""What is told beside the rules: mistakes of the text, words of the solver and of parts."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from circuitcheck.basics.tables import read_toml

TEXT_WHY = "Nothing is computed from a text that can be misread."
TEXT_DO = "The message names the place, and says what to write instead."


@dataclass(frozen=True)
class Told:
    """One thing that may be told: ``severity`` as people read it."""

    slug: str
    severity: str
    title: str
    why: str
    do: str


@cache
def told() -> Mapping[str, Told]:
    """Give all that may be told beside the findings of rules, by slug."""
    table = read_toml("told.toml")
    found = {
        slug: Told(slug, "error of the text", title.rstrip("."), TEXT_WHY, TEXT_DO)
        for slug, title in table["text"].items()
    }
    for slug, row in table["point"].items():
        found[slug] = Told(slug, row["severity"], row["title"], row["why"], row["do"])
    return MappingProxyType(dict(sorted(found.items())))


@cache
def under_other_names() -> Mapping[str, tuple[str, ...]]:
    """Give what reviewers look for under a name that is not told: the names that are."""
    return {name: tuple(slugs) for name, slugs in read_toml("told.toml")["under"].items()}


def page(slug: str) -> str:
    """Give the page of something told, or of another name for it, as plain text.

    Raises
    ------
    KeyError
        If nothing is told under this name.
    """
    others = under_other_names().get(slug, ())
    if not others:
        return "\n".join(_lines(told()[slug]))
    head = f"{slug}: asked for while the text is read, as {' or '.join(others)}."
    pages = [page(other) for other in others if other in told()]
    return "\n".join([*textwrap.wrap(head, 78), "", "\n".join(pages)])


def _lines(one: Told) -> Iterator[str]:
    yield f"{one.slug} ({one.severity})"
    yield from textwrap.wrap(f"{one.title}.", 78)
    for heading, text in (("Why it matters on the machine", one.why), ("What to do", one.do)):
        yield ""
        yield heading
        yield from textwrap.wrap(text, 76, initial_indent="  ", subsequent_indent="  ")
    yield ""
