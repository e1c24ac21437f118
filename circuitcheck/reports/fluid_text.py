"""What is known of fluids: how the oil's line is written, the kinds, the figures of each."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.quantities import figure_text, show
from circuitcheck.fluid.families import USUAL, Fluid, designations, families, fluid
from circuitcheck.reports.tables import Column, Table, table
from circuitcheck.reports.terminal import MARGIN, Sheet

FORMS = (
    ("ISO VG 46", "viscosity grade, mineral oil unless a kind is said"),
    ("HLP 46", "kind and grade; also HFC, ISO VG 46"),
    ("HFA 95/5", "a kind without grades"),
    ("VI 150", "viscosity index; also viscosity index 150"),
    ("32 cSt at 40 degC", "in place of the grade, with an index or at two temperatures"),
    ("at 50 degC", "temperature in the steps that say no other"),
    ("870 kg/m3 at 15 degC", "density"),
    ("air 0.5 %", "undissolved air, share of the volume at no pressure; 0 unless said"),
    ("bulk modulus 15000 bar", "without air; then the same at all pressures"),
    ("specific heat 1.95 kJ/(kg K)", "of the fluid"),
    ("viscosity 16 to 36 cSt", "window that is wanted in every step"),
)
"""Clauses of the oil's line and what they mean."""

FIGURES = (
    ("density_15", "density at 15 degC", "density"),
    ("expansion", "expansion with heat [1/K]", ""),
    ("bulk_modulus", "bulk modulus without air, 50 degC, no pressure", "pressure"),
    ("bulk_per_pressure", "its growth with pressure [Pa/Pa]", ""),
    ("bulk_per_kelvin", "its change with temperature [1/K]", ""),
    ("barus", "growth of viscosity with pressure [1/Pa]", ""),
    ("specific_heat", "specific heat", "specific_heat"),
    ("conductivity", "conductivity of heat [W/(m K)]", ""),
    ("viscosity_index", "viscosity index", "count"),
    ("viscosity_20", "viscosity at 20 degC [cSt]", ""),
    ("viscosity_50", "viscosity at 50 degC [cSt]", ""),
    ("vapour_pressure", "vapour pressure at 50 degC, absolute", "pressure"),
    ("coldest", "coldest in the tank", "temperature"),
    ("hottest", "hottest in the tank", "temperature"),
    ("pressure_share", "share of the rating of pumps for oil", "share"),
    ("inlet_least", "least pressure at the inlet of a pump", "pressure"),
)
"""Figures of a family: name in the table, in words, quantity; bare where it has none."""


def write_fluids(sheet: Sheet) -> None:
    """Write how the oil's line is written and which fluids there are."""
    sheet.heading("oil")
    sheet.paragraph("The oil's line names the fluid, clause by clause: oil HLP 46, at 50 degC.")
    sheet.table(table("Clauses", (Column("Write"), Column("Meaning")), FORMS))
    named = [fluid(code) for code in designations()]
    sheet.table(
        table(
            "By letters",
            (Column("Letters"), Column("Is"), Column("Family"), Column("Standard")),
            ((f.code, f.words, families()[f.family], f.standard) for f in named),
            ["Standards not read; the letters are from memory. Figures: explain HLP."],
        )
    )


def write_fluid(sheet: Sheet, name: str) -> None:
    """Write the figures of a fluid with their sources."""
    kind = fluid(name)
    sheet.heading(name)
    named = f"{kind.words[:1].upper()}{kind.words[1:]}"
    sheet.paragraph(f"{named} ({kind.standard})." if kind.standard else f"{named}.")
    sheet.table(_figures(kind))
    codes = [code for code in designations() if fluid(code).family == kind.family]
    if kind.family != USUAL or not kind.code:
        sheet.section("Named by")
        sheet.paragraph(", ".join([families()[kind.family], *codes]), MARGIN, MARGIN)


def _figures(kind: Fluid) -> Table:
    return table(
        "Figures",
        (Column("Figure"), Column("Taken"), Column("Source")),
        _rows(kind),
        ["What the oil's line says wins."],
    )


def _rows(kind: Fluid) -> Iterator[tuple[str, str, str]]:
    for name, words, quantity in FIGURES:
        found = kind.get(name)
        if found is not None:
            shown = show(found.value, quantity) if quantity else figure_text(found.value)
            yield words, shown, found.source
    fit, unfit, source = kind.seals
    yield "seals that stand it", ", ".join(fit), source
    yield "seals that do not", ", ".join(unfit), source
