"""Parts of one's own: the entries of ``parts/*.toml`` beside a circuit, as clauses with places."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

from circuitcheck.basics.findings import Finding
from circuitcheck.basics.places import Place
from circuitcheck.language.faults import fault
from circuitcheck.language.parse import parse
from circuitcheck.language.plain import UnreadableError, plain_text
from circuitcheck.language.sentences import Lines, RawSentence, plain_newlines
from circuitcheck.language.text import Clause, Entry, Word

FOLDER = "parts"
MOST_BYTES = 2_000_000
"""No catalogue of one's own is larger; own choice."""

_FORM = 'write figures as in a circuit, in quotes:  rated = "280 bar"'
_NAME = re.compile(r"[^\W\d_]\w*")


def read_catalogue(
    folder: Path | None, beside: Path
) -> tuple[tuple[Entry, ...], list[Finding], dict[str, str]]:
    """Read the catalogue files of a project.

    Parameters
    ----------
    folder
        The folder of the circuit; None for a text without one, which has no catalogue
    beside
        The same folder as findings print it

    Returns
    -------
    tuple of Entry
        What could be read
    list of Finding
        What is wrong in the files, with places in them
    dict of str
        The texts of the files, by the names that places have
    """
    entries: list[Entry] = []
    findings: list[Finding] = []
    texts: dict[str, str] = {}
    place = None if folder is None else folder / FOLDER
    if folder is None or place is None or not place.is_dir():
        return (), [], {}
    for path in sorted(place.glob("*.toml")):
        name = str(beside / FOLDER / path.name)
        texts[name] = ""
        try:
            if not path.resolve().is_relative_to(folder.resolve()):
                raise UnreadableError(
                    "use-outside",
                    "this catalogue lies outside the circuit's folder",
                    "put the file itself into the folder 'parts'",
                )
            texts[name] = plain_newlines(plain_text(path, MOST_BYTES))
        except UnreadableError as problem:
            findings.append(problem.finding(name))
            continue
        reader = _CatalogueReader(Lines(name, texts[name]), f"{FOLDER}/{path.name}")
        entries += reader.read()
        findings += reader.findings
    return tuple(entries), findings, texts


class _CatalogueReader:
    """Reads one file; every entry is a table with the name that a circuit uses."""

    def __init__(self, lines: Lines, shown: str) -> None:
        self._lines = lines
        self._source = lines.source
        self._shown = shown
        self.findings: list[Finding] = []

    def read(self) -> list[Entry]:
        """Give the entries of the file."""
        try:
            tables = tomllib.loads(self._source)
        except tomllib.TOMLDecodeError as error:
            self._broken(str(error))
            return []
        except RecursionError:
            self._wrong(self._whole_line(0), "these brackets lie too deep inside each other")
            return []
        found = (self._entry(name, table) for name, table in tables.items())
        return [entry for entry in found if entry is not None]

    def _broken(self, error: str) -> None:
        """Say where TOML stopped reading, at its line if it tells one."""
        match = re.search(r" \(at line (\d+), column (\d+)\)$", error)
        what = error[: match.start()] if match else error.removesuffix(" (at end of document)")
        line = int(match.group(1)) if match else self._source.rstrip("\n").count("\n") + 1
        start = self._lines.starts[min(line, len(self._lines.starts)) - 1]
        column = int(match.group(2)) - 1 if match else 0
        place = self._lines.place(start + column, start + column + 1)
        self._wrong(place, f"this cannot be read as TOML: {what[:1].lower()}{what[1:]}", _FORM)

    def _entry(self, name: str, table: object) -> Entry | None:
        header = re.search(rf'^[ \t]*\[[ \t]*"?{re.escape(name)}"?[ \t]*\]', self._source, re.M)
        if header is None or not isinstance(table, dict):
            at = re.search(rf'^[ \t]*\[*"?{re.escape(name)}', self._source, re.M)
            place = self._whole_line(at.start() if at else 0)
            self._wrong(
                place,
                f"'{name}' stands in no entry",
                "an entry begins with its name in square brackets:  [pump_45]",
            )
            return None
        start = header.start() + header.group().index(name)
        word = Word(name, self._lines.place(start, start + len(name)))
        if not _NAME.fullmatch(name):
            self._wrong(
                word.place,
                f"'{name}' cannot be the name of an entry",
                "a name is one word of letters, digits and _ that begins with a letter",
            )
            return None
        before = len(self.findings)
        following = re.compile(r"^[ \t]*\[", re.M).search(self._source, header.end())
        section = (header.end(), following.start() if following else len(self._source))
        kind: Clause | None = None
        clauses: list[Clause] = []
        for key, value in table.items():
            at = self._key(key, section)
            if at is None:
                self._wrong(word.place, f"'{key}' of {name} is not written plainly", _FORM)
            elif key == "kind":
                kind = self._kind(value, at)
            elif key == "says":
                clauses += self._says(value, at)
            else:
                clauses += self._figure(key, value, at)
        if len(self.findings) > before:
            return Entry(word, None, (), self._shown, whole=False)
        return Entry(word, kind, tuple(clauses), self._shown)

    # ---- keys ------------------------------------------------------------------------

    def _key(self, key: str, section: tuple[int, int]) -> re.Match[str] | None:
        """Find where a key stands in its entry; dotted keys and the like are not sought."""
        pattern = re.compile(rf'^[ \t]*"?({re.escape(key)})"?[ \t]*=', re.M)
        return pattern.search(self._source, *section)

    def _kind(self, value: object, at: re.Match[str]) -> Clause | None:
        if not isinstance(value, str):
            self._wrong(self._place(at), "'kind' is a word in quotes", 'write:  kind = "pump"')
            return None
        found = self._clauses(value, at)
        if len(found) > 1:
            self._wrong(found[1].place, "'kind' is one kind of part", "phrases stand under says")
        return found[0] if found else None

    def _says(self, value: object, at: re.Match[str]) -> list[Clause]:
        if not isinstance(value, list) or not all(isinstance(one, str) for one in value):
            self._wrong(
                self._place(at),
                "'says' is a list of phrases in quotes",
                'write:  says = ["load sensing", "clockwise"]',
            )
            return []
        return [clause for one in value for clause in self._clauses(one, at)]

    def _figure(self, key: str, value: object, at: re.Match[str]) -> list[Clause]:
        if isinstance(value, bool) or not isinstance(value, (str, int, float)):
            self._wrong(self._place(at), f"'{key}' is not a figure", _FORM)
            return []
        text = value if isinstance(value, str) else self._bare(at)
        found = self._clauses(text, at)
        if not found:
            return []
        if len(found) > 1:
            self._wrong(found[1].place, f"'{key}' is one figure", _FORM)
            return []
        place = self._place(at)
        words = tuple(Word(word, place) for word in key.replace("_", " ").split())
        clause = found[0]
        whole = place.upto(clause.place)
        return [Clause((*words, *clause.items), f"{key} {clause.text}", whole)]

    def _bare(self, at: re.Match[str]) -> str:
        """Give a number without quotes as it stands."""
        match = re.compile(r"[ \t]*([^\s#]*)").match(self._source, at.end())
        return match.group(1) if match else ""

    def _clauses(self, text: str, at: re.Match[str]) -> list[Clause]:
        """Read a text as clauses; it is sought behind its key, so that places fit."""
        start = self._source.find(text, at.end()) if text.strip() else -1
        if start < 0:
            self._wrong(self._place(at), f"'{at.group(1)}' is not written plainly", _FORM)
            return []
        lead = len(text) - len(text.lstrip())
        raw = RawSentence(text.strip(), start + lead, 1)
        read, findings = parse(raw, "entry", "parts", self._lines)
        for finding in findings:
            if finding.slug in ("sentence-unread", "name-alone", "not-a-name"):
                self._wrong(finding.place, f"'{text}' cannot be read", _FORM)
            else:
                self.findings.append(finding)
        clauses: Any = read or ()
        return list(clauses)

    # ---- findings --------------------------------------------------------------------

    def _place(self, at: re.Match[str]) -> Place:
        return self._lines.place(*at.span(1))

    def _whole_line(self, start: int) -> Place:
        end = self._source.find("\n", start)
        return self._lines.place(start, end if end >= 0 else len(self._source))

    def _wrong(self, place: Place, message: str, remedy: str = "") -> None:
        self.findings.append(fault("catalogue", place, message, remedy))
