"""Which kind of part a sentence means: a kind of the dictionary, or of one's own catalogue."""

from __future__ import annotations

from circuitcheck.circuit.clauses import ClauseReader
from circuitcheck.circuit.desk import Desk, beginnings, spread
from circuitcheck.circuit.listed import Listed
from circuitcheck.components._parts import Kind
from circuitcheck.language.faults import Instead, meant
from circuitcheck.language.text import Amount, Clause, Entry, Text, Word

KIND_LIKENESS = 0.75
"""How like a kind a word must be to be taken for a misspelling of it (difflib, 0 to 1)."""

NO_LINE_AFTER = 10**9
"""Line behind which clauses would look like the next part: clauses of a catalogue never do."""


class KindReader:
    """Finds kinds by the first clause of a part; what is wrong goes to the desk."""

    def __init__(self, desk: Desk, text: Text, clauses: ClauseReader) -> None:
        self._desk = desk
        self._clauses = clauses
        self._blocks = {block.name.text for block in text.blocks}
        self._entries = {entry.name.text: entry for entry in text.catalogue}
        self._first: dict[str, Entry] = {}
        self._lost = text.names_lost
        self._catalogue: dict[str, Listed] = {}
        for entry in text.catalogue:
            self._enter(entry)

    def read(self, name: Word, first: Clause) -> Listed | None:
        """Give what the first clause of part ``name`` says it is; None if that is wrong."""
        words = first.words()
        listed = self._catalogue.get(words[0]) if words else None
        if listed is not None:
            if len(first.items) > 1:
                self._clauses.comma_missing(first.items[1])
            return listed
        kind = self._kind(name, first)
        if kind is None:
            return None
        return Listed("", kind, self._ways(first, kind))

    def _kind(self, name: Word, first: Clause) -> Kind | None:
        words = first.words()
        for _, phrase in beginnings(words):
            kind = self._desk.kinds.get(phrase)
            if kind is not None:
                return kind
        if not words:
            self._desk.error(
                "kind-missing",
                first.place,
                f"what is {name.text}?",
                "say it before the figures, for example:  P1  pump, 16 cc/rev",
            )
        else:
            self._unknown_kind(first, words)
        return None

    def _unknown_kind(self, first: Clause, words: list[str]) -> None:
        said = " ".join(words)
        known = [*self._desk.kinds, *self._blocks, *self._catalogue]
        whole = self._desk.nearest(said, known, KIND_LIKENESS)
        near = whole or self._desk.nearest(words[0], known, KIND_LIKENESS)
        if words[0] in self._entries or words[0] in self._blocks:  # wrong, and reported
            return
        if not near and (self._lost or words[0] in self._desk.silent):
            return
        words_of_kinds = dict.fromkeys(kind.word for kind in self._desk.kinds.values())
        there = f"there are: {', '.join(words_of_kinds)}"
        remedy = meant(near) if whole or len(words) == 1 else f"did you mean '{near}'?"
        place = spread(first, 0, len(words) - 1)
        message = f"'{said}' is not a kind of part"
        self._desk.error("unknown-kind", place, message, remedy if near else there)

    def _ways(self, first: Clause, kind: Kind) -> tuple[int, int] | None:
        """Give ways and positions ("4/3"); nothing else may follow the kind in its clause."""
        count = next(
            count for count, phrase in beginnings(first.words()) if phrase in self._desk.kinds
        )
        rest = first.items[count:]
        if rest and kind.has_ways:
            item = rest[0]
            if isinstance(item, Amount) and item.pair and item.mark == "/" and not item.unit:
                rest = rest[1:]
                if rest:
                    self._clauses.comma_missing(rest[0])
                return int(item.pair[0]), int(item.pair[1])
            if isinstance(item, Word) and item.text[:1].isdigit() and "-" in item.text:
                self._desk.error(
                    "ways-hyphen",
                    item.place,
                    "ways and positions are written with a slash",
                    Instead(
                        f"write  {kind.word} {item.text.replace('-', '/')}",
                        item.text.replace("-", "/"),
                    ),
                )
                return None
        if rest:
            self._clauses.comma_missing(rest[0])
        elif kind.has_ways:
            self._desk.error(
                "ways-missing",
                first.place,
                "how many ways and positions?",
                f"write, for example, {kind.word} 4/3",
            )
        return None

    # ---- the catalogue ---------------------------------------------------------------

    def _enter(self, entry: Entry) -> None:
        """Take an entry of the catalogue if nothing is wrong with it."""
        name, before = entry.name, len(self._desk.findings)
        first = self._first.setdefault(name.text, entry)
        taken = "kind of part" if name.text in self._desk.kinds else ""
        taken = "block" if name.text in self._blocks else taken
        if first is not entry:
            self._desk.error(
                "name-twice",
                name.place,
                f"{name.text} stands in {first.file} already (line {first.name.place.line})",
                "give this entry another name",
            )
        elif taken:
            message = f"there is a {taken} '{name.text}' already"
            self._desk.error("name-twice", name.place, message, "give this entry another name")
        elif entry.whole and entry.kind is None:
            self._desk.error(
                "kind-missing",
                name.place,
                f"the catalogue does not say what {name.text} is",
                'add a line such as:  kind = "pump"',
            )
        elif entry.whole and entry.kind is not None:
            listed = self._listed(entry, entry.kind)
            if listed is not None and len(self._desk.findings) == before:
                self._catalogue[name.text] = listed

    def _listed(self, entry: Entry, first: Clause) -> Listed | None:
        kind = self._kind(entry.name, first)
        if kind is None:
            return None
        ways = self._ways(first, kind)
        said = self._clauses.read(entry.clauses, kind, NO_LINE_AFTER)
        for word, what in ((said.driven_by, "what drives a part"), (said.partner, "a partner")):
            if word is not None:
                message = f"{what} is said in the circuit, not in the catalogue"
                self._desk.error("catalogue", word.place, message, "take this away")
        return Listed(f"catalogue {entry.name.text} ({entry.file})", kind, ways, said)
