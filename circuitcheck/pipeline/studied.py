"""Studies of a circuit: variations on the screen, sizes that meet targets, spreads."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from circuitcheck.pipeline.understood import Understood

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from circuitcheck.basics.quantities import System
    from circuitcheck.circuit.variations import Question
    from circuitcheck.review.comparison import Comparison
    from circuitcheck.studies.sizing import Attempt, Sized
    from circuitcheck.studies.spread import Spread
    from circuitcheck.sweeps.gathered import Gathered
    from circuitcheck.sweeps.run import Progress


class Studied(Understood):
    """What is asked of a circuit beyond its operating points."""

    @property
    def questions(self) -> list[Question]:
        """The chapters ``variations`` of the text; raises `CircuitError` as ``circuit`` does."""
        return self.circuit.questions

    @property
    def usual_results(self) -> list[str]:
        """Names of the results that people ask for first."""
        from circuitcheck.studies.usual import usual_results

        return usual_results(self.circuit)

    def gather(
        self,
        values: Mapping[str, Any],
        *,
        results: Sequence[str] = (),
        chunk: int = 0,
        progress: Progress | None = None,
        **wanted: Any,
    ) -> Gathered:
        """Solve variations chunk by chunk and keep the results named, the usual ones if none.

        ``values`` and what else is ``wanted`` are as for `vary`; ``progress`` is called with the
        numbers of variations done and in all. Raises as `vary` does.
        """
        from circuitcheck.solver.assignment import Wish
        from circuitcheck.sweeps.gathered import gather

        wish = Wish(values, results or self.usual_results, **wanted)
        return gather(self.circuit, wish, chunk, progress)

    def size(
        self,
        figures: Mapping[str, str] | Sequence[str],
        targets: Sequence[str],
        units: System | None = None,
    ) -> Sized:
        """Find figures that meet targets, and what the standard sizes next to them give.

        Parameters
        ----------
        figures
            Names ("C1 bore"), or names with the range in which each is sought ("60 to 140 mm");
            without one it is a tenth to ten times what the text has
        targets
            As claims are written: "C1 speed 50 mm/s, in press", "P1 P pressure 180 bar, at
            most", "time 36 s, over the cycle", "oil temperature 55 degC, at most"
        units
            Those of sizes that no standard lists, which are rounded in them

        Raises
        ------
        CircuitError
            If the text is not understood, or something wanted is not there or cannot be
        """
        from circuitcheck.reports import studies_shown
        from circuitcheck.studies.sizing import size
        from circuitcheck.studies.targets import targets_of
        from circuitcheck.studies.wanted import wanted_figures

        studies_shown.sizing()
        circuit = self.circuit
        found = wanted_figures(circuit, figures)
        return size(circuit, found, targets_of(circuit, targets), units or circuit.units)

    def compared_with(self, sized: Sized, attempt: Attempt) -> Comparison:
        """Say what changes in results and findings with the figures of an attempt."""
        from circuitcheck import rules
        from circuitcheck.review.comparison import compare
        from circuitcheck.solver.solve import solve
        from circuitcheck.studies.trials import Trials

        circuit = Trials(self.circuit, sized.figures).at(attempt.values)
        solution = solve(circuit)
        findings = [*solution.findings, *rules.check_all(circuit, solution).findings]
        known = rules.check_all(self.circuit, self.solve()).findings
        before = (self.circuit, self.solve(), [*self.solve().findings, *known])
        return compare(before, (circuit, solution, findings))

    def spread(
        self,
        results: Sequence[str] = (),
        *,
        steps: Sequence[str] = (),
        off: Mapping[str, str] | None = None,
        only: bool = False,
        runs: int = 2000,
        seed: int = 0,
        bell: bool = False,
    ) -> Spread:
        """Draw figures within what they may be off, and give the bands of results.

        ``off`` says by how much ("R1 set": "3 %"), beside the usual or, with ``only``, alone;
        the rest is as `circuitcheck.studies.spread.spread` says. The usual ``results`` if none
        are named.
        """
        from circuitcheck.reports import studies_shown
        from circuitcheck.studies.spread import spread

        studies_shown.spread()
        wanted = results or self.usual_results
        found = spread(self.circuit, wanted, steps, off, runs, seed, bell, only)
        return replace(found, units=self.circuit.units)
