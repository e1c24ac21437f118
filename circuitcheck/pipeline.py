"""The chain from text to report; the only module that knows the order of the stages.

Every stage gives its result and its findings. A mistake in the text stops what needs the
missing thing and nothing else. Rooms are loaded when first needed, so that importing this
module costs nothing.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from circuitcheck import __version__
from circuitcheck.basics.carets import render
from circuitcheck.basics.findings import Finding, Severity, told_of_uses
from circuitcheck.basics.memory import uncollected
from circuitcheck.basics.places import Place

if TYPE_CHECKING:
    from collections.abc import Mapping

    from circuitcheck.basics.quantities import System
    from circuitcheck.circuit import Circuit
    from circuitcheck.components import ComponentModule
    from circuitcheck.language import Text
    from circuitcheck.reports.page import Drawn
    from circuitcheck.reports.result import Result
    from circuitcheck.schematic import Drawing
    from circuitcheck.solver.operating import OperatingPoint, Solution
    from circuitcheck.symbols import SymbolModule


class CircuitError(Exception):
    """A text that is not understood; ``findings`` say where and why, the message shows them."""

    def __init__(
        self, findings: tuple[Finding, ...], text: str, used: Mapping[str, str] | None = None
    ) -> None:
        texts = used or {}
        rendered = [render(finding, texts.get(finding.place.file, text)) for finding in findings]
        super().__init__("\n\n".join(rendered))
        self.findings = findings


class Project:
    """A circuit text with everything that can be made from it, each made once, on demand.

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
        from circuitcheck.solver.solve import solve

        return solve(self.circuit)

    @cached_property
    def _solved(self) -> Result:
        from circuitcheck.reports.result import Result

        if not self.understood:
            return Result(
                self.file, self.text, None, self.mistakes, version=__version__, texts=self.texts
            )
        return Result(
            file=self.file,
            text=self.text,
            circuit=self.circuit,
            findings=(*self.mistakes, *map(told_of_uses, self._solution.findings)),
            solution=self._solution,
            version=__version__,
            texts=self.texts,
        )

    @cached_property
    def _checked(self) -> Result:
        from circuitcheck import rules
        from circuitcheck.reports.claims import verdicts

        if not self.understood:
            return self._solved
        solution = self._solution
        with uncollected():
            found = rules.check_all(self.circuit, solution)
        return replace(
            self._solved,
            findings=tuple(
                dict.fromkeys((*self._solved.findings, *map(told_of_uses, found.findings)))
            ),
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


def _without_parts(read: Text) -> Finding:
    """Say that a text is empty, or lists nothing that could be checked."""
    return Finding(
        "no-parts",
        Severity.ERROR,
        "this text lists no parts",
        Place(read.file, 1, 1, 1, 2),
        "begin with a chapter 'parts' and a sentence such as:  T1  tank, 60 L",
    )


class Registration:
    """A kind of component of one's own that is in use; ``with`` ends it, as ``remove`` does."""

    def __init__(self, component: ComponentModule, symbol: SymbolModule) -> None:
        self._component, self._symbol = component, symbol

    def remove(self) -> None:
        """Take the kinds and their symbol away again."""
        from circuitcheck import components, symbols

        components.forget(self._component)
        symbols.forget(self._symbol)

    def __enter__(self) -> Registration:
        return self

    def __exit__(self, *_: object) -> None:
        self.remove()


def register(component: ComponentModule, symbol: SymbolModule) -> Registration:
    """Add kinds of component of one's own to language, solver, drawing and reference.

    Parameters
    ----------
    component
        A module (or an object) that exports ``KINDS`` as the modules of
        `circuitcheck.components` do
    symbol
        One that exports ``WORD`` or ``WORDS`` and ``draw`` as those of
        `circuitcheck.symbols` do, with the same words

    Raises
    ------
    ValueError
        If a word is taken, or the two do not have the same words.
    """
    from circuitcheck import components, symbols

    kinds = {word for kind in component.KINDS for word in (kind.word, *kind.other_words)}
    drawn = set(symbols.words_of(symbol))
    if kinds != drawn:
        missing = ", ".join(sorted(kinds ^ drawn))
        raise ValueError(f"component and symbol do not have the same words: {missing}")
    components.register(component)
    try:
        symbols.register(symbol)
    except ValueError:
        components.forget(component)
        raise
    return Registration(component, symbol)


def parse(text: str, file: str = "", folder: Path | None = None) -> Project:
    """Read a circuit from a text; mistakes are values, see `Project.mistakes`.

    ``folder`` is where files that the text uses are sought; without it there are none.
    """
    from circuitcheck.language import read

    with uncollected():
        return Project(*read(text, file, folder))


def open_file(path: str | Path) -> Project:
    """Read a circuit from a file as `parse` does; an unreadable file is a mistake, too."""
    from circuitcheck.language import read_file

    with uncollected():
        return Project(*read_file(path))


def load(path: str | Path) -> Project:
    """Read a circuit from a file.

    Raises
    ------
    CircuitError
        If the file cannot be read or the text is not understood; its message shows every
        mistake with its line.
    """
    project = open_file(path)
    if not project.understood:
        errors = [f for f in project.mistakes if f.severity is Severity.ERROR]
        raise CircuitError(tuple(errors), project.text, project.texts)
    return project
