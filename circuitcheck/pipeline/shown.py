"""How a circuit shows itself in a notebook, and its tables."""

from __future__ import annotations

from typing import TYPE_CHECKING

from circuitcheck.pipeline.drawn import Pictured

if TYPE_CHECKING:
    from circuitcheck.reports.found import Findings
    from circuitcheck.reports.tables import Table


class InNotebook(Pictured):
    """A circuit shows its schematic; a text that is not understood shows what is wrong."""

    def _repr_svg_(self) -> str | None:
        from circuitcheck.schematic import NotDrawable

        if not self.understood:
            return None
        try:
            return self.draw()
        except NotDrawable:
            return None

    def _repr_html_(self) -> str | None:
        """What there is instead of a schematic; None where there is one."""
        from circuitcheck.reports import notebook

        if not self.understood:
            return notebook.result(self.check()).html
        return None if self._repr_svg_() else notebook.solution(self.solve()).html

    @property
    def findings(self) -> Findings:
        """What is found in the circuit; a list that shows itself, and gives `to_pandas`."""
        return self.check().findings

    def tables(self, step: str = "") -> dict[str, Table]:
        """Give the tables of the report by their captions, or those of one step.

        Each shows itself in a notebook, and gives a ``pandas.DataFrame`` with `to_pandas`.

        Raises
        ------
        CircuitError
            If the text is not understood.
        KeyError
            If there is no such step.
        """
        from circuitcheck.reports import tables_of

        self.solve()
        return tables_of(self.check(), step)
