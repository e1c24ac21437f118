"""The chapter ``tolerances``: by how much figures of the machine may be off."""

from __future__ import annotations

from dataclasses import dataclass

from circuitcheck.basics.places import Place
from circuitcheck.circuit.desk import Desk
from circuitcheck.circuit.model import Circuit
from circuitcheck.circuit.tolerances import Said, ToleranceReader
from circuitcheck.circuit.varied import OIL_NAME, Varied, find_varied
from circuitcheck.language.text import Clause, Sentence, Text, Tolerance, Word

FORM = "write:  R1 set, within 3 %   or   temperature of oil, within 8 K"
VISCOSITY = "viscosity"


@dataclass(frozen=True)
class Allowance:
    """A figure that may be off; ``figure`` is None for the viscosity of the oil.

    ``tolerance`` is a share of the figure where ``share`` is true, else SI.
    """

    figure: Varied | None
    tolerance: float
    share: bool
    place: Place


def read_allowances(desk: Desk, circuit: Circuit, text: Text) -> list[Allowance]:
    """Give what the text says may be off; what is wrong goes to the desk."""
    found: dict[str, Allowance] = {}
    for sentence in text.sentences("tolerances"):
        allowance = _one(desk, circuit, sentence)
        if allowance is None:
            continue
        key = allowance.figure.text if allowance.figure is not None else VISCOSITY
        if key in found:
            desk.error("said-twice", sentence.place, f"the tolerance of {key} is given twice",
                       "take one away")  # fmt: skip
        found[key] = allowance
    return list(found.values())


def _one(desk: Desk, circuit: Circuit, sentence: Sentence) -> Allowance | None:
    first = sentence.clauses[0]
    words = [sentence.names[0], *(item for item in first.items if isinstance(item, Word))]
    rest = [item for item in first.items if not isinstance(item, Word)]
    if len(rest) > 1 or (rest and not isinstance(rest[0], Tolerance)):
        desk.error("tolerance", first.place, f"'{first.text}' is not the name of a figure", FORM)
        return None
    of_oil = [word.text for word in words[1:]] == ["of", OIL_NAME] and words[0].text
    figure: Varied | None = None
    if of_oil != VISCOSITY:
        if of_oil:
            place = words[-1].place
            words = [Word(OIL_NAME, place), Word(words[0].text, words[0].place)]
        figure = find_varied(desk, circuit, circuit.steps, words)
        if figure is None:
            return None
    said = _said(desk, sentence, "share" if figure is None else figure.quantity)
    if said is None:
        return None
    absolute = figure is not None and figure.quantity == "share"
    return Allowance(figure, said.tolerance or 0.0, said.share and not absolute, sentence.place)


def _said(desk: Desk, sentence: Sentence, quantity: str) -> Said | None:
    """Read by how much: ``within 3 %`` behind the name, or a plus-minus straight after it."""
    said, reader, before = Said(), ToleranceReader(desk), len(desk.findings)
    marked = next((i for i in sentence.clauses[0].items if isinstance(i, Tolerance)), None)
    if marked is not None:
        reader.plus_minus(marked, said, quantity)
    for clause in sentence.clauses[1:]:
        if not _is_within(clause) or not reader.take(clause, said, None, quantity):
            desk.error("clause-unread", clause.place, f"'{clause.text}' is no tolerance", FORM)
    if said.tolerance is None and len(desk.findings) == before:
        desk.error("tolerance", sentence.place, "by how much may it be off?", FORM)
    return said if len(desk.findings) == before else None


def _is_within(clause: Clause) -> bool:
    return clause.words()[:1] == ["within"] or isinstance(clause.items[0], Tolerance)
