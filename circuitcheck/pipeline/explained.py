"""Why a result is what it is."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from circuitcheck.basics.refusal import CircuitError
from circuitcheck.pipeline.understood import Understood

if TYPE_CHECKING:
    from circuitcheck.basics.findings import Finding
    from circuitcheck.studies.why import Why


class Explained(Understood):
    """What explains the figures of a circuit."""

    def why(self, result: str, step: str = "") -> Why:
        """Say why a result is what it is: what sets it, and the walk from there to the figure.

        Parameters
        ----------
        result
            By its name as claims write it, with blanks or points: "C1 speed", "P1.P.pressure",
            "heat"
        step
            Name of the step; may be left out where there is only one

        Returns
        -------
        Why
            ``verdict`` in words, ``limits`` the parts that set it, ``reason`` the tree of
            formulas with their figures [SI], ``movers`` the figures that move it most

        Raises
        ------
        CircuitError
            If the text is not understood, or there is no such result.
        KeyError
            If there is no such step.
        """
        from circuitcheck.reports import studies_shown
        from circuitcheck.studies.why import spoken, why

        findings: list[Finding] = []
        found = why(self.solve(), result, step, findings)
        if found is None:
            raise CircuitError(tuple(findings), spoken(result, self.circuit))
        studies_shown.why()
        return replace(found, units=self.circuit.units)
