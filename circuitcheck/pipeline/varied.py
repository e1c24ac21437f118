"""Many variations of a circuit, and how its results change with its figures."""

from __future__ import annotations

from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from circuitcheck import __version__
from circuitcheck.basics.refusal import CircuitError
from circuitcheck.pipeline.understood import Understood

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from circuitcheck.basics.findings import Finding
    from circuitcheck.basics.quantities import System
    from circuitcheck.solver.sensitivity import Sensitivity
    from circuitcheck.solver.variations import Variations
    from circuitcheck.solver.work import Checked
    from circuitcheck.sweeps.run import Progress, Swept


class Varied(Understood):
    """What many variations of a circuit give."""

    @cached_property
    def _checked_ranges(self) -> set[Checked]:
        """What was found out about ranges of figures, for later calls."""
        return set()

    def vary(
        self,
        values: Mapping[str, Any],
        *,
        steps: Sequence[str] = (),
        results: Sequence[str] = (),
        grid: bool = False,
        random: int = 0,
        latin: int = 0,
        seed: int = 0,
        along: bool | None = None,
        chunk: int = 0,
    ) -> Variations:
        """Solve many variations of the circuit together.

        Parameters
        ----------
        values
            What varies, by name as the text gives it ("R1 set", "C1 load", "V1 opening",
            "oil temperature"): pint quantities, arrays in SI, or texts such as
            "50 to 300 bar, 10000 points". A figure that is also an order of steps is varied
            in every step that gives it.
        steps
            Names of the steps wanted; all if left out
        results
            Names of the results to keep ("C1 speed", "P1 P pressure", "heat"); needed where
            there are more variations than one chunk. If left out, any can be asked for.
        grid
            Take every value with every other instead of side by side
        random, seed
            Draw so many variations evenly from the ranges
        latin
            Draw so many as a Latin hypercube, which fills the ranges evenly with few
        along
            Whether neighbouring variations have nearly the same figures, so that one is
            solved from the other; found out if left out
        chunk
            Variations solved at a time, which bounds the memory; 0 is the usual number

        Raises
        ------
        CircuitError
            If the text is not understood, or something wanted is not there or cannot be.
        """
        from circuitcheck.solver.assignment import Wish
        from circuitcheck.solver.variations import CHUNK, vary

        wish = Wish(values, results, steps, grid, random, seed, along, latin)
        return vary(self.circuit, wish, chunk or CHUNK, self._checked_ranges)

    def sweep(
        self,
        target: str | Path,
        values: Mapping[str, Any],
        *,
        results: Sequence[str],
        chunk: int = 0,
        units: System | None = None,
        scheduler: str = "",
        progress: Progress | None = None,
        afresh: bool = False,
        **wanted: Any,
    ) -> Swept:
        """Solve many variations chunk by chunk into a file that ends in .csv or .parquet.

        ``values``, ``results`` and what else is ``wanted`` are as for `vary`. A run that was
        interrupted is continued: its finished chunks lie beside the target in "<target>.parts";
        ``afresh`` discards them. ``units``: "metric", "inch", "SI"; those of the text if left
        out. ``scheduler`` is the address of a Dask scheduler, whose workers then solve the
        chunks. ``progress`` is called with the numbers of variations done and in all.

        Raises `CircuitError` as `vary` does; `StoreError` (circuitcheck.sweeps.store) where the
        unfinished run is one of another sweep; `SpreadError` (circuitcheck.sweeps.spread) where
        the workers cannot do it; `OSError` where something cannot be written.
        """
        from circuitcheck.solver.assignment import Wish
        from circuitcheck.sweeps.run import CHUNK, sweep

        wish = Wish(values, results, **wanted)
        return sweep(
            self.circuit, wish, Path(target), chunk or CHUNK,
            self.circuit.units if units is None else units,
            scheduler, progress, afresh, __version__,
        )  # fmt: skip

    def sensitivities(
        self, result: str, figures: Sequence[str] = (), step: str = ""
    ) -> list[Sensitivity]:
        """Say how a result changes with figures, the one that counts most first.

        Parameters
        ----------
        result
            By its name as claims write it: "C1 speed", "P1 P pressure", "heat"
        figures
            By their names: "R1 set", "C1 load", "oil temperature", and in this order; if left
            out all that the text gives and the step orders
        step
            Name of the step; may be left out where there is only one

        Raises
        ------
        CircuitError
            If the text is not understood, or something asked for is not there.
        KeyError
            If there is no such step.
        ValueError
            If the step is not solved or has no slopes.
        """
        from circuitcheck.solver.sensitivity import asked

        findings: list[Finding] = []
        rows = asked(self.solve(), result, figures, step, findings)
        if findings:
            raise CircuitError(tuple(findings), "\n".join([result, *figures]))
        return rows

    def sensitivity(self, result: str, figure: str, step: str = "") -> Any:
        """Give d result / d figure as a pint quantity; raises as `sensitivities` does."""
        return self.sensitivities(result, (figure,), step)[0].quantity
