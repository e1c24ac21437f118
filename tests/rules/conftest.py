"""Pages of the rules: each ``SLUG.md`` is prose with circuits, and a test of its rule.

In a block of circuit text the comment ``# finds: slug`` marks the line that must be found;
the page fails on a missing and on an unexpected finding of its own slug. What is found weighs
what it usually does, unless the mark says otherwise: ``# finds: slug (warning)``. A block headed
``hyc, without V1 T`` loses that port after it is read (the language refuses open ports);
``hyc, unsolved`` is checked without operating points; ``hyc, power off in out`` with a step in
which power is lost by the calculation.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from circuitcheck import circuit, language, rules
from circuitcheck.basics.findings import Finding, Severity
from circuitcheck.basics.unit_table import QUANTITIES
from circuitcheck.circuit.model import End
from circuitcheck.solver.operating import Solution
from circuitcheck.solver.solve import solve

BLOCK = re.compile(r"^```hyc(?P<about>[^\n]*)\n(?P<text>.*?)^```$", re.M | re.S)
MARK = re.compile(r"#\s*finds:\s*([a-z0-9, ()-]+)")


class PageBlock(pytest.Item):
    """One circuit of a page."""

    def __init__(self, *, text: str, about: str, line: int, slug: str, **rest: object) -> None:
        super().__init__(**rest)  # type: ignore[arg-type]
        self.text, self.about, self.line, self.slug = text, about, line, slug

    def runtest(self) -> None:
        made, solution = self.solved()
        self.judge(rules.check_all(made, solution))

    def solved(self) -> tuple[circuit.Circuit, Solution | None]:
        """Give the circuit as the head of the block wants it, with its operating points."""
        text, mistakes = language.read(self.text, self.path.name)
        made, refused = circuit.build(text)
        told = "\n".join(f"{m.place.line + self.line}: {m.message}" for m in [*mistakes, *refused])
        assert made is not None, f"the circuit was not understood:\n{told}"
        open_port = re.search(r"without (\S+) (\S+)", self.about)
        if open_port:
            _take_off(made, *open_port.groups())
        solution = None if "unsolved" in self.about else solve(made)
        spoilt = re.search(r"power off in (\S+)", self.about)
        if solution is not None and spoilt:
            _spoil(solution, spoilt[1])
        return made, solution

    def judge(self, report: rules.Report) -> None:
        """Compare what was found with the marks of the block."""
        found = {(f.slug, f.place.line) for f in report.all_findings()}
        marked = set(self.marks())
        others = {slug for slug, _ in marked} | {self.slug}
        missing, extra = marked - found, {f for f in found if f[0] in others} - marked
        told = [f"line {n + self.line}: {slug} is missing" for slug, n in sorted(missing)]
        told += [f"line {n + self.line}: {slug} was not expected" for slug, n in sorted(extra)]
        told += [f"  {f.slug} ({f.step}): {f.message}" for f in report.all_findings()]
        wrong = missing | extra
        assert not wrong, "\n".join(told)
        for slug, line, severity in self._said():
            weighs = {
                f.severity.value for f in report.all_findings()
                if (f.slug, f.place.line) == (slug, line)
            }  # fmt: skip
            assert weighs == {severity}, f"line {line + self.line}: {slug} is {weighs}"
        for finding in report.all_findings():
            holds_together(finding)

    def marks(self) -> Iterator[tuple[str, int]]:
        """Slug and line of what must be found."""
        for slug, line, _ in self._said():
            yield slug, line

    def _said(self) -> Iterator[tuple[str, int, str]]:
        for number, row in enumerate(self.text.splitlines(), start=1):
            mark = MARK.search(row)
            for one in mark[1].split(",") if mark else ():
                slug, _, other = one.strip().partition(" ")
                usual = rules.catalogue()[slug].severity.value
                yield slug, number, other.strip("()") or usual

    def repr_failure(self, excinfo: pytest.ExceptionInfo[BaseException]) -> str:  # type: ignore[override]
        return (
            str(excinfo.value) if excinfo.errisinstance(AssertionError) else str(excinfo.getrepr())
        )

    def reportinfo(self) -> tuple[Path, int, str]:
        return self.path, self.line, self.name


def holds_together(finding: Finding) -> None:
    """What a rule says is a sentence, and what it rests on are figures that can be shown."""
    assert isinstance(finding.message, str), finding.slug
    assert isinstance(finding.severity, Severity), finding.slug
    assert "None" not in finding.message, finding.message
    for number in finding.numbers:
        assert number.name[:1].islower(), f"{finding.slug}: '{number.name}' is no trade word"
        assert math.isfinite(number.value), f"{finding.slug}: {number.name}"
        assert number.quantity in QUANTITIES, f"{finding.slug}: {number.name}"
    for note in finding.notes:
        assert note.place.line, f"{finding.slug}: {note.message}"


def _take_off(made: circuit.Circuit, part: str, port: str) -> None:
    end = End(part, port)
    junction = next(one for one in made.junctions.values() if end in one.ends)
    junction.ends.remove(end)


def _spoil(solution: Solution, step: str) -> None:
    """Let 5 % of the power of a step be unaccounted for."""
    solution.points[:] = [
        replace(point, power_error=0.05) if point.step.name == step else point
        for point in solution.points
    ]


class Page(pytest.File):
    """A page of a rule; ``slug`` is its name."""

    def collect(self) -> Iterator[PageBlock]:
        text = self.path.read_text(encoding="utf-8")
        slug = self.path.stem
        assert f"# finds: {slug}" in text, f"no block of {self.path.name} is marked '{slug}'"
        for block in BLOCK.finditer(text):
            line = text[: block.start()].count("\n") + 1
            name = f"line {line}"
            yield PageBlock.from_parent(
                self, name=name, text=block["text"], about=block["about"], line=line, slug=slug
            )


def pytest_collect_file(parent: pytest.Collector, file_path: Path) -> Page | None:
    if file_path.suffix == ".md" and file_path.parent == Path(__file__).parent:
        return Page.from_parent(parent, path=file_path)
    return None
