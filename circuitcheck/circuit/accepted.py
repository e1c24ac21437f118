"""The chapter ``accepted``: findings that somebody takes upon himself, with the reason."""

from __future__ import annotations

from collections.abc import Collection

from circuitcheck.circuit.desk import Desk
from circuitcheck.circuit.model import Acceptance
from circuitcheck.circuit.names import Names
from circuitcheck.language.text import Clause, Quote, Sentence, Text, Word

EXAMPLE = 'idle-over-relief on R1, in unload, because "8 s in 40 s, the tank stays cool"'


class AcceptanceReader:
    """Reads ``RULE on PART, in STEP, because "..."``; part and step may be left out.

    ``known`` are names of parts, lines and blocks, ``steps`` those of the cycle, ``silent``
    what a sentence that could not be read may have named.
    """

    def __init__(
        self, desk: Desk, names: Names, known: Collection[str], steps: Collection[str],
        silent: Collection[str],
    ) -> None:  # fmt: skip
        self._desk = desk
        self._names = names
        self._known = known
        self._steps = steps
        self._silent = silent

    def read(self, text: Text) -> list[Acceptance]:
        """Give the acceptances in the order of the text; what is wrong goes to the desk."""
        found = [self._sentence(sentence) for sentence in text.sentences("accepted")]
        return [one for one in found if one is not None]

    def _sentence(self, sentence: Sentence) -> Acceptance | None:
        before = len(self._desk.findings)
        part = step = reason = ""
        for clause in sentence.clauses:
            words = clause.words()
            if words[:1] == ["on"]:
                part = self._name(clause, self._known, "part", "unknown-part")
            elif words[:1] == ["in"]:
                step = self._name(clause, self._steps, "step", "unknown-step")
            elif words[:1] == ["because"]:
                reason = self._reason(clause)
            else:
                message = f"'{clause.text}' says nothing of an accepted finding"
                self._desk.error("clause-unread", clause.place, message, f"write:  {EXAMPLE}")
        if len(self._desk.findings) > before:
            return None
        if not reason:
            message = "a finding is not accepted without a reason"
            self._desk.error("reason-missing", sentence.place, message, f"write:  {EXAMPLE}")
            return None
        rule = sentence.names[0].text.replace("_", "-")
        return Acceptance(rule, part, step, reason, sentence.place)

    def _name(self, clause: Clause, known: Collection[str], noun: str, slug: str) -> str:
        item = clause.items[1] if len(clause.items) == 2 else None
        if not isinstance(item, (Word, Quote)):
            self._desk.error(slug, clause.place, f"which {noun}?", f"write:  {EXAMPLE}")
            return ""
        lost = item.text in self._silent or (noun == "part" and self._names.forgiven(item.text))
        if item.text not in known and not lost:
            near = self._desk.ask(item.text, known)
            message = f"there is no {noun} '{item.text}'"
            self._desk.error(slug, item.place, message, near or f"write:  {EXAMPLE}")
        return item.text

    def _reason(self, clause: Clause) -> str:
        item = clause.items[1] if len(clause.items) == 2 else None
        if not isinstance(item, Quote) or not item.text.strip():
            message = "the reason stands in quotes and is not empty"
            self._desk.error("reason-missing", clause.place, message, f"write:  {EXAMPLE}")
            return ""
        return item.text.strip()
