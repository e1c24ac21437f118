"""The schematic of a circuit and the report with it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from circuitcheck.pipeline.understood import Understood

if TYPE_CHECKING:
    from circuitcheck.basics.quantities import System
    from circuitcheck.reports.page import Drawn
    from circuitcheck.schematic import Drawing


class Pictured(Understood):
    """The forms in which a circuit is shown."""

    def draw(self, step: str = "") -> str:
        """Give the schematic as SVG, with the values of a step where one is named and solved.

        Raises
        ------
        CircuitError
            If the text is not understood.
        KeyError
            If there is no such step.
        circuitcheck.schematic.NotDrawable
            If no drawing without faults was found.
        """
        return self._drawing(step).svg()

    def _drawing(self, step: str) -> Drawing:
        from circuitcheck import schematic

        circuit = self.circuit
        point = self.point(step) if step else None
        netlist = schematic.from_circuit(circuit, point if point and point.success else None)
        rows = [f"issue {circuit.issue}"] if circuit.issue else []
        rows += [f"step {step}"] if step else []
        return schematic.draw(netlist, circuit.title, tuple(rows))

    def report(self, form: str = "html", units: System | None = None) -> str:
        """Give the whole report as ``"html"``, ``"text"`` or ``"json"``.

        ``units`` is "metric", "inch" or spellings by quantity; those of the text if left out.
        """
        from circuitcheck import reports

        result = self.check()
        if form == "html":
            return reports.as_html(result, self._drawings(), units)
        if form == "text":
            return reports.as_text(result, units)
        if form == "json":
            return reports.as_json(result)
        raise ValueError(f"a report is 'html', 'text' or 'json', not '{form}'")

    def _drawings(self) -> list[Drawn]:
        """Schematics of all steps; where there is none, the reason in its place."""
        from circuitcheck.reports.page import Drawn
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
