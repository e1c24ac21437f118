"""The duty cycle of a circuit, and the curves of its parts."""

from __future__ import annotations

from typing import TYPE_CHECKING

from circuitcheck.basics.shown import DrawnBytes
from circuitcheck.pipeline.understood import Understood

if TYPE_CHECKING:
    from circuitcheck.basics.quantities import System
    from circuitcheck.studies.chart import Chart, Field
    from circuitcheck.studies.duty import Duty


class Daily(Understood):
    """What a circuit does all day, and what its parts could do."""

    def duty(
        self,
        *,
        hold: float | None = None,
        oil: float | None = None,
        metal: float = 0.0,
        pieces: int = 0,
    ) -> Duty:
        """Follow the duty cycle until nothing changes: energy, loads, heat of the oil.

        Parameters
        ----------
        hold
            Oil temperature for which cooler and tank are sized [degC]; that of the text if
            left out
        oil
            Oil temperature of the figures [degC]; where it settles if left out
        metal
            Steel that warms with the oil [kg]
        pieces
            Pieces in which every step is followed; 0: four where there are stores, else one

        Raises
        ------
        CircuitError
            If the text is not understood.
        circuitcheck.studies.cycle.NoDutyError
            If there are no steps with a time, or one cannot be solved.
        """
        from circuitcheck.reports import studies_shown
        from circuitcheck.studies.cycle import NoDutyError
        from circuitcheck.studies.duty import duty

        studies_shown.duty()
        if hold is None and oil is None and metal == 0.0 and pieces == 0:
            if isinstance(self._day, NoDutyError):
                raise self._day
            return self._day
        known = self._solution.answer
        return duty(self.circuit, hold=hold, oil=oil, metal=metal, pieces=pieces, steps=known)

    def curves(
        self, what: str, name: str = "", *, step: str = "", way: str = ""
    ) -> Chart | Field | Duty:
        """Give a curve as data, arrays in SI.

        Parameters
        ----------
        what
            "pump", "drop", "speed" or "efficiency" of a part; "power", "energy", "heat" or
            "warming" of the cycle
        name
            The part
        step
            Only this step (speed)
        way
            Only this way through the part, such as "P-A" (drop)

        Raises
        ------
        CircuitError
            If the text is not understood.
        circuitcheck.studies.chart.NoCurveError
            If there is no such curve.
        circuitcheck.studies.cycle.NoDutyError
            If there is no cycle to make it of.
        """
        from circuitcheck.studies.curves import curves

        return curves(self.solve(), what, name, step, way, self.duty)

    def curve_names(self) -> list[str]:
        """Give the words that ask for each curve of this circuit: "pump P1", "drop V1"."""
        from circuitcheck.studies.curves import curve_names

        return list(curve_names(self.circuit))

    def plot(
        self, what: str, name: str = "", *, form: str = "svg", step: str = "", way: str = "",
        units: System | None = None,
    ) -> DrawnBytes:  # fmt: skip
        """Draw a curve as "svg", "png" or "pdf"; raises as `curves`, and `NoPlotsError`.

        It is the bytes of a file, which a notebook shows as a picture.
        """
        from circuitcheck.reports.plots import picture

        found = self.curves(what, name, step=step, way=way)
        return DrawnBytes(picture(found, self.circuit.units if units is None else units, form))
