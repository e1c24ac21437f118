"""A circuit text with its operating points and findings."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from circuitcheck import __version__
from circuitcheck.basics.findings import Finding, Severity, told_of_uses
from circuitcheck.basics.memory import uncollected
from circuitcheck.basics.places import Place
from circuitcheck.basics.refusal import CircuitError

if TYPE_CHECKING:
    from circuitcheck.circuit import Circuit
    from circuitcheck.language import Text
    from circuitcheck.reports.found import Findings
    from circuitcheck.reports.result import Result
    from circuitcheck.solver.operating import OperatingPoint, Solution
    from circuitcheck.studies.cycle import NoDutyError
    from circuitcheck.studies.duty import Duty


class Understood:
    """A circuit text, its operating points and findings, each made once, on demand.

    Attributes
    ----------
    file : str
        Name of the file, as findings print it; empty for a text without a file
    text : str
        The text as it was read
    mistakes : tuple of Finding
        What is wrong, or worth saying, about the text itself
    texts : dict of str
        Texts of the files that it uses, by the names that findings print
    """

    def __init__(self, read: Text, mistakes: list[Finding]) -> None:
        from circuitcheck.circuit import build

        circuit, more = build(read)
        self._read = read
        self.file = read.file
        self.text = read.source
        self.texts = dict(read.used)
        self.mistakes = (*mistakes, *more)
        if circuit is not None and not circuit.parts:
            self.mistakes += (_without_parts(read),)
        self._circuit = circuit

    @property
    def understood(self) -> bool:
        """Whether the text has no mistakes of severity error."""
        wrong = any(finding.severity is Severity.ERROR for finding in self.mistakes)
        return self._circuit is not None and not wrong

    @property
    def circuit(self) -> Circuit:
        """The circuit that the text describes.

        Raises
        ------
        CircuitError
            If the text is not understood.
        """
        if self._circuit is None or not self.understood:
            errors = [f for f in self.mistakes if f.severity is Severity.ERROR]
            raise CircuitError(tuple(errors), self.text, self.texts)
        return self._circuit

    @property
    def graph(self) -> Any:
        """The circuit as a `networkx.MultiGraph` of parts and junctions."""
        return self.circuit.graph

    @cached_property
    def _solution(self) -> Solution:
        from circuitcheck.reports import notebook
        from circuitcheck.solver.solve import solve

        notebook.forms()
        return solve(self.circuit)

    @cached_property
    def _day(self) -> Duty | NoDutyError:
        """The duty cycle as nobody asked for it otherwise, or why it cannot be followed."""
        from circuitcheck.studies.cycle import NoDutyError
        from circuitcheck.studies.duty import duty

        try:
            return duty(self.circuit, steps=self._solution.answer)
        except NoDutyError as problem:
            return problem

    def _found(self, findings: Iterable[Finding]) -> Findings:
        """Findings with the texts that they speak of."""
        from circuitcheck.reports.found import Findings

        return Findings(findings, {self.file: self.text, **self.texts})

    @cached_property
    def _solved(self) -> Result:
        from circuitcheck.reports import notebook
        from circuitcheck.reports.result import Result

        notebook.forms()
        if not self.understood:
            return Result(
                self.file, self.text, None, self._found(self.mistakes),
                version=__version__, texts=self.texts,
            )  # fmt: skip
        return Result(
            file=self.file,
            text=self.text,
            circuit=self.circuit,
            findings=self._found((*self.mistakes, *map(told_of_uses, self._solution.findings))),
            solution=self._solution,
            version=__version__,
            texts=self.texts,
        )

    @cached_property
    def _checked(self) -> Result:
        from circuitcheck import rules
        from circuitcheck.basics.project_limits import project_limits
        from circuitcheck.reports.claims import verdicts
        from circuitcheck.review import accepting

        if not self.understood:
            return self._solved
        solution = self._solution
        limits, wrong = project_limits(Path(self.file).parent) if self.file else ({}, [])
        with uncollected():
            found = rules.check_all(self.circuit, solution, limits)
        findings = dict.fromkeys(
            (*self._solved.findings, *wrong, *map(told_of_uses, found.findings))
        )
        parted = accepting.part(
            findings, self.circuit.accepted, rules.explained(), found.not_checked
        )
        return replace(
            self._solved,
            findings=self._found(parted.open),
            accepted=parted.accepted,
            not_checked=tuple(found.not_checked),
            claims=verdicts(self.circuit, solution),
        )

    def solve(self) -> Solution:
        """Give the operating points of all steps; raises `CircuitError` as ``circuit`` does."""
        return self._solution

    def solved(self) -> Result:
        """Give the operating points with the findings of text and solver, rules not asked."""
        return self._solved

    def check(self) -> Result:
        """Give findings, claims and everything else that reports are made from."""
        return self._checked

    def point(self, step: str) -> OperatingPoint:
        """Give the operating point of a step; ``KeyError`` where there is no such step."""
        return self._solution.step(step)


def _without_parts(read: Text) -> Finding:
    """Say that a text is empty, or lists nothing that could be checked."""
    return Finding(
        "no-parts",
        Severity.ERROR,
        "this text lists no parts",
        Place(read.file, 1, 1, 1, 2),
        "begin with a chapter 'parts' and a sentence such as:  T1  tank, 60 L",
    )
