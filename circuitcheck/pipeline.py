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
from circuitcheck.basics.findings import Finding, Severity, told_of_uses
from circuitcheck.basics.memory import uncollected
from circuitcheck.basics.places import Place
from circuitcheck.basics.refusal import CircuitError as CircuitError

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from circuitcheck.basics.quantities import System
    from circuitcheck.circuit import Circuit
    from circuitcheck.components import ComponentModule
    from circuitcheck.language import Text
    from circuitcheck.reports.page import Drawn
    from circuitcheck.reports.result import Result
    from circuitcheck.schematic import Drawing
    from circuitcheck.solver.operating import OperatingPoint, Solution
    from circuitcheck.solver.sensitivity import Sensitivity
    from circuitcheck.solver.variations import Variations
    from circuitcheck.sweeps.run import Progress, Swept
    from circuitcheck.symbols import SymbolModule


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
            findings, self.circuit.accepted, rules.catalogue(), found.not_checked
        )
        return replace(
            self._solved,
            findings=parted.open,
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

    def vary(
        self,
        values: Mapping[str, Any],
        *,
        steps: Sequence[str] = (),
        results: Sequence[str] = (),
        grid: bool = False,
        random: int = 0,
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

        wish = Wish(values, results, steps, grid, random, seed, along)
        return vary(self.circuit, wish, chunk or CHUNK)

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
