"""The schematic of a circuit and the report with it."""

from __future__ import annotations

from collections.abc import Collection
from typing import TYPE_CHECKING

from circuitcheck.basics.shown import DrawnText
from circuitcheck.pipeline.understood import Understood

if TYPE_CHECKING:
    from circuitcheck.basics.quantities import System
    from circuitcheck.reports.page_blocks import Drawn
    from circuitcheck.schematic import Drawing, Extra
    from circuitcheck.studies.duty import Duty


class Pictured(Understood):
    """The forms in which a circuit is shown."""

    def draw(self, step: str = "", extras: Collection[Extra] = (), paper: str = "") -> DrawnText:
        """Give the schematic as SVG, with the values of a step where one is named and solved.

        It is a text that a notebook shows as a picture.

        ``extras`` are of "colours" and "positions" (of the step), "steps" and "parts" (tables),
        "links" (to lines of the text) and "short" (forms of pump controls). ``paper`` fits it
        to a framed sheet: "A3, landscape", or "fit" for the smallest that holds it.

        Raises
        ------
        CircuitError
            If the text is not understood.
        KeyError
            If there is no such step.
        circuitcheck.schematic.NotDrawable
            If no drawing without faults was found.
        ValueError
            If there is no such sheet of paper.
        """
        return DrawnText(self._drawing(step, extras).svg(paper))

    def _drawing(self, step: str, extras: Collection[Extra] = ()) -> Drawing:
        from circuitcheck import schematic

        circuit = self.circuit
        point = self.point(step) if step else None
        netlist = schematic.from_circuit(
            circuit, point if point and point.success else None, extras
        )
        return schematic.draw(netlist, circuit.title)

    def report(
        self,
        form: str = "html",
        units: System | None = None,
        *,
        numbers: str = "folded",
        paper: str = "",
    ) -> str:
        """Give the whole report as ``"html"``, ``"text"`` or ``"json"``.

        ``units`` is "metric", "inch" or spellings by quantity; those of the text if left out.
        Of the page: what says how each number was made (``numbers``) is "folded", "open" or
        "left out"; ``paper`` is "A4" or "letter" where it shall be fitted to one of them.
        """
        from circuitcheck import reports

        result = self.check()
        if form == "html":
            return reports.as_html(result, self._drawings(), units, numbers, paper, self._cycle())
        if form == "text":
            return reports.as_text(result, units)
        if form == "json":
            return reports.as_json(result)
        raise ValueError(f"a report is 'html', 'text' or 'json', not '{form}'")

    def report_pdf(
        self, units: System | None = None, *, numbers: bool = False, paper: str = "A4"
    ) -> bytes:
        """Give the whole report as PDF; what says how numbers were made only where asked for.

        Raises
        ------
        circuitcheck.reports.page_pdf.PdfMissingError
            If the extra ``pdf`` is not installed.
        """
        from circuitcheck import reports

        shown = "open" if numbers else "left out"  # paper cannot be unfolded
        return reports.as_pdf(self.report("html", units, numbers=shown, paper=paper))

    def _cycle(self) -> Duty | str | None:
        """The duty cycle, why it cannot be followed, or None where no step has a time."""
        from circuitcheck.studies.cycle import NoDutyError, timed

        if not self.understood or not any(map(timed, self.circuit.steps)):
            return None
        return str(self._day) if isinstance(self._day, NoDutyError) else self._day

    def _drawings(self) -> list[Drawn]:
        """Schematics of all steps; where there is none, the reason in its place."""
        from circuitcheck.reports.page_blocks import Drawn
        from circuitcheck.schematic import NotDrawable

        if not self.understood:
            return []
        drawn = []
        for point in self._solution:
            name = point.step.name
            try:
                drawing = self._drawing(name)
            except NotDrawable as problem:
                drawn.append(Drawn(name, "", f"No sound drawing was found: {problem}."))
            else:
                drawn.append(Drawn(name, drawing.svg(), " ".join(drawing.notices)))
        return drawn
