"""Variants of a circuit, each a project of its own, and their comparison."""

from __future__ import annotations

from dataclasses import replace
from functools import cached_property
from typing import TYPE_CHECKING, Self

from circuitcheck.basics.findings import Severity
from circuitcheck.pipeline.understood import Understood

if TYPE_CHECKING:
    from collections.abc import Sequence

    from circuitcheck.reports.result import Result
    from circuitcheck.review.comparison import Comparison
    from circuitcheck.studies.side_by_side import SideBySide


class WithVariants(Understood):
    """The variants that a text describes."""

    @property
    def variants(self) -> dict[str, str]:
        """Names of the variants of the text, with their titles."""
        from circuitcheck.language.variants import variant_names

        return variant_names(self._read)

    @cached_property
    def _checked(self) -> Result:
        """What is found in the circuit, and what is wrong with its variants, as warnings."""
        base = super()._checked
        wrong = [
            replace(f, severity=Severity.WARNING, message=f"variant {name}: {f.message}")
            for name in self.variants
            for f in self.variant(name).mistakes
            if f.severity is Severity.ERROR
        ]
        return replace(base, findings=self._found((*base.findings, *wrong))) if wrong else base

    def variant(self, name: str) -> Self:
        """Give a variant as a project: what it gives, its findings, its drawing.

        Its mistakes are values, see `mistakes`. Raises ``KeyError`` where there is no such
        variant.
        """
        from circuitcheck.language.variants import with_variant

        text, findings = with_variant(self._read, name)
        return type(self)(text, findings)


def beside(
    projects: Sequence[Understood], names: Sequence[str], results: Sequence[str] = ()
) -> tuple[SideBySide, list[Comparison]]:
    """Set projects side by side: results step by step, and each compared with the first.

    ``results`` are names as claims write them; the usual ones of all if left out. Raises
    `CircuitError` where a text is not understood, or none has a result of that name.
    """
    from circuitcheck.review.comparison import compare
    from circuitcheck.studies.side_by_side import side_by_side

    table = side_by_side([project.solve() for project in projects], names, results)
    stages = [
        (project.circuit, project.solve(), list(project.check().findings)) for project in projects
    ]
    return table, [compare(stages[0], stage) for stage in stages[1:]]
