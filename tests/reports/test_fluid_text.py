"""Pages of fluids: every clause shown can be written, every figure has a source."""

from __future__ import annotations

import pytest

from circuitcheck.fluid.families import designations, families, fluid
from circuitcheck.pipeline import parse
from circuitcheck.reports import fluid_text
from circuitcheck.reports.terminal import Sheet

TEXT = 'circuit "oil"\noil {line}\nparts\n  T1 tank\n'


@pytest.mark.parametrize("clause", [clause for clause, _ in fluid_text.FORMS])
def test_every_clause_of_the_page_can_be_written(clause: str) -> None:
    assert parse(TEXT.format(line=clause)).circuit.oil is not None


@pytest.mark.parametrize("name", [*designations(), *families().values()])
def test_a_page_shows_every_figure_of_a_fluid_within_80_columns(name: str) -> None:
    page = Sheet()
    fluid_text.write_fluid(page, name)
    lines = page.text().splitlines()
    assert max(map(len, lines)) <= 80
    shown = {row for row, _, _ in fluid_text.FIGURES}
    assert set(fluid(name).figures) <= shown
    assert "Source" in page.text()


def test_the_list_names_every_designation() -> None:
    page = Sheet()
    fluid_text.write_fluids(page)
    assert max(map(len, page.text().splitlines())) <= 80
    for code in designations():
        assert f"  {code} " in page.text()
