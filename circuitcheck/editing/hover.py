"""What a word of the text means, and what was computed for it, in Markdown."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from circuitcheck.basics.places import Place
from circuitcheck.basics.quantities import read_unit, show, to_si
from circuitcheck.components import kinds
from circuitcheck.components._parts import Kind, Parameter, Part
from circuitcheck.editing.figures import Table, part_table, port_table, run_table, step_rows
from circuitcheck.editing.known import Known
from circuitcheck.editing.mentions import Mention, mention_at
from circuitcheck.editing.offers import kind_in
from circuitcheck.editing.outline import rows
from circuitcheck.editing.tokens import Token, tokens
from circuitcheck.editing.words import parameters
from circuitcheck.language.sentences import Lines
from circuitcheck.reports.result import Result
from circuitcheck.rules import catalogue, told

WAITING = "The text has changed: its figures are being computed."
NO_FIGURES = "No figures: the text is not understood yet; see what was found."
_SORTS = {"step": "step", "value": "value", "block": "block", "figure": "figure of a block",
          "port": "port of a block", "variant": "variant", "entry": "part of the catalogue",
          "file": "file", "line": "line"}  # fmt: skip


class Hover(NamedTuple):
    """What is shown for a stretch of the text."""

    place: Place
    text: str


def hover(known: Known, result: Result | None, line: int, column: int) -> Hover | None:
    """Give what is known of the word at a place of the text, line and column from 1.

    ``result`` is what was computed for this very text, None if that is not ready.
    """
    return _Hover(known, result, line, column).found()


class _Hover:
    def __init__(self, known: Known, result: Result | None, line: int, column: int) -> None:
        self._known = known
        self._result = result
        source = known.text.source
        self._lines = Lines(known.text.file, source)
        self._row = source.split("\n")[line - 1] if line <= len(self._lines.starts) else ""
        self._line, self._column = line, column
        self._tokens = tokens(source)
        start = self._lines.starts[min(line, len(self._lines.starts)) - 1]
        self._offset = start + min(column - 1, len(self._row))

    def found(self) -> Hover | None:
        one = mention_at(self._known.mentions, self._known.text.file, self._line, self._column)
        if one is not None:
            return Hover(one.place, "\n\n".join(self._mention(one)))
        token = next((t for t in self._tokens if t.start <= self._offset <= t.end
                      and t.kind not in ("mark", "comment")), None)  # fmt: skip
        if token is None:
            return None
        text = self._known.text.source[token.start : token.end]
        pieces = list(self._token(token, text))
        return (
            Hover(self._lines.place(token.start, token.end), "\n\n".join(pieces))
            if pieces
            else None
        )

    # ---- names -------------------------------------------------------------------------

    def _mention(self, one: Mention) -> Iterator[str]:
        name = self._path(one)
        sort = one.thing.sort
        if sort in ("part", "line"):
            yield from self._part(name, one)
            return
        yield f"**{one.thing.name}** · {_SORTS[sort]}"
        if sort == "step":
            yield from self._step(name)
        given = next((m for m in self._known.mentions if m.thing == one.thing and m.gives), None)
        if sort in ("value", "figure", "block") and given is not None:
            texts = {**self._known.text.used, self._known.text.file: self._known.text.source}
            row = texts[given.place.file].split("\n")[given.place.line - 1]
            yield f"```hyc\n{row.strip()}\n```"

    def _path(self, one: Mention) -> str:
        """Give the name with what leads to it: S1/V1."""
        before = self._row[: one.place.column - 1]
        path = re.search(r"(?:[\w.-]+/)*$", before)
        return (path.group() if path else "") + one.thing.name

    def _part(self, name: str, one: Mention) -> Iterator[str]:
        known = self._known
        part = known.parts.get(name)
        block = known.block_of(name)
        if one.thing.sort == "line":
            yield f"**{name}** · line"
        elif block is not None:
            yield f"**{name}** · block {block.name.text}"
        elif part is None:
            kind = known.kind_of(name) if not one.thing.scope else None
            yield f"**{name}** · {kind.word if kind else 'part'}"
        else:
            purpose = f" · {part.purpose}" if part.purpose else ""
            yield f"**{name}** · {part.kind.word}{purpose}"
            yield _given(part)
        yield from self._figures(name, one)

    def _figures(self, name: str, one: Mention) -> Iterator[str]:
        result = self._result
        if result is None:
            yield WAITING
            return
        circuit = result.circuit
        if circuit is None or result.solution is None:
            yield NO_FIGURES
            return
        uses = [name] if name in circuit.parts else [
            part.name for part in circuit.parts.values()
            if one.thing.scope and part.name.endswith(f"/{name}")
        ]  # fmt: skip
        for use in uses[:3]:
            if use != name:
                yield f"as **{use}**:"
            yield from _shown(part_table(result, use))
        run = next((run for run in circuit.runs if run.name == name), None)
        if not uses and run is not None:
            yield from _shown(run_table(result, run))

    def _step(self, name: str) -> Iterator[str]:
        if self._result is None:
            yield WAITING
        elif self._result.circuit is None:
            yield NO_FIGURES
        else:
            rows = step_rows(self._result, name)
            point = next((p for p in self._result.points if p.step.name == name), None)
            if point is not None and not point.success:
                yield f"not solved: {point.message}"
            if rows:
                yield " · ".join(f"{what} {figure}" for what, figure in rows)

    # ---- words -------------------------------------------------------------------------

    def _token(self, token: Token, text: str) -> Iterator[str]:
        if token.kind == "kind" and text in kinds():
            yield from _kind(kinds()[text])
        elif token.kind in ("figure", "choice"):
            yield from self._word(text)
        elif token.kind == "port":
            yield from self._port(token, text)
        elif token.kind in ("number", "unit"):
            yield from self._amount(token)
        elif token.kind == "rule":
            slug = text.replace("_", "-")
            if slug in catalogue():
                yield f"**{slug}** · {catalogue()[slug].title}"
            elif slug in told():
                yield f"**{slug}** · {told()[slug].title}"

    def _rows(self) -> list[tuple[int, int]]:
        return [(row.start, row.end) for row in rows(self._known.text.source)]

    def _kind(self) -> Kind | None:
        """Give the kind of which the sentence, or the clause of a step, speaks."""
        start = max((a for a, _ in self._rows() if a <= self._offset), default=0)
        said = self._known.text.source[start : self._offset]
        clause = said.rpartition(",")[2].split()
        words = said.split(",")[0].split()
        if words[:1] == ["step"]:
            return self._known.kind_of(clause[0]) if clause else None
        if words[:1] == ["every"]:
            return kind_in(words[1:]) or kinds()["line"]
        if "from" in words:
            return kinds()["line"]
        name = words[0] if words else ""
        return self._known.kind_of(name) or kind_in(words[1:])

    def _word(self, text: str) -> Iterator[str]:
        kind = self._kind()
        if kind is None:
            return
        found = [p for p in (*parameters(kind), *kind.orders) if p.name == text]
        for one in found[:1]:
            yield f"**{text}** · figure of {kind.word}"
            yield _parameter(one)
        for measure in kind.measures if not found else ():
            if measure.name == text:
                yield f"**{text}** · {measure.text}"
        for choice in kind.choices:
            if text in choice.options:
                yield f"**{text}** · {choice.group} of {kind.word}"
                yield f"one of: {', '.join(choice.options)}"

    def _port(self, token: Token, letter: str) -> Iterator[str]:
        before = self._known.text.source[: token.start].split()
        name = before[-1] if before else ""
        part = self._known.parts.get(name)
        port = next((p for p in part.ports if p.letter == letter), None) if part else None
        if port is None:
            return
        yield f"**{name} {letter}** · {port.text or port.kind.value}"
        result = self._result
        if result is None:
            yield WAITING
        elif result.circuit is None or name not in result.circuit.parts:
            yield NO_FIGURES
        else:
            yield from _shown(port_table(result, name, letter))

    def _amount(self, token: Token) -> Iterator[str]:
        """Show a figure in the other units."""
        at = self._tokens.index(token)
        number, unit = (
            (self._tokens[at - 1], token) if token.kind == "unit"
            else (token, self._tokens[at + 1] if at + 1 < len(self._tokens) else token)
        )  # fmt: skip
        source = self._known.text.source
        said, spelt = source[number.start : number.end], source[unit.start : unit.end]
        known = read_unit(spelt) if unit.kind == "unit" else None
        if known is None or not re.fullmatch(r"[+-]?[0-9.]+", said) or said.count(".") > 1:
            return
        value = to_si(float(said), known)
        shown = (show(value, known.quantity, system, 4) for system in ("metric", "inch"))
        others = [text for text in dict.fromkeys(shown) if text != f"{said} {spelt}"]
        yield f"**{said} {spelt}** · {known.quantity.replace('_', ' ')}"
        if others:
            yield " = ".join(others)


def _given(part: Part) -> str:
    """Give the figures of a part; those that the text does not say stand in brackets."""
    shown = [
        f"{name} {one.text}" if one.origin == "given" else f"({name} {one.text})"
        for name, one in part.figures.items()
    ]
    return ", ".join([*part.choices.values(), *shown]) or "no figures"


def _kind(kind: Kind) -> Iterator[str]:
    yield f"**{kind.word}** · {kind.text}"
    ports = [f"{p.letter} ({p.text})" if p.text else p.letter for p in Part("", kind).ports]
    if any(port.strip() for port in ports):
        yield f"ports: {', '.join(ports)}"
    needed = [p.name for p in kind.parameters if p.needed]
    if needed:
        yield f"must be said: {', '.join(needed)}"
    yield f"`circuitcheck explain {kind.word}` tells all of it."


def _parameter(one: Parameter) -> str:
    low, high = one.limits
    unit = f" [{one.unit}]" if one.unit else ""
    pieces = [f"{one.text}{unit}"]
    if one.quantity not in ("code", "file"):
        if one.default is not None:
            pieces.append(f"if not said: {show(one.default, one.quantity)} ({one.source})")
        pieces.append(f"from {show(low, one.quantity)} to {show(high, one.quantity)}")
    return "; ".join(pieces)


def _shown(table: Table) -> Iterable[str]:
    rows = [table.heads, ("---",) * len(table.heads), *table.rows]
    yield "\n".join("| " + " | ".join(row) + " |" for row in rows)
    yield from table.notes
