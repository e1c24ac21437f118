"""A sizing as text: what meets the targets, what standard sizes give, what is in the way."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from circuitcheck.basics.findings import Finding
from circuitcheck.basics.quantities import (
    System,
    figure_text,
    number_in,
    read_unit,
    show,
    unit_label,
)
from circuitcheck.circuit.varied import Varied
from circuitcheck.reports.comparison import findings_table
from circuitcheck.reports.tables import Column, Table, table
from circuitcheck.reports.terminal import Sheet
from circuitcheck.review.comparison import Comparison
from circuitcheck.studies.binding import Binding, Lever, Missed
from circuitcheck.studies.sizing import Attempt, Sized
from circuitcheck.studies.targets import Target

SHOWN = 4
"""Standard sizes, or combinations of them, that are shown."""

MOST_MOVES = 12
"""Other results that are listed, the largest moves first."""


def write_sizing(
    sheet: Sheet, found: Sized, units: System, other: Comparison | None = None
) -> None:
    """Write a sizing; ``other`` is what else changes with the size that is chosen."""
    sheet.heading(f"Sizing of {', '.join(f.text for f in found.figures)}")
    for target in found.targets:
        sheet.paragraph(f"target: {_wanted(target, units)}", "  ", "    ")
    for figure, (low, high), series in zip(found.figures, found.ranges, found.series, strict=True):
        own = _own(found, figure, units)
        ends = f"{show(low, figure.quantity, own)} to {show(high, figure.quantity, own)}"
        sheet.paragraph(f"sought: {figure.text} from {ends}; sizes: {series.source}", "  ", "    ")
    sheet.line()
    for sentence in _verdict(found, units):
        sheet.paragraph(sentence, style="bold")
    if not found.feasible:
        _write_binding(sheet, found.binding, units)
    sheet.table(_attempts(found, units))
    if other is not None:
        _write_other(sheet, other, found.chosen.name, units)


def _wanted(target: Target, units: System) -> str:
    step = f" in {target.step}" if target.step and not target.over_cycle else ""
    step = " over the cycle" if target.over_cycle else step
    within = ""
    if target.exact and target.claim.share:
        within = f", within {figure_text(100 * target.claim.tolerance)} %"
    return f"{target.name}{step}: {target.said(units)}{within}"


# ---- what came out ------------------------------------------------------------------------


def _verdict(found: Sized, units: System) -> Iterator[str]:
    names = [f.text for f in found.figures]
    if not found.feasible:
        what = f"No {names[0]}" if len(names) == 1 else f"No {' and '.join(names)} together"
        yield f"{what} in this range meets {'all targets' if len(found.targets) > 1 else 'it'}."
        return
    exact = [
        f"{name} {_fine(x, f.quantity, _own(found, f, units))}"
        for name, f, x in zip(names, found.figures, found.exact.values.tolist(), strict=True)
    ]
    yield f"Met with {' and '.join(exact)}."
    if found.within:
        first, own = found.figures[0], _own(found, found.figures[0], units)
        parts = [
            f"{_fine(low, first.quantity, own)} to {_fine(high, first.quantity, own)}"
            for low, high in found.within
            if high > low * (1.0 + 1e-6)
        ]
        if parts:
            yield f"Met by {names[0]} from {', and from '.join(parts)}."
    yield _advice(found)


def _advice(found: Sized) -> str:
    """Say which sizes to order, or that none of those near does it."""
    best = found.chosen
    if best is found.exact:
        return "None of the sizes next to it meets all targets: see what each gives."
    sizes = [
        f"{f.text} {size.text}{' (second choice)' if size.second else ''}"
        for f, size in zip(found.figures, best.sizes, strict=True)
    ]
    return f"To order: {', '.join(sizes)}, {best.name}."


def _own(found: Sized, figure: Varied, units: System) -> System:
    """Give the units of a figure: those of its own sentence, unless others are asked for."""
    part = found.circuit.parts.get(figure.part)
    given = part.figures.get(figure.name) if part is not None else None
    unit = read_unit(given.text.rsplit(" ", 1)[-1]) if given is not None else None
    if isinstance(units, str) or unit is None or unit.quantity != figure.quantity:
        return units
    return {**units, figure.quantity: unit.canonical}


def _fine(value: float, quantity: str, units: System) -> str:
    """Give a figure with the digits that tell it from the standard size beside it."""
    label = unit_label(quantity, units)
    return f"{figure_text(number_in(value, quantity, units), 4)} {label}".rstrip()


def _attempts(found: Sized, units: System) -> Table:
    """Give a column for each attempt: its figures, its results, whether it meets all."""
    tried = [found.present, found.exact, *found.standard[:SHOWN]]
    heads = ("Text", "Best" if not found.feasible else "Exact")
    columns = [Column("Of"), Column("In"), Column("Wanted"), *(Column(h, "", True) for h in heads)]
    columns += [Column(_head(attempt), "", True) for attempt in tried[2:]]
    rows = [
        (
            figure.text,
            "",
            "",
            *(_cell(a, i, figure.quantity, _own(found, figure, units)) for a in tried),
        )
        for i, figure in enumerate(found.figures)
    ]
    for i, target in enumerate(found.targets):
        quantity = target.claim.figure.quantity
        step = "cycle" if target.over_cycle else target.step
        rows.append(
            (target.name, step, target.said(units),
             *(_result(a, i, quantity, units) for a in tried))
        )  # fmt: skip
    rows.append(("meets", "", "", *("yes" if a.good else "no" for a in tried)))
    return table("What each gives", columns, rows, ["(!) marks a target that is missed."])


def _head(attempt: Attempt) -> str:
    return attempt.name.removeprefix("next ").capitalize()


def _cell(attempt: Attempt, i: int, quantity: str, units: System) -> str:
    value = float(attempt.values[i])
    if attempt.sizes:
        text = attempt.sizes[i].text
        return text.split(" (")[0].split(" or ")[0]
    return "-" if np.isnan(value) else _fine(value, quantity, units)


def _result(attempt: Attempt, i: int, quantity: str, units: System) -> str:
    text = show(float(attempt.results[i]), quantity, units)
    return text if attempt.meets[i] else f"{text} (!)"


# ---- what stands in the way ---------------------------------------------------------------


def _write_binding(sheet: Sheet, binding: Binding, units: System) -> None:
    for missed in binding.missed:
        quantity = missed.target.claim.figure.quantity
        result = show(missed.result, quantity, units)
        sheet.paragraph(f"{_wanted(missed.target, units)}; best is {result}", "  - ", "    ")
        if missed.deaf:
            sheet.paragraph("it does not move with what is sought", "    ", "      ")
        if missed.limits:
            sheet.paragraph(f"at its limit there: {', '.join(missed.limits)}", "    ", "      ")
        levers = ", ".join(_lever(missed, lever) for lever in missed.levers)
        if levers:
            sheet.paragraph(f"what else moves it: {levers}", "    ", "      ")
    for figure, _ in binding.ends:
        sheet.paragraph(f"{figure} stands at the end of its range", "  - ", "    ")
    if binding.barred:
        sheet.paragraph(f"beyond: {binding.barred}", "  - ", "    ")


def _lever(missed: Missed, lever: Lever) -> str:
    """Say how a figure would have to change, and by how much it helps."""
    more = missed.result < missed.target.low
    way = "more" if (lever.share > 0.0) == more else "less"
    gain = figure_text(abs(lever.share), 2)
    return f"{lever.figure} (1 % {way}: {gain} % {'more' if more else 'less'})"


# ---- what else changes --------------------------------------------------------------------


def _write_other(sheet: Sheet, other: Comparison, name: str, units: System) -> None:
    if other.moves:
        rows = [
            (f"{m.name} {m.what}", m.step, show(m.before, m.quantity, units),
             show(m.after, m.quantity, units))
            for m in other.moves[:MOST_MOVES]
        ]  # fmt: skip
        left = len(other.moves) - MOST_MOVES
        notes = [f"{left} smaller moves are left out."] if left > 0 else []
        columns = (Column("Of"), Column("In"), Column("Text", "", True), Column("Then", "", True))
        sheet.table(table(f"What else moves most ({name})", columns, rows, notes))
    for caption, findings in (
        (f"Findings gained ({name})", other.gained), (f"Findings lost ({name})", other.lost),
    ):  # fmt: skip
        _write_findings(sheet, caption, findings)


def _write_findings(sheet: Sheet, caption: str, findings: Sequence[Finding]) -> None:
    if findings:
        sheet.table(findings_table(caption, findings))
