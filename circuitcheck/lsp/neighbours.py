"""Other circuits of a project that use the same blocks: they speak of the same names."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from lsprotocol import types

from circuitcheck.editing.mentions import Thing, mentions
from circuitcheck.language import Text, read_file
from circuitcheck.lsp.documents import Document, ranged, uri_of

MOST_FILES = 500
"""Circuits that are looked through, at most; own choice."""


def shared(thing: Thing) -> bool:
    """Whether others than its own text may speak of a thing: a block and what is inside it."""
    return bool(thing.scope) or thing.sort == "block"


def texts_for(document: Document, thing: Thing, roots: Iterable[str]) -> list[Text]:
    """Give the document's text and every other one in the project that speaks of a thing."""
    found = [document.known.text]
    if not shared(thing) or not document.file:
        return found
    folders = {Path(root) for root in roots if root} or {Path(document.file).parent}
    files = sorted({file for folder in folders for file in folder.rglob("*.hyc")})[:MOST_FILES]
    for file in files:
        if str(file) != document.file:
            text, _ = read_file(file)
            if thing.file in text.used or (text.file == thing.file):
                found.append(text)
    return found


def spoken_elsewhere(
    document: Document, thing: Thing, roots: Iterable[str]
) -> list[types.Location]:
    """Give where other texts of the project speak of a thing."""
    found = []
    here = {document.file, *document.known.text.used}
    for text in texts_for(document, thing, roots)[1:]:
        for one in mentions(text):
            if one.thing == thing and one.place.file == text.file and text.file not in here:
                where = ranged(text.source, one.place, document.encoding)
                found.append(types.Location(uri_of(text.file), where))
    return found
