"""Other circuits of a project that use the same blocks: they speak of the same names."""

from __future__ import annotations

import os
import re
from collections.abc import Iterable
from pathlib import Path

from lsprotocol import types

from circuitcheck.editing.mentions import Thing, mentions
from circuitcheck.editing.project_files import circuit_files
from circuitcheck.language import Text, read_file
from circuitcheck.lsp.documents import Document, ranged, uri_of

_USE = re.compile(r'^[ \t]*use[ \t:]+"([^"\n]+)"', re.MULTILINE)


def texts_for(document: Document, thing: Thing, roots: Iterable[str]) -> list[Text]:
    """Give the document's text and every other one in the project that speaks of a thing.

    Others speak only of blocks and of what is inside them.
    """
    found = [document.known.text]
    if document.file and (thing.scope or thing.sort == "block"):
        folders = {Path(root) for root in roots if root} or {Path(document.file).parent}
        for file in _users(thing.file, folders):
            if file != document.file:
                text, _ = read_file(file)
                if thing.file in (text.file, *text.used):
                    found.append(text)
    return found


def _users(file: str, folders: Iterable[Path]) -> list[str]:
    """Give a file and those that use it, themselves or through others; found by their names."""
    files = {path for folder in folders for path in circuit_files(folder)}
    used: dict[str, set[str]] = {}
    for path in files:
        try:
            source = path.read_text(encoding="utf-8", errors="replace")
        except OSError:  # it went away, or may not be read: then it is not changed either
            continue
        names = _USE.findall(source)
        used[str(path)] = {os.path.normpath(path.parent / name) for name in names}
    found, before = {file}, set[str]()
    while found != before:
        before = set(found)
        found |= {user for user, names in used.items() if names & found}
    return sorted(found & used.keys())


def spoken_elsewhere(
    document: Document, thing: Thing, roots: Iterable[str]
) -> list[types.Location]:
    """Give where other texts of the project speak of a thing."""
    here = {document.file, *document.known.text.used}
    found: dict[tuple[str, int, int], types.Location] = {}
    for text in texts_for(document, thing, roots)[1:]:
        sources = {**text.used, text.file: text.source}
        for one in mentions(text):
            place = one.place
            if one.thing == thing and place.file not in here:
                where = ranged(sources[place.file].split("\n"), place, document.encoding)
                key = (place.file, place.line, place.column)
                found[key] = types.Location(uri_of(place.file), where)
    return list(found.values())
