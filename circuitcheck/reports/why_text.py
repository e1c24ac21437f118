"""Why a figure is what it is, for a terminal, for programs and for a page."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Iterator
from typing import Any

from circuitcheck.basics.quantities import SI_NAME, System, show
from circuitcheck.reports.tables import Column, Table, table
from circuitcheck.reports.terminal import MARGIN, Sheet
from circuitcheck.studies.why import Mover, Why
from circuitcheck.studies.why_formula import Formula
from circuitcheck.studies.why_trail import Reason

FORM = "circuitcheck-why/1"
"""Name of the JSON form; the number grows with each change that breaks a reader."""

DEEPEST = 6
"""Steps in by which a line begins, at most."""

DIGITS = 4
"""Figures of a number; one more than elsewhere, so that sums come out to the eye."""

LETTER = re.compile(r"\b(?!root\b|pi\b)[A-Za-z]\w*\b")


def written(formula: Formula, value: float, units: System) -> str:
    """Write a formula with its figures: "v = Q / A = 21.7 L/min / 78.5 cm2 = 46 mm/s"."""
    result = show(value, formula.quantity, units, DIGITS)
    pieces = (formula.left, _signs(formula.right), filled(formula, units), result)
    return " = ".join(dict.fromkeys(pieces))


def filled(formula: Formula, units: System) -> str:
    """Write the right side of a formula with figures in place of the letters."""
    figures = {term.letter: _shown(term.value, term.quantity, units) for term in formula.terms}
    return _signs(LETTER.sub(lambda found: figures[found.group()], formula.right))


def _shown(value: float, quantity: str, units: System) -> str:
    text = show(value, quantity, units, DIGITS)
    return f"({text})" if text.startswith("-") else text


def _signs(right: str) -> str:
    return right.replace("*", "x")


def name_of(reason: Reason) -> str:
    """Give what a reason speaks of, beginning with a capital."""
    return reason.of[:1].upper() + reason.of[1:]


def letters(formula: Formula, units: System) -> Iterator[tuple[str, str, str]]:
    """Give letter, figure with unit, and what it is, for each term of a formula."""
    for term in formula.terms:
        yield term.letter, show(term.value, term.quantity, units, DIGITS), term.text


def write_why(sheet: Sheet, found: Why, units: System) -> None:
    """Write what sets a result, the walk to it, and what moves it."""
    sheet.heading(
        f"{found.result} in step {found.step}: {show(found.value, found.quantity, units)}"
    )
    sheet.paragraph(sentence(found.verdict))
    if found.reason is not None:
        sheet.section("How it comes about")
        _write_reason(sheet, found.reason, units, 1)
    if found.movers:
        sheet.table(movers_table(found.movers, units))


def _write_reason(sheet: Sheet, reason: Reason, units: System, depth: int) -> None:
    """Write a reason and those below it, each a little further in than what it is for."""
    margin = MARGIN * min(depth, DEEPEST)
    value = show(reason.value, reason.quantity, units, DIGITS)
    sheet.paragraph(f"{name_of(reason)}: {value}", margin, margin + MARGIN, "bold")
    inner = margin + MARGIN
    if reason.formula is not None:
        sheet.paragraph(written(reason.formula, reason.value, units), inner, inner + MARGIN)
        told = [row for row in letters(reason.formula, units) if row[2]]
        wide = max((len(letter) for letter, _, _ in told), default=0)
        for letter, _, text in told:
            first = f"{inner}  {letter:<{wide}}  "
            sheet.paragraph(text, first, " " * len(first))
    if reason.said:
        sheet.paragraph(sentence(reason.said), inner, inner)
    for below in reason.because:
        _write_reason(sheet, below, units, depth + 1)


def sentence(said: str) -> str:
    """Give a sentence with its capital and its full stop."""
    name = said.split(" ")[0].rstrip(",:;")
    first = said if any(letter.isdigit() for letter in name) else said[:1].upper() + said[1:]
    return first if first.endswith(".") else f"{first}."


def movers_table(movers: tuple[Mover, ...], units: System) -> Table:
    """Give the figures that move the result, the one that counts most first."""
    return table(
        "What moves it",
        (Column("Figure"), Column("Stands at", "", True), Column("Per 1 %", "", True),
         Column("It is")),
        (
            (
                mover.name,
                show(mover.at, mover.quantity, units),
                f"{mover.share:+.2f} %",
                "given" if mover.given else "assumed",
            )
            for mover in movers
        ),
        ["What 1 % more of the figure gives, to first order; what counts for less is left out."],
    )  # fmt: skip


def as_json(found: Why) -> str:
    """Give the answer in SI as JSON: the walk as a tree, what moves it as a list."""
    return json.dumps(
        {
            "form": FORM,
            "result": found.result,
            "step": found.step,
            "solved": found.solved,
            "value": _number(found.value),
            "quantity": found.quantity,
            "unit": SI_NAME[found.quantity],
            "verdict": found.verdict,
            "set_by": list(found.limits),
            "reason": None if found.reason is None else _reason(found.reason),
            "movers": [
                {
                    "figure": mover.name,
                    "value": _number(mover.at),
                    "unit": SI_NAME[mover.quantity],
                    "percent_per_percent": _number(mover.share),
                    "given": mover.given,
                }
                for mover in found.movers
            ],
        },
        indent=2,
        ensure_ascii=False,
    ) + "\n"  # fmt: skip


def _reason(reason: Reason) -> dict[str, Any]:
    made = reason.formula
    return {
        "of": reason.of,
        "value": _number(reason.value),
        "unit": SI_NAME[reason.quantity],
        "said": reason.said,
        "formula": None
        if made is None
        else {
            "left": made.left,
            "right": made.right,
            "terms": [
                {
                    "letter": term.letter,
                    "value": _number(term.value),
                    "unit": SI_NAME[term.quantity],
                    "text": term.text,
                }
                for term in made.terms
            ],
        },
        "because": [_reason(below) for below in reason.because],
    }


def _number(value: float) -> float | None:
    return value if math.isfinite(value) else None
