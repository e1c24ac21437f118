"""The start-up card: order of the first start, settings, expected readings, cautions."""

from __future__ import annotations

from collections.abc import Sequence

from circuitcheck.basics.quantities import System, number_in, show, unit_label
from circuitcheck.reports.diagnosis import drains_table
from circuitcheck.reports.result import Result
from circuitcheck.reports.tables import Column, Table, figures, table
from circuitcheck.reports.terminal import Sheet
from circuitcheck.review.case_drain import CaseDrain
from circuitcheck.review.expected import Expected, bands
from circuitcheck.review.ladder import SETTING, Rung
from circuitcheck.review.start_up import Point


def write_card(
    sheet: Sheet, result: Result, points: Sequence[Point], rungs: Sequence[Rung],
    readings: Sequence[Expected], drains: Sequence[CaseDrain], units: System,
) -> None:  # fmt: skip
    """Write the whole card; what is still wrong with the circuit stands at its head."""
    from circuitcheck.reports import findings_text

    circuit = result.circuit
    title = circuit.title if circuit is not None else result.file
    sheet.line()
    sheet.paragraph(f"Start-up card: {title}", style="bold")
    if circuit is not None:
        sheet.paragraph(f"Issue {circuit.issue or '-'}; oil {circuit.oil.name}")
    sheet.paragraph(f"Findings of the check: {findings_text.count_line(result)}")
    sheet.section("In this order")
    for number, point in enumerate(points, 1):
        sheet.paragraph(f"{number}. {point.title}. {point.text}", "  ", "     ")
    settings = [rung for rung in rungs if rung.sort == SETTING]
    if settings:
        sheet.table(settings_table(settings, units))
    sheet.table(readings_table(readings, units))
    sheet.paragraph(bands_line(), "  ", "  ")
    if drains:
        sheet.table(drains_table(drains, units))
    findings_text.write_cautions(sheet, result, whole=True)


def bands_line() -> str:
    """Say what the bands of the readings rest on."""
    return (
        f"Bands rest on: {'; '.join(str(one['text']) for one in bands().values())}; the class "
        "of the meter. Common practice, no source."
    )


def settings_table(rungs: Sequence[Rung], units: System) -> Table:
    """Give the settings from low to high, with room for a tick."""
    return table(
        "Settings, to be made from the lowest to the highest",
        (figures("Set to", "pressure", units), Column("Of"), Column("Done"), Column("Order")),
        (
            (
                f"{number_in(rung.pressure, 'pressure', units):.1f}",
                f"{', '.join(rung.of)} {rung.what}",
                "[ ]",
                "".join(f"WRONG: {slug} " for slug in rung.wrong).strip(),
            )
            for rung in rungs
        ),
    )


def readings_table(readings: Sequence[Expected], units: System) -> Table:
    """Give a line per step and meter, with room for what was read."""
    return table(
        "Expected readings",
        (
            Column("Step"),
            Column("Oil", "", True),
            Column("Read at"),
            Column("Shows", "", True),
            Column("From", "", True),
            Column("To", "", True),
            Column("Unit"),
            Column("Read"),
            Column("Band set by"),
        ),
        (
            (
                one.step,
                show(one.oil_degC, "temperature", units),
                one.meter if one.fits else f"gauge at {one.meter}",
                *(_number(value, one.quantity, units) for value in (one.value, one.low, one.high)),
                unit_label(one.quantity, units),
                "____",
                one.why,
            )
            for one in readings
        ),
        ["A dash: nothing decides this reading, or the step could not be solved."],
    )


def _number(value: float, quantity: str, units: System) -> str:
    return "-" if value != value else f"{number_in(value, quantity, units):.1f}"  # NaN
