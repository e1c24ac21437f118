"""Lays a text out anew, if it is understood, and makes sure that it says the same."""

from __future__ import annotations

from dataclasses import fields, is_dataclass
from typing import Any

from circuitcheck.basics.findings import Severity
from circuitcheck.basics.places import Place
from circuitcheck.basics.quantities import Unit
from circuitcheck.basics.refusal import CircuitError
from circuitcheck.editing.layout import laid_out
from circuitcheck.editing.tokens import tokens
from circuitcheck.language import reader
from circuitcheck.language.sentences import plain_newlines
from circuitcheck.pipeline import Project

NO_PARTS = "no-parts"
"""What is wrong with a file that only holds blocks for others: it is laid out as well."""

_SHAPED = ("text", "file", "source")
"""Fields of records that hold the text as it stands, blanks included."""


def formatted(project: Project, source: str) -> str:
    """Give the text of a project in its layout, with the line ends that it has.

    Parameters
    ----------
    project
        The text, read
    source
        The same text as it stands in its file, with its line ends and mark of byte order

    Raises
    ------
    CircuitError
        If the text is not understood: what is wrong might be put somewhere else.
    """
    wrong = tuple(
        finding
        for finding in project.mistakes
        if finding.severity is Severity.ERROR and finding.slug != NO_PARTS
    )
    if wrong:
        raise CircuitError(wrong, project.text, project.texts)
    text = laid_out(source)
    if says(text) != says(source):
        raise RuntimeError("the text laid out says something else; it was left as it was")
    mark = "\ufeff" if source.startswith("\ufeff") else ""
    return mark + (text.replace("\n", "\r\n") if _windows(source) else text)


def _windows(source: str) -> bool:
    """Whether most lines end as on Windows."""
    return 2 * source.count("\r\n") > source.count("\n")


def says(source: str) -> Any:
    """Give what a text says, its comments included, so that two layouts of it are equal."""
    text, findings = reader.read(source)
    plain = plain_newlines(source)
    comments = [plain[t.start : t.end].rstrip() for t in tokens(plain) if t.kind == "comment"]
    return _said(text), [(found.slug, found.message) for found in findings], comments


def _said(node: Any) -> Any:
    if isinstance(node, Place):
        return None
    if isinstance(node, Unit):
        return node.quantity, node.canonical
    if isinstance(node, tuple):
        return tuple(map(_said, node))
    if is_dataclass(node):
        shaped = _SHAPED if hasattr(node, "clauses") or _whole(node) else ()
        return type(node).__name__, *(
            _said(getattr(node, field.name)) for field in fields(node) if field.name not in shaped
        )
    return node


def _whole(node: Any) -> bool:
    """Whether ``text`` of a record is what stands in the file rather than a word of it."""
    return any(hasattr(node, name) for name in ("items", "root", "sentences", "chapters"))
