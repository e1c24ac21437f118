"""Thresholds that a circuit or a project sets, and the circuits that ``explain`` shows."""

from __future__ import annotations

from pathlib import Path

import pytest

from circuitcheck import circuit, language, rules
from circuitcheck.basics.project_limits import project_limits
from circuitcheck.pipeline import load
from circuitcheck.rules._pages import circuits

TEXT = """\
circuit "small tank"
oil ISO VG 46, at 45 degC
parts
  T1  tank, 25 L
  P1  pump, fixed, 16 cc/rev, 1450 rpm
  R1  relief, set 180 bar
lines
  from T1 to P1 S
  from P1 P to R1 P
  from R1 T to T1
cycle
  step idle, 5 s
"""
SLUG = "tank-small"


def found(text: str, **limits: object) -> list[str]:
    read, mistakes = language.read(text, "x.hyc")
    built, wrong = circuit.build(read)
    assert built is not None
    assert [*mistakes, *wrong] == []
    from circuitcheck.solver.solve import solve

    report = rules.check_all(built, solve(built), **limits)  # type: ignore[arg-type]
    return [f.message for f in report.all_findings() if f.slug == SLUG]


def test_the_circuit_sets_a_threshold_and_the_message_says_so() -> None:
    assert "default limit" in found(TEXT)[0]
    assert found(TEXT + "limits\n  tank-small stationary 0.5 min\n") == []
    assert "limit of this circuit" in found(TEXT + "limits\n  tank_small stationary 4 min\n")[0]


@pytest.mark.parametrize(
    ("row", "slug"),
    [
        ("tank-smal stationary 2 min", "unknown-rule"),
        ("tank-small minutes 2 min", "unknown-limit"),
        ("tank-small stationary 2 bar", "unit-wrong"),
        ("tank-small stationary 2", "unit-wrong"),
        ("tank-small stationary", "clause-unread"),
    ],
)
def test_a_wrong_threshold_is_told_where_it_stands(row: str, slug: str) -> None:
    read, _ = language.read(f"{TEXT}limits\n  {row}\n", "x.hyc")
    _, wrong = circuit.build(read)
    assert [(f.slug, f.place.line) for f in wrong] == [(slug, len(TEXT.splitlines()) + 2)]


@pytest.mark.parametrize(
    ("name", "head"),
    [("circuitcheck.toml", "limits"), ("pyproject.toml", "tool.circuitcheck.limits")],
)
def test_the_project_sets_a_threshold_and_the_circuit_wins(
    tmp_path: Path, name: str, head: str
) -> None:
    (tmp_path / name).write_text(f'[{head}.tank-small]\nstationary = "0.5 min"\n', "utf-8")
    inside = tmp_path / "drawings"
    inside.mkdir()
    limits, wrong = project_limits(inside)
    assert wrong == []
    assert found(TEXT, limits=limits) == []
    own = TEXT + "limits\n  tank-small stationary 4 min\n"
    assert "limit of this circuit" in found(own, limits=limits)[0]
    file = inside / "x.hyc"
    file.write_text(TEXT, "utf-8")
    assert SLUG not in {f.slug for f in load(file).check().findings}


@pytest.mark.parametrize(
    "row",
    [
        '[limits.tank-smal]\nstationary = "1 min"',
        '[limits.tank-small]\nminutes = "1 min"',
        '[limits.tank-small]\nstationary = "1 bar"',
        '[limits.tank-small]\nstationary = "soon"',
        "[limits\n",
    ],
)
def test_a_wrong_project_file_is_an_error_by_name(tmp_path: Path, row: str) -> None:
    (tmp_path / "circuitcheck.toml").write_text(row, "utf-8")
    limits, wrong = project_limits(tmp_path)
    assert not any(limits.values())
    assert [f.slug for f in wrong] == ["project-limits-wrong"]
    assert "circuitcheck.toml" in wrong[0].message


@pytest.mark.parametrize("slug", rules.catalogue())
def test_the_circuits_that_explain_shows_are_read(slug: str) -> None:
    for text in circuits(slug):
        _, mistakes = language.read(text, "x.hyc")
        assert mistakes == [] or not text
        assert max(map(len, text.splitlines()), default=0) <= 80
