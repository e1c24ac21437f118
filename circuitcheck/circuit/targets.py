"""What is to be reached, in the words of claims: ``C1 speed 50 mm/s, in press, at least``."""

from __future__ import annotations

from collections.abc import Sequence

from circuitcheck.basics.findings import Finding
from circuitcheck.basics.places import Place
from circuitcheck.circuit.claims import ClaimReader
from circuitcheck.circuit.desk import Desk
from circuitcheck.circuit.figures import FigureReader
from circuitcheck.circuit.files import Files
from circuitcheck.circuit.model import Circuit, Claim
from circuitcheck.circuit.names import Names
from circuitcheck.circuit.subjects import Subject, Subjects
from circuitcheck.circuit.values import Values
from circuitcheck.language.parse import parse
from circuitcheck.language.sentences import Lines, RawSentence
from circuitcheck.language.text import Chapter, Item, Text, Word

FILE = "target"
"""Name under which findings speak of targets."""

OIL = "oil"


class _WithOil(Subjects):
    """Subjects of claims, and the temperature at which the oil settles."""

    def find(self, name: Word, words: list[Word], figure: Item) -> Subject | None:
        if name.text == OIL and [word.text for word in words] == ["temperature"]:
            return Subject(OIL, "", "temperature", "temperature")
        return super().find(name, words, figure)


def read_targets(circuit: Circuit, rows: Sequence[str]) -> tuple[list[Claim], list[Finding], str]:
    """Give targets as claims, what is wrong with them, and the text its places speak of."""
    plain = [" ".join(row.split()) for row in rows]
    lines = Lines(FILE, "\n".join(plain))
    sentences, desk = [], Desk({}, set())
    for row, start in zip(plain, lines.starts, strict=False):
        sentence, wrong = parse(RawSentence(row, start, 1), "claim", "claims", lines)
        desk.findings += wrong
        sentences += [] if sentence is None else [sentence]
    chapter = Chapter("claims", (), tuple(sentences), "claims", Place(FILE, 1, 1, 1, 1))
    text = Text(FILE, lines.source, (chapter,))
    figures = FigureReader(desk, Values(desk, text), Files("", None))
    names = Names(desk)
    steps = [step.name for step in circuit.steps]
    reader = ClaimReader(desk, figures, _WithOil.of(desk, names, circuit), steps, ())
    return reader.read(text).claims, desk.findings, lines.source
