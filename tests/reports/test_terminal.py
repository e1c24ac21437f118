"""Tables for people: nothing wider than 80 columns, no figure broken or cut."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from circuitcheck.reports.figures import bare, percent
from circuitcheck.reports.tables import Column, Table, table
from circuitcheck.reports.terminal import NARROW, Sheet

WORD = st.text("abcdefgh", min_size=1, max_size=14)
FIGURE = st.floats(-99999, 99999).map(lambda number: f"{number:.4g}")


def drawn(made: Table, width: int = NARROW) -> str:
    sheet = Sheet(width)
    sheet.table(made)
    return sheet.text()


@st.composite
def tables(draw: st.DrawFn) -> Table:
    kinds = draw(st.lists(st.booleans(), min_size=1, max_size=12))
    columns = [Column("Name"), *(Column(draw(WORD), "bar", figures) for figures in kinds)]
    row = st.tuples(
        WORD,
        *(FIGURE if figures else st.lists(WORD, max_size=4).map(" ".join) for figures in kinds),
    )
    return table("Caption", columns, draw(st.lists(row, min_size=1, max_size=5)))


@settings(max_examples=60, deadline=None)
@given(made=tables())
def test_a_table_fits_and_keeps_every_figure_whole(made: Table) -> None:
    text = drawn(made)
    assert max(map(len, text.splitlines())) <= NARROW
    shown = text.split()
    for row in made.rows:
        for column, cell in zip(made.columns, row, strict=True):
            if column.figures:
                assert cell in shown


def test_a_wide_table_goes_on_below_with_its_first_column() -> None:
    steps = [f"step_{i:02}" for i in range(20)]
    wide = table("Pressures", [Column("At"), *(Column(s, "", True) for s in steps)],
                 [["P1 P", *(f"{i}.5" for i in range(20))]])  # fmt: skip
    text = drawn(wide)
    assert text.count("P1 P") > 1
    assert all(step in text for step in steps)


def test_a_column_without_content_is_left_out() -> None:
    made = table("T", [Column("A"), Column("B"), Column("C")], [["1", "", "2"], ["3", "", "4"]])
    assert [column.head for column in made.columns] == ["A", "C"]


def test_text_in_cells_is_not_taken_for_markup() -> None:
    made = table("T", [Column("A"), Column("B")], [["[bold]x[/bold]", ":smile:"]])
    assert "[bold]x[/bold]" in drawn(made)
    assert ":smile:" in drawn(made)


def test_colour_only_where_it_is_asked_for() -> None:
    plain, coloured = Sheet(), Sheet(colour=True)
    for sheet in (plain, coloured):
        sheet.paragraph("a finding", style="bold red")
    assert "\x1b[" not in plain.text()
    assert "\x1b[" in coloured.text()


@pytest.mark.parametrize(
    ("value", "quantity", "shown"),
    [
        (203.4e5, "pressure", "203"),
        (0.0, "pressure", "0"),
        (-900.0, "pressure", "-0.009"),
        (1e-9 / 6, "flow", "0"),
        (21.34e-3 / 60, "flow", "21.3"),
        (0.4, "power", "0"),
        (12345.0, "power", "12.3"),
        (math.nan, "pressure", "?"),
    ],
)
def test_figures_have_the_digits_that_a_workshop_can_use(
    value: float, quantity: str, shown: str
) -> None:
    assert bare(value, quantity, "metric") == shown


@given(st.floats(-1e9, 1e9))
def test_a_bare_figure_is_the_number_within_its_last_digit(value: float) -> None:
    bar = value / 1e5
    assert math.isclose(float(bare(value, "pressure", "metric")), bar, rel_tol=5e-3, abs_tol=6e-4)


def test_a_share_that_is_next_to_nothing_has_no_sign() -> None:
    assert percent(-1e-6) == "0 %"
    assert percent(0.7804) == "78 %"
