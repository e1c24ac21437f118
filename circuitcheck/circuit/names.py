"""Names of a circuit: each is given once, to a part or a line."""

from __future__ import annotations

from circuitcheck.basics.findings import Note
from circuitcheck.basics.places import Place
from circuitcheck.circuit.desk import Desk
from circuitcheck.circuit.inside import around
from circuitcheck.language.text import Word


class Names:
    """Who bears which name."""

    def __init__(self, desk: Desk, some_lost: bool = False) -> None:
        self._desk = desk
        self._given: dict[str, tuple[str, str, Place]] = {}
        self._some_lost = some_lost

    def give(self, name: Word, bearer: str) -> bool:
        """Give a name to a "part" or a "line"; False, with a finding, if it has a bearer."""
        key = name.text.lower()
        if key not in self._given:
            self._given[key] = (name.text, bearer, name.place)
            return True
        text, other, place = self._given[key]
        self._some_lost = True
        notes = (Note(f"{text} is given here", place),)
        if text == name.text:
            message = f"there is already a {other} {text} (line {place.line})"
            remedy = "give this one the next free name"
        else:
            message = f"{name.text} and {text} (line {place.line}) differ only in capitals"
            remedy = "give this one a name of its own"
        self._desk.error("name-twice", name.place, message, remedy, notes=notes)
        return False

    def known(self, name: str) -> bool:
        """Whether a part or a line bears the name, even one that could not be read on."""
        return name.lower() in self._given

    def forgiven(self, name: str) -> bool:
        """Whether a missing name is no mistake of its own.

        It may stand in a block that is wrong or in a sentence that could not be read, or be
        what a doubled name should have been.
        """
        likely = [name, name.split("/")[-1], *around(name)]
        return self._some_lost or any(known in self._desk.silent for known in likely)
