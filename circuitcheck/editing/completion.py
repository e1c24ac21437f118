"""What could be written next: words that fit the chapter, the part, the clause."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from circuitcheck.basics.limits import limited_rules, limits_of
from circuitcheck.basics.unit_table import UNITS
from circuitcheck.circuit.blocks import CHAPTERS as OF_BLOCK
from circuitcheck.circuit.drawing import RELATIONS
from circuitcheck.circuit.heads import BLOCK
from circuitcheck.circuit.subjects import WHOLE
from circuitcheck.components import kinds
from circuitcheck.editing.cursor import Cursor, cursor
from circuitcheck.editing.known import Known
from circuitcheck.editing.offers import (
    Offer,
    clauses_of,
    figures_of_block,
    keywords,
    kind_in,
    line_ends,
    measures,
    names,
    ordered,
    orders,
    units,
)
from circuitcheck.editing.project_files import circuit_files
from circuitcheck.fluid.families import designations
from circuitcheck.language.chapters import FORMS
from circuitcheck.language.variants import CHAPTERS as OF_VARIANT
from circuitcheck.rules import catalogue

_STARTERS = {"lines": "from", "cycle": "step", "defaults": "every"}
_SHEETS = ("A4", "A3", "A2", "A1", "A0", "landscape", "portrait")


@dataclass(frozen=True)
class Offers:
    """What could be written in the place of the text from ``start`` to the cursor."""

    start: int
    offers: tuple[Offer, ...]


def completion(known: Known, source: str, offset: int) -> Offers:
    """Give what could be written at an offset of a text whose line ends are newlines.

    Where the words before the cursor begin phrases that are offered, only these are, and they
    take the place of those words.
    """
    here = cursor(source, offset)
    if here is None:
        return Offers(offset, ())
    found = {offer.label: offer for offer in reversed(list(_Completion(known, here).offers()))}
    offers = tuple(reversed(found.values()))
    for at in range(len(here.clause)):
        begun = " ".join([*here.words[at:], here.begun]).lower()
        longer = tuple(one for one in offers if one.label.lower().startswith(begun))
        if longer:
            return Offers(here.origin + here.clause[at].start, longer)
    return Offers(here.start, offers)


class _Completion:
    """Offers for one cursor."""

    def __init__(self, known: Known, here: Cursor) -> None:
        self._known = known
        self._here = here

    def offers(self) -> Iterator[Offer]:
        here = self._here
        if here.heading:
            if here.number == 0 and not here.clause:
                yield from self._headings()
            yield from self._in_heading()
            return
        if here.number == 0 and not here.clause:
            yield from self._beginnings()
            yield from self._headings()
            return
        chapters: dict[str, Callable[[], Iterable[Offer]]] = {
            "parts": self._part, "defaults": self._every, "lines": self._line,
            "cycle": self._step, "claims": self._claim, "readings": self._claim,
            "variations": self._trial, "tolerances": self._tolerance,
            "accepted": self._accepted, "limits": self._limit, "drawing": self._hint,
            "values": self._value,
        }  # fmt: skip
        if here.chapter in chapters:
            yield from chapters[here.chapter]()

    # ---- headings and beginnings -------------------------------------------------------

    def _headings(self) -> Iterator[Offer]:
        inside = {"block": ("ports", *OF_BLOCK), "variant": OF_VARIANT}.get(self._here.inside)
        for word in inside or [word for word in FORMS if word not in ("ports", "end")]:
            yield Offer(word, "heading", FORMS[word].example)
        if inside:
            yield Offer(f"end {self._here.inside}", "heading", f"ends the {self._here.inside}")

    def _in_heading(self) -> Iterator[Offer]:
        here, words = self._here, self._here.words
        if here.chapter == "units":
            yield from units(*UNITS)
        elif here.chapter == "oil":
            yield from (Offer(word, "choice", "fluid") for word in designations())
            yield from keywords("ISO VG", "at", "air", "viscosity index", "bulk modulus")
            if "number" in here.sorts:
                yield from units("temperature", "viscosity", "density")
        elif here.chapter == "circuit" and here.number:
            yield from keywords("issue", *BLOCK)
        elif here.chapter == "cycle" and here.number:
            yield from keywords("repeats")
        elif here.chapter in ("claims", "readings") and here.number:
            yield from self._tolerances(words)
        elif here.chapter == "drawing":
            yield from keywords(*_SHEETS)
        elif here.chapter == "use":
            yield from self._files()
        elif here.chapter == "variant" and here.number:
            yield from keywords("without") if not words else self._names()

    def _files(self) -> Iterator[Offer]:
        text = self._known.text
        if text.folder is None:
            return
        beside = Path(text.file).parent
        for file in circuit_files(beside):
            name = file.relative_to(beside).as_posix()
            if file != Path(text.file):
                yield Offer(f'"{name}"', "file", "brings the blocks and defaults of this file")

    def _beginnings(self) -> Iterator[Offer]:
        chapter = self._here.chapter
        if chapter in _STARTERS:
            yield Offer(_STARTERS[chapter], "keyword", FORMS[chapter].example)
        elif chapter in ("claims", "readings"):
            yield from self._names()
            yield from (Offer(name, "name", "line") for name in self._known.lines)
            yield from (Offer(word, "measure", "of the whole circuit") for word in WHOLE)
        elif chapter == "variations":
            yield from keywords("vary", "show")
        elif chapter in ("drawing", "tolerances"):
            yield from self._names()
        elif chapter == "accepted":
            yield from (Offer(s, "rule", rule.title) for s, rule in catalogue().items())
        elif chapter == "limits":
            yield from (Offer(slug, "rule", "has thresholds") for slug in limited_rules())

    # ---- chapters ----------------------------------------------------------------------

    @property
    def _holder(self) -> str:
        """The block in which somebody is writing."""
        return self._here.holder if self._here.inside == "block" else ""

    def _names(self) -> Iterator[Offer]:
        return names(self._known, self._holder)

    def _part(self) -> Iterator[Offer]:
        here, known = self._here, self._known
        if here.number == 0:
            yield from self._kinds()
            return
        words = [piece.text for piece in here.first]
        at = 1
        while words[at : at + 1] == ["and"]:
            at += 2
        block = known.blocks.get(words[at]) if len(words) > at else None
        kind = kind_in(words[at:]) or known.kind_of(next(iter(words), ""))
        if block is not None:
            yield from figures_of_block(block, here)
        elif kind is not None:
            part = None if self._holder or not words else known.parts.get(words[0])
            drives = [name for name, one in known.parts.items() if one.kind.drives]
            yield from clauses_of(kind, here, part, drives, self._values())

    def _kinds(self) -> Iterator[Offer]:
        yield from (Offer(word, "kind", kind.text) for word, kind in kinds().items())
        for name in self._known.blocks:
            yield Offer(name, "block", "block")
        for entry in self._known.text.catalogue:
            yield Offer(entry.name.text, "block", f"from {entry.file}")

    def _every(self) -> Iterator[Offer]:
        here = self._here
        if here.number == 0:
            yield from self._kinds()
            yield from (Offer(word, "choice", "lines") for word in ("hose", "tube", "pipe"))
            return
        words = [piece.text for piece in here.first][1:]
        kind = kind_in(words) or (kinds()["line"] if words else None)
        block = self._known.blocks.get(words[0]) if words else None
        if block is not None:
            yield from figures_of_block(block, here)
        elif kind is not None:
            yield from clauses_of(kind, here, None, (), self._values())

    def _line(self) -> Iterable[Offer]:
        if self._here.number:
            return clauses_of(kinds()["line"], self._here, None, (), self._values())
        return line_ends(self._known, self._here, self._holder)

    def _step(self) -> Iterator[Offer]:
        here, words = self._here, self._here.words
        if here.number == 0:
            return
        if here.sorts[:1] == ["number"]:
            yield from units("time")
        elif not words:
            yield from ordered(self._known, self._holder)
            yield Offer("oil at", "keyword", "the oil's temperature in this step")
        elif words[:2] == ["oil", "at"]:
            yield from units("temperature") if "number" in here.sorts else ()
        else:
            yield from orders(self._known, here)
            yield from self._values() if len(words) > 1 and "number" not in here.sorts else ()

    def _claim(self) -> Iterator[Offer]:
        if self._here.number:
            return self._tolerances(self._here.words)
        return measures(self._known, self._here, self._here.words)

    def _tolerances(self, words: list[str]) -> Iterator[Offer]:
        if words == ["in"]:
            yield from self._steps()
        elif words[:1] == ["within"]:
            yield from units("share", "pressure", "flow", "speed") if len(words) > 1 else ()
        elif not words:
            yield from keywords("in", "within", "at most", "at least", "over the cycle")

    def _trial(self) -> Iterator[Offer]:
        here, words = self._here, self._here.words
        shown = here.first[:1] and here.first[0].text == "show"
        said = words[1:] if here.number == 0 else words
        if words == ["in"]:
            yield from self._steps()
        elif shown and said:
            yield from measures(self._known, here, said)
        elif shown:
            yield from (*self._names(), *keywords("in", *WHOLE))
        elif here.number:
            yield from keywords("in", "points") if not words or "number" in here.sorts else ()
        elif not said:
            yield from (*self._names(), *keywords("oil temperature"))
        else:
            yield from self._varied(said)

    def _varied(self, words: list[str]) -> Iterator[Offer]:
        kind = self._known.kind_of(words[0])
        figures = [*kind.parameters, *kind.orders] if kind is not None else []
        name = " ".join(words[1 : next((i for i, w in enumerate(words) if _figure(w)), None)])
        figure = next((one for one in figures if one.name == name.removesuffix(" from")), None)
        if _figure(words[-1]) and figure is not None:
            yield from units(figure.quantity) if figure.quantity in UNITS else ()
        if any(map(_figure, words)):
            yield from keywords("to", "or")
        elif figure is not None:
            yield from keywords("from")
        else:
            yield from (Offer(one.name, "figure", one.text) for one in figures)

    def _tolerance(self) -> Iterator[Offer]:
        here, words = self._here, self._here.words
        if here.number:
            yield from self._tolerances(words) if words else keywords("within")
        elif len(words) == 1:
            kind = self._known.kind_of(words[0])
            yield from (Offer(p.name, "figure", p.text) for p in (kind.parameters if kind else ()))

    def _accepted(self) -> Iterator[Offer]:
        words = self._here.words
        if words[-1:] == ["on"]:
            yield from self._names()
        elif words[-1:] == ["in"]:
            yield from self._steps()
        else:
            yield from keywords(*(("on",) if self._here.number == 0 else ()), "in", "because")

    def _limit(self) -> Iterator[Offer]:
        here, words = self._here, self._here.words
        rule = (here.first[0].text if here.first else "").replace("_", "-")
        known = limits_of(rule)
        said = "_".join(w for w in words[0 if here.number else 1 :] if not w[0].isdigit())
        if "number" in here.sorts:
            yield from units(known[said].quantity) if said in known else ()
            return
        for name, limit in known.items():
            if name not in said:
                yield Offer(name.replace("_", " "), "figure", f"default {limit.text}")

    def _hint(self) -> Iterator[Offer]:
        words = self._here.words
        if len(words) == 1:
            yield from keywords(*RELATIONS, "column", "sheet", "turned")
        else:
            yield from self._names()

    def _value(self) -> Iterator[Offer]:
        if "number" in self._here.sorts:
            yield from units(*UNITS)
        else:
            yield from self._values()

    def _steps(self) -> Iterator[Offer]:
        for step in self._known.steps:
            plain = step.replace("-", "").isidentifier()
            yield Offer(step if plain else f'"{step}"', "step", "step of the cycle")

    def _values(self) -> list[Offer]:
        """Values in brackets; inside brackets without them."""
        inside = self._here.words.count("(") > self._here.words.count(")")
        block = self._known.blocks.get(self._here.holder)
        names = self._known.values
        if block is not None:
            names = [words[0] for c in block.figures if (words := c.words())]
        return [Offer(name if inside else f"({name})", "value", "value") for name in names]


def _figure(word: str) -> bool:
    return word[:1] in "0123456789.+-("
