"""Claims and readings: numbers to be verified, of parts, lines, or the whole circuit."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace

from circuitcheck.basics.findings import Note
from circuitcheck.circuit.desk import Desk
from circuitcheck.circuit.figures import FigureReader, Wanted, item_text
from circuitcheck.circuit.model import Assumption, Claim
from circuitcheck.circuit.subjects import Subjects
from circuitcheck.circuit.tolerances import Said, ToleranceReader
from circuitcheck.components._parts import Figure, Parameter
from circuitcheck.language.text import (
    Amount,
    Chapter,
    Clause,
    Formula,
    Quote,
    Sentence,
    Text,
    Tolerance,
    Word,
)

USUAL_SHARE = 0.05
"""Taken, and listed as assumed, where neither claim nor chapter says a tolerance."""


@dataclass
class ClaimList:
    """Claims and readings as read."""

    claims: list[Claim]
    readings: list[Claim]
    assumptions: list[Assumption]


class ClaimReader:
    """Reads the chapters ``claims`` and ``readings``."""

    def __init__(
        self, desk: Desk, figures: FigureReader, subjects: Subjects,
        steps: Collection[str], silent_steps: Collection[str],
    ) -> None:  # fmt: skip
        self._desk = desk
        self._figures = figures
        self._subjects = subjects
        self._steps = steps
        self._silent_steps = silent_steps
        self._tolerances = ToleranceReader(desk)
        self._seen: dict[tuple[object, ...], Claim] = {}
        self.found = ClaimList([], [], [])

    def read(self, text: Text) -> ClaimList:
        """Read every chapter of claims and readings."""
        for chapter in text.chapters:
            if chapter.word in ("claims", "readings"):
                self._chapter(chapter)
        return self.found

    def _chapter(self, chapter: Chapter) -> None:
        document, degC = "", None
        said = Said()
        for clause in chapter.about:
            first = clause.items[0]
            if isinstance(first, Quote):
                document = first.text
            elif clause.words() == ["at"] and len(clause.items) == 2:
                at = clause.items[1]
                wanted = Wanted(Parameter("temperature", "temperature", "degC", ""), "")
                figure = self._figures.figure(at, (), wanted)
                degC = None if figure is None else figure.value
            elif not self._tolerances.take(clause, said, None):
                self._desk.error(
                    "heading",
                    clause.place,
                    f"'{clause.text}' does not belong behind the heading {chapter.word}",
                    f'write:  {chapter.word} "sheet 2", within 3 %',
                )
        assumed = False
        for sentence in chapter.sentences:
            if not isinstance(sentence, Sentence):
                continue
            claim, own = self._claim(sentence, said)
            if claim is None:
                continue
            assumed = assumed or not own
            claim = replace(claim, document=document, temperature=degC)
            if chapter.word == "claims":
                self._against_others(claim)
            (self.found.claims if chapter.word == "claims" else self.found.readings).append(claim)
        if assumed:
            self.found.assumptions.append(
                Assumption(
                    chapter.word,
                    "within",
                    f"{USUAL_SHARE * 100:g} %",
                    "built in",
                    "common practice, no source",
                )
            )

    def _against_others(self, claim: Claim) -> None:
        """Report a number that is claimed twice with different values."""
        key = (
            claim.subject, claim.port, claim.what, claim.step, claim.mode, claim.over_cycle,
            claim.document,
        )  # fmt: skip
        other = self._seen.setdefault(key, claim)
        if other.figure.value != claim.figure.value:
            self._desk.error(
                "claim-against-claim",
                claim.figure.place,
                f"line {other.place.line} claims {other.figure.text} of the same",
                "take one of the two away",
                component=claim.subject,
                notes=(Note("claimed here", other.place),),
            )

    # ---- one claim -------------------------------------------------------------------

    def _claim(self, sentence: Sentence, general: Said) -> tuple[Claim | None, bool]:
        """Give a claim, and whether its tolerance is said somewhere."""
        name, first = sentence.names[0], sentence.clauses[0]
        before = len(self._desk.findings)
        at = next(
            (i for i, item in enumerate(first.items) if isinstance(item, (Amount, Formula))), None
        )
        words = [item for item in first.items[:at] if isinstance(item, Word)]
        if at is None or len(words) < at:
            self._without_figure(name, first)
            return None, True
        item, rest = first.items[at], first.items[at + 1 :]
        subject = self._subjects.find(name, words, item)
        if subject is None:
            return None, True
        figure = self._figures.figure(
            item, rest, Wanted(Parameter(subject.what, subject.quantity, "", ""), "")
        )
        said = Said()
        if rest and figure is not None:
            if isinstance(rest[0], Tolerance) and len(rest) == 1:
                self._tolerances.plus_minus(rest[0], said, subject.quantity)
            else:
                message = f"a comma is missing before '{item_text(rest[0])}'"
                self._desk.error("comma-missing", rest[0].place, message)
        step, over_cycle = self._rest(sentence, said, subject.quantity, figure)
        if figure is None or len(self._desk.findings) > before:
            return None, True
        own = said.tolerance is not None or said.mode != "within"
        inherited = general.tolerance is not None and self._fits(general, subject.quantity)
        tolerance, share = (USUAL_SHARE, True)
        if said.tolerance is not None:
            tolerance, share = said.tolerance, said.share
        elif said.mode != "within":
            tolerance, share = 0.0, True
        elif inherited and general.tolerance is not None:
            tolerance, share = general.tolerance, general.share
        claim = Claim(
            subject.name, subject.port, subject.what, figure, step, tolerance, share, said.mode,
            over_cycle, place=sentence.place,
        )  # fmt: skip
        return claim, own or inherited

    def _fits(self, general: Said, quantity: str) -> bool:
        return general.share or general.quantity == quantity

    def _rest(
        self, sentence: Sentence, said: Said, quantity: str, figure: Figure | None
    ) -> tuple[str, bool]:
        """Read the clauses behind the figure; give the step, and whether the cycle is meant."""
        step, over_cycle = "", False
        for clause in sentence.clauses[1:]:
            if clause.words()[:1] == ["in"]:
                step = self._step(clause)
            elif clause.text == "over the cycle":
                over_cycle = True
            elif not self._tolerances.take(clause, said, figure, quantity):
                self._desk.error(
                    "clause-unread",
                    clause.place,
                    f"'{clause.text}' says nothing of a claim",
                    "a claim ends with:  in STEP, within 3 %, at most, at least, over the cycle",
                )
        return step, over_cycle

    def _step(self, clause: Clause) -> str:
        items = clause.items
        name = items[1] if len(items) == 2 else None
        if not isinstance(name, (Word, Quote)):
            self._desk.error("unknown-step", clause.place, "in which step?", "write:  in press")
            return ""
        if name.text not in self._steps and name.text not in self._silent_steps:
            there = f"there are: {', '.join(self._steps)}" if self._steps else "there are no steps"
            self._desk.error(
                "unknown-step",
                name.place,
                f"there is no step '{name.text}'",
                self._desk.ask(name.text, self._steps) or there,
            )
        return name.text

    def _without_figure(self, name: Word, clause: Clause) -> None:
        self._desk.error(
            "claim-without-figure",
            clause.place,
            f"what is claimed of {name.text}?",
            f"write what it is and a figure:  {name.text} pressure 185 bar",
        )
