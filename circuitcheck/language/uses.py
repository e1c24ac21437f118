"""``use "file.hyc"``: brings the blocks and defaults of other files of the project."""

from __future__ import annotations

import difflib
import os
from dataclasses import replace
from pathlib import Path, PurePosixPath

from circuitcheck.basics.findings import Finding
from circuitcheck.basics.places import Place
from circuitcheck.language import reader
from circuitcheck.language.catalogue import read_catalogue
from circuitcheck.language.faults import Instead, fault
from circuitcheck.language.nearby import inside
from circuitcheck.language.plain import UnreadableError, plain_text
from circuitcheck.language.text import Block, Chapter, Quote, Text

MOST_BYTES = 2_000_000
"""No file that describes blocks is larger; own choice."""


def read(text: str, file: str = "", folder: Path | None = None) -> tuple[Text, list[Finding]]:
    """Read a circuit text and what it uses.

    Parameters
    ----------
    text, file
        The text, and its name as findings print it
    folder
        The folder of the project: files that are used lie in it or below it, and the
        catalogue in its folder ``parts``. Without one nothing can be used.

    Returns
    -------
    Text
        What could be read, with the blocks and defaults of the files that it uses;
        ``complete`` is false if anything could not.
    list of Finding
        One for each sentence that could not be read, see `reader.read`.
    """
    read, findings = reader.read(text, file)
    uses = _Uses(file, folder)
    uses.follow(read, "", (Path(file).name or "this text",))
    entries, wrong, catalogues = read_catalogue(folder, Path(file).parent)
    findings = [*findings, *uses.findings, *wrong]
    return (
        replace(
            read,
            blocks=(*read.blocks, *uses.blocks),
            chapters=(*read.chapters, *uses.defaults),
            unread=read.unread | uses.unread,
            names_lost=read.names_lost or uses.names_lost,
            complete=not findings,
            used=uses.texts | catalogues,
            catalogue=entries,
            folder=folder,
        ),
        findings,
    )


class _Uses:
    """Follows the ``use`` of one text, each file once."""

    def __init__(self, file: str, folder: Path | None) -> None:
        self._beside = Path(file).parent
        self._folder = folder
        self._known: set[str] = set()
        self.findings: list[Finding] = []
        self.blocks: list[Block] = []
        self.defaults: list[Chapter] = []
        self.unread: set[str] = set()
        self.names_lost = False
        self.texts: dict[str, str] = {}

    def follow(self, text: Text, below: str, chain: tuple[str, ...]) -> None:
        """Read what ``text`` uses; it lies ``below`` the folder, ``chain`` led to it."""
        for chapter in text.named("use"):
            name = self._named(chapter)
            if name is None:
                self.names_lost = True
                continue
            path = self._inside(name, below)
            if path is None:
                self.names_lost = True
                continue
            if path in chain:
                self.names_lost = True
                way = " -> ".join([*chain[chain.index(path) :], path])
                self._wrong(
                    name.place,
                    "use-circle",
                    f"{path} uses itself: {way}",
                    "take this sentence away, or put the blocks of both into a third file",
                )
            elif path not in self._known:
                self._known.add(path)
                self._bring(name, path, chain)

    def _named(self, chapter: Chapter) -> Quote | None:
        items = [item for clause in chapter.about for item in clause.items]
        if len(items) == 1 and isinstance(items[0], Quote) and items[0].text.strip():
            return items[0]
        place = items[1].place if len(items) > 1 else chapter.place
        remedy = 'write one file in quotes:  use "file.hyc"'
        self._wrong(place, "use-form", "which file is used?", remedy)
        return None

    def _inside(self, name: Quote, below: str) -> str | None:
        """Give the path from the project's folder on; None if it leads anywhere else."""
        try:
            return inside(name.text.strip(), below, self._folder, "use", "sections/lift.hyc")
        except UnreadableError as problem:
            self._wrong(name.place, problem.slug, problem.message, problem.remedy)
            return None

    def _bring(self, name: Quote, path: str, chain: tuple[str, ...]) -> None:
        assert self._folder is not None
        place, file = self._folder / path, str(self._beside / path)
        if not place.is_file():
            self.names_lost = True
            self._missing(name, place, path)
            return
        try:
            source = plain_text(place, MOST_BYTES)
        except UnreadableError as problem:
            self.names_lost = True
            self._wrong(name.place, problem.slug, f"{path}: {problem.message}", problem.remedy)
            return
        read, findings = reader.read(source, file)
        self.texts[file] = read.source
        self.findings += findings
        self.unread |= read.unread
        self.names_lost = self.names_lost or read.names_lost
        self.blocks += read.blocks
        self.defaults += read.named("defaults")
        below = os.path.dirname(path)  # noqa: PTH120 - a path inside the project, as text
        self.follow(read, below, (*chain, path))

    def _missing(self, name: Quote, place: Path, path: str) -> None:
        if place.exists():
            self._wrong(name.place, "use-missing", f"{path} is not a file", "name a circuit file")
            return
        there = sorted(one.name for one in place.parent.glob("*.hyc"))
        near = difflib.get_close_matches(place.name, there, 1, 0.6)
        message = f"there is no file '{name.text.strip()}'"
        remedy: str | Instead = "it is sought from this file on"
        if near:
            right = str(PurePosixPath(name.text.strip()).with_name(near[0]))
            remedy = Instead(f"did you mean '{near[0]}'?", f'"{right}"')
        self._wrong(name.place, "use-missing", message, remedy)

    def _wrong(self, place: Place, slug: str, message: str, remedy: str | Instead = "") -> None:
        self.findings.append(fault(slug, place, message, remedy))
