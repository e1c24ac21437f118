"""Gives a thing another name wherever a text speaks of it, or says why that cannot be."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from circuitcheck.basics.findings import Severity
from circuitcheck.basics.places import Place
from circuitcheck.circuit.subjects import WHOLE
from circuitcheck.components import kinds
from circuitcheck.editing.mentions import Mention, Thing, mentions
from circuitcheck.editing.tokens import CODE, WORD
from circuitcheck.language import Text, read, reader
from circuitcheck.language.chapters import FORMS
from circuitcheck.language.sentences import Lines

_WORDS = frozenset(
    {*FORMS, *WHOLE, "and", "every", "from", "in", "oil", "on", "show", "step", "through", "to",
     "vary", "with", "without"}
)  # fmt: skip
"""Words that say something else where a name could stand."""

_TOGETHER = {
    "part": ("part", "line", "port"), "line": ("part", "line", "port"),
    "port": ("part", "line", "port"), "value": ("value", "figure"), "figure": ("value", "figure"),
    "block": ("block",), "step": ("step",), "variant": ("variant",),
}  # fmt: skip
"""Sorts of things among which a name stands once."""

_FIXED = {
    "entry": "the catalogue gives this name; change it there",
    "file": "this is a file; change its name where it lies",
}


class NoRenameError(Exception):
    """A name that cannot be given; the message says why, in words."""


@dataclass(frozen=True, slots=True)
class Change:
    """What is written in the place of a stretch of a text."""

    place: Place
    text: str


def changed(source: str, changes: Iterable[Change]) -> str:
    """Give a text with changes made in it; their places must not overlap."""
    starts = Lines("", source).starts
    for change in sorted(changes, key=lambda one: one.place, reverse=True):
        place = change.place
        first = starts[place.line - 1] + place.column - 1
        last = starts[place.end_line - 1] + place.end_column - 1
        source = source[:first] + change.text + source[last:]
    return source


def renamable(thing: Thing) -> bool:
    """Whether a thing has a name that can be changed from a text."""
    return thing.sort not in _FIXED


def renamed(texts: Iterable[Text], thing: Thing, name: str) -> dict[str, list[Change]]:
    """Give the changes by file that give ``thing`` another name in all ``texts``.

    Raises
    ------
    NoRenameError
        If it cannot have the name, or a text has sentences that could not be read: they may
        speak of it.
    """
    if thing.sort in _FIXED:
        raise NoRenameError(_FIXED[thing.sort])
    found: dict[str, dict[Place, Change]] = {}
    all_texts = list(texts)
    for text in all_texts:
        if not text.complete:
            raise NoRenameError(
                f"{text.file} has sentences that cannot be read; put them right first"
            )
        here = mentions(text)
        spoken = [one for one in here if one.thing == thing]
        _check_name(thing, name, spoken, text)
        _check_free(thing, name, here)
        for one in spoken:
            if thing.sort == "step" and one.place.file != thing.file:
                # the block may serve other circuits, which keep the name of their step
                raise NoRenameError(f"a block in {one.place.file} names this step as well")
            found.setdefault(one.place.file, {})[one.place] = Change(one.place, name)
    changes = {file: list(places.values()) for file, places in found.items()}
    for text in all_texts:
        _check_same(text, changes, thing, name)
    return changes


def _check_name(thing: Thing, name: str, spoken: list[Mention], text: Text) -> None:
    word = rf"{WORD}|{CODE}" if thing.sort == "part" else WORD
    quoted = thing.sort == "step" and all(map(_Quoted(text), spoken))
    plain = re.fullmatch(word, name) and "/" not in name
    if not plain and not (quoted and re.fullmatch(r'[^"\n/#]*[^"\s/#][^"\n/#]*', name)):
        raise NoRenameError(f"'{name}' is not one word, such as {thing.name}")
    if name in _WORDS or (thing.sort == "block" and name in kinds()):
        raise NoRenameError(f"'{name}' is a word of the language")


class _Quoted:
    """Whether a mention stands in quotes."""

    def __init__(self, text: Text) -> None:
        self._rows = {
            file: source.split("\n")
            for file, source in {**text.used, text.file: text.source}.items()
        }

    def __call__(self, one: Mention) -> bool:
        row = self._rows[one.place.file][one.place.line - 1]
        return row[one.place.end_column - 1 : one.place.end_column] == '"'


def _check_free(thing: Thing, name: str, here: list[Mention]) -> None:
    """A name has one bearer; names that differ only in capitals are taken for one."""
    for one in here:
        other = one.thing
        if (
            other != thing
            and other.sort in _TOGETHER[thing.sort]
            and other.scope == thing.scope
            and other.name.lower() == name.lower()
        ):
            where = f"line {one.place.line}"
            raise NoRenameError(f"there is already a {other.sort} {other.name} ({where})")


def _check_same(text: Text, changes: Mapping[str, list[Change]], thing: Thing, name: str) -> None:
    """Make sure that the changed text says the same but for the name."""
    sources = {**text.used, text.file: text.source}
    for file in changes.keys() & sources.keys():
        source = changed(sources[file], changes[file])
        _, wrong = reader.read(source, file)
        if not wrong and file == text.file and changes.keys() == {file}:
            again, wrong = read(source, file, text.folder)
            before = [_with_name(one.thing, thing, name) for one in mentions(text)]
            if not wrong and before != [one.thing for one in mentions(again)]:
                raise NoRenameError(f"with the name '{name}' the text would say something else")
        if any(finding.severity is Severity.ERROR for finding in wrong):
            raise NoRenameError(f"with the name '{name}' the text could not be read any more")


def _with_name(one: Thing, thing: Thing, name: str) -> Thing:
    if one == thing:
        return replace(one, name=name)
    if thing.sort == "block" and one.file == thing.file and one.scope == thing.name:
        return replace(one, scope=name)
    return one
