"""Published worked cases, written as circuits, against the figures in print.

Each case is a circuit text ``WE-nn.hyc`` (published) or ``C-nn.hyc`` (constructed here,
closed form); what is expected of it stands in ``expectations.toml``. Run as a program,
this file prints every figure beside its published value.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from circuitcheck.basics.quantities import read_unit, to_si
from circuitcheck.circuit import Circuit
from circuitcheck.pipeline import load
from circuitcheck.solver.operating import OperatingPoint, Solution

HERE = Path(__file__).parent
LEAST_PUBLISHED = 70
RECOMPUTED_WITHIN = "0.1 %"
EXPECTED: dict[str, Any] = tomllib.loads((HERE / "expectations.toml").read_text("utf-8"))
SOURCES: dict[str, str] = EXPECTED.pop("sources")


@dataclass(frozen=True)
class Row:
    """One figure of a case: where it is looked up and what it must be.

    ``of`` is "PART [PORT] WHAT", or two of them joined by " * ", " / " or " - "; the
    subjects ``oil``, ``step`` and ``circuit`` stand beside the parts. Without a step the
    figure is summed over all steps.
    """

    case: str
    step: str
    of: str
    expected: str
    within: str

    def __str__(self) -> str:
        return f"{self.case} {self.of}{f' in {self.step}' if self.step else ''}"

    def tolerance(self) -> float:
        """Allowed difference in SI."""
        number, unit = split(self.within)
        if unit == "%":
            return number / 100.0 * abs(si(self.expected))
        found = read_unit(unit) if unit else None
        return number * (found.factor if found else 1.0)


def split(text: str) -> tuple[float, str]:
    number, _, unit = text.partition(" ")
    return float(number), unit


def si(text: str) -> float:
    number, unit = split(text)
    if not unit:
        return number
    found = read_unit(unit)
    assert found is not None, f"{unit} is not a unit"
    return to_si(number, found)


@cache
def solved(case: str) -> Solution:
    solution = load(HERE / f"{case}.hyc").solve()
    assert solution.solved, [finding.message for finding in solution.findings]
    return solution


def _figure(circuit: Circuit, point: OperatingPoint, words: list[str]) -> float:
    subject, *more = words
    what = more[-1] if more else ""
    if subject == "oil":
        return float(
            {
                "viscosity": point.nu,
                "dynamic viscosity": point.nu * point.rho,
                "density": point.rho,
                "index": circuit.oil.viscosity_index if "index" in what else 0.0,
            }[" ".join(more)]
        )
    if subject == "circuit":
        return float(getattr(point.totals, what))
    if subject == "step":
        assert point.duration is not None
        return point.duration
    part = point.parts[subject]
    if more[0] in part.ports and what in ("pressure", "flow"):
        return float(getattr(part.ports[more[0]], what))
    return part.values[" ".join(more)]


def computed(row: Row) -> float:
    """Give the figure of a row in SI."""
    solution = solved(row.case)
    points = [solution.step(row.step)] if row.step else solution.points
    total = 0.0
    for point in points:
        for mark in (" * ", " / ", " - "):
            if mark in row.of:
                left, right = (
                    _figure(solution.circuit, point, side.split()) for side in row.of.split(mark)
                )
                total += {" * ": left * right, " / ": left / right, " - ": left - right}[mark]
                break
        else:
            total += _figure(solution.circuit, point, row.of.split())
    return total


def rows(key: str) -> list[Row]:
    """Give all rows that have ``key``: "published", "recomputed", "exact" or "is"."""
    found = []
    for case, entry in EXPECTED.items():
        for figure in entry["figures"]:
            if key in figure:
                within = figure.get("within", entry["within"])
                if key == "recomputed":
                    within = RECOMPUTED_WITHIN
                found.append(Row(case, figure.get("in", ""), figure["of"], figure[key], within))
    return found


@pytest.mark.parametrize("row", rows("published"), ids=str)
def test_published_figure(row: Row) -> None:
    assert computed(row) == pytest.approx(si(row.expected), rel=0, abs=row.tolerance())


@pytest.mark.parametrize("row", rows("recomputed"), ids=str)
def test_recomputed_figure(row: Row) -> None:
    """Same inputs, exact arithmetic: the book's rounding taken away."""
    assert computed(row) == pytest.approx(si(row.expected), rel=0, abs=row.tolerance())


@pytest.mark.parametrize("row", rows("exact"), ids=str)
def test_constructed_figure(row: Row) -> None:
    """Closed form of cases made up here; not published."""
    assert computed(row) == pytest.approx(si(row.expected), rel=0, abs=row.tolerance())


@pytest.mark.parametrize("row", rows("is"), ids=str)
def test_state(row: Row) -> None:
    part = row.of.removesuffix(" state")
    assert solved(row.case).step(row.step).parts[part].state == row.expected


def test_every_circuit_has_expectations_and_a_source() -> None:
    assert {path.stem for path in HERE.glob("*.hyc")} == set(EXPECTED)
    for case, entry in EXPECTED.items():
        assert entry["topic"]
        assert case.startswith("C-") or entry["source"].split()[0] in SOURCES, case


def test_enough_published_cases_stand() -> None:
    standing = {row.case for row in rows("published") if "wider" not in EXPECTED[row.case]}
    assert len(standing) >= LEAST_PUBLISHED


def table() -> None:
    """Print every figure with its difference from the expected one."""
    for key in ("published", "recomputed", "exact"):
        for row in rows(key):
            try:
                found, wanted = computed(row), si(row.expected)
            except (AssertionError, KeyError) as error:
                print(f"{row!s:44} {error!s:.200}")
                continue
            off = (found - wanted) / wanted if wanted else found
            mark = "" if abs(found - wanted) <= row.tolerance() else "  <-- outside"
            print(f"{row!s:44} {row.expected:>16} {key:10} {100 * off:+8.3f} % {row.within}{mark}")


if __name__ == "__main__":
    table()
