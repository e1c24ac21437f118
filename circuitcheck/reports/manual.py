"""Pages of the manual that are made from the program, in Markdown: nothing in them gets stale.

Kinds of part have their page in `reference`, commands theirs in ``cli``.
"""

from __future__ import annotations

import inspect
import textwrap
from collections.abc import Iterable, Iterator

from circuitcheck.basics.findings import Severity
from circuitcheck.basics.folders import folder
from circuitcheck.basics.limits import limits_of
from circuitcheck.basics.quantities import unit_label
from circuitcheck.basics.unit_table import QUANTITIES, UNITS
from circuitcheck.language.chapters import FORMS
from circuitcheck.laws.library import LAWS
from circuitcheck.reports.reference import plain, row
from circuitcheck.rules import catalogue, cautions, circuits, told
from circuitcheck.rules._rule import HEADINGS, Rule


def chapters() -> str:
    """Give the table of the chapters of a text."""
    rows = ((word, form.noun, form.example) for word, form in FORMS.items())
    return _table(("Heading", "Sentences are called", "Example"), rows, code=(0, 2))


def units() -> str:
    """Give the table of all units: what they measure, and every spelling that is read."""
    rows = []
    for quantity, spellings in UNITS.items():
        entry = QUANTITIES[quantity]
        known = [unit[0] for unit in spellings]
        others = [other for unit in spellings for other in unit[1].split("|") if other]
        answers = " or ".join(
            dict.fromkeys(unit_label(quantity, system) or "-" for system in ("metric", "inch"))
        )
        name = entry.words.partition(" ")[2]
        rows.append((name, entry.example, ", ".join(known), ", ".join(others), answers))
    return _table(("Quantity", "Example", "Units", "Also read", "Answers in"), rows, code=(1,))


def grammar() -> str:
    """Give the grammar, as the parser reads it."""
    text = (folder("grammar") / "circuit.lark").read_text(encoding="utf-8")
    return f"```text\n{text}```\n"


def rules(severity: Severity) -> str:
    """Give the pages of all rules whose usual weight is this one, in the order of their names."""
    every = [rule for rule in catalogue().values() if rule.severity is severity]
    listed = _table(
        ("Rule", "Finds"), ((f"[{r.slug}](#{r.slug})", plain(r.title)) for r in every), raw=True
    )
    return "\n".join([listed, *(_rule(rule) for rule in every)])


def told_beside() -> str:
    """Give what is told beside rules: mistakes of the text, words of solver and parts."""
    rows = ((one.slug, one.severity, one.title, one.do) for one in told().values())
    return _table(("Name", "Weight", "Means", "What to do"), rows, code=(0,))


def laws() -> str:
    """Give the element laws as the program states them, each in its own words."""
    return "\n".join(
        f"### {word.replace('_', ' ')}\n\n```text\n{inspect.getdoc(type(law))}\n```\n"
        for word, law in LAWS.items()
    )


def warnings() -> str:
    """Give the cautions in full, each with its source."""
    return "\n".join(
        # how many checks were not run is told by a report only
        f"## {one.title}\n\n{plain(one.long.partition(' 0 checks')[0])}\n\n"
        f"Source: {plain(one.source)}.\n"
        for one in cautions()
    )


def _rule(rule: Rule) -> str:
    lines = [f"## {rule.slug}", "", f"**{plain(rule.title)}.**", ""]
    for heading in HEADINGS:
        if said := rule.section(heading):
            lines += [f"*{heading}:* {plain(said)}", ""]
    for name, limit in limits_of(rule.slug).items():
        shown = f"{name.replace('_', ' ')} {limit.text} ({limit.source})"
        lines += [f"- default limit: {plain(shown)}"]
    guilty, clean = circuits(rule.slug)
    for about, text in (("A circuit that it finds:", guilty), ("One that is clean:", clean)):
        if text:
            lines += ["", about, "", "```hyc", textwrap.dedent(text).rstrip(), "```"]
    return "\n".join([*lines, ""])


def _table(
    heads: Iterable[str],
    rows: Iterable[Iterable[str]],
    code: tuple[int, ...] = (),
    raw: bool = False,
) -> str:
    """A table; columns in ``code`` are shown as they are typed, ``raw`` cells are Markdown."""

    def cells() -> Iterator[str]:
        for line in rows:
            yield row(
                f"`{cell}`" if i in code and cell else cell if raw else plain(cell)
                for i, cell in enumerate(line)
            )

    heads = tuple(heads)
    return "\n".join([row(heads), row("---" for _ in heads), *cells(), ""])
