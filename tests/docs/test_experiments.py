"""The notebook of six experiments runs, shows what it should, and its answers are true."""

from __future__ import annotations

import json
import os
import re
from pathlib import Path
from typing import Any

import pytest

nbformat = pytest.importorskip("nbformat")
NotebookClient = pytest.importorskip("nbclient").NotebookClient

NOTEBOOK = Path(__file__).resolve().parents[2] / "examples" / "notebook" / "six_experiments.ipynb"

pytestmark = pytest.mark.xdist_group("notebook")


@pytest.fixture(scope="module")
def run(project: Path) -> list[Any]:
    """Its cells of code after they were run, in the notebook's own folder."""
    book = nbformat.read(NOTEBOOK, as_version=4)
    client = NotebookClient(
        book, timeout=300, kernel_name="python3",
        resources={"metadata": {"path": str(NOTEBOOK.parent)}},
    )  # fmt: skip
    client.execute(env={**os.environ, "PYTHONPATH": str(project)})
    return [cell for cell in book.cells if cell.cell_type == "code"]


def outputs(cells: list[Any], source: str) -> dict[str, str]:
    """What the cell shows in whose source this stands, by kind; ``text`` is what it printed."""
    (cell,) = [cell for cell in cells if source in cell.source]
    shown = {"text": "".join(output.get("text", "") for output in cell.outputs)}
    for output in cell.outputs:
        shown.update(output.get("data", {}))
    return shown


def rows(cells: list[Any], source: str) -> list[list[float]]:
    """Numbers of the table that a cell shows, line by line, without the row's own number."""
    table = re.findall(r"<tr>\s*<th>\d+</th>(.*?)</tr>", outputs(cells, source)["text/html"], re.S)
    return [[float(n) for n in re.findall(r"<td>(-?[\d.]+)</td>", row)] for row in table]


def test_it_is_stored_without_what_it_showed() -> None:
    book = json.loads(NOTEBOOK.read_text("utf-8"))
    nbformat.validate(nbformat.from_dict(book))
    assert [c for c in book["cells"] if c["cell_type"] == "code" and c["outputs"]] == []
    assert [c for c in book["cells"] if c.get("execution_count")] == []
    assert NOTEBOOK.stat().st_size < 20_000
    said = "\n".join("".join(c["source"]) for c in book["cells"] if c["cell_type"] == "markdown")
    questions = re.findall(r"^## (\d)\.", said, re.M)
    assert questions == list("123456")
    assert "Never feel for a leak" in said


def test_the_load_makes_the_pressure_until_the_relief_opens(run: list[Any]) -> None:
    table = rows(run, "load = press.vary")
    ratios = [cap / load for load, cap, *_ in table]
    assert ratios == pytest.approx([ratios[0]] * 6, rel=0.03)
    speeds = [row[3] for row in table]
    assert min(speeds[:5]) > 0.9 * speeds[0]
    assert speeds[5] < 0.6 * speeds[0]
    said = outputs(run, "press.why")["text"]
    assert "R1 (relief, open)" in said.splitlines()[1]


def test_a_bigger_bore_takes_pressure_and_speed(run: list[Any]) -> None:
    table = {row[0]: row for row in rows(run, "bore = press.vary")}
    assert table[80.0][2] == 0.0
    assert table[100.0][1] / table[160.0][1] == pytest.approx((160 / 100) ** 2, rel=0.03)
    assert table[100.0][2] / table[160.0][2] == pytest.approx((160 / 100) ** 2, rel=0.05)


def test_the_relief_makes_the_heat_at_the_end_stop(run: list[Any]) -> None:
    names = re.findall(r"<td>([A-Z]\d)</td>", outputs(run, "heat = press.tables")["text/html"])
    assert names[:2] == ["P1", "R1"]
    shown = outputs(run, '.step("squeeze")')["text/html"]
    assert "brought in" in shown
    assert "Before you put your hands on a machine" in shown


def test_only_a_flow_control_behind_the_cylinder_holds_a_load_that_pulls(run: list[Any]) -> None:
    printed = outputs(run, "forms |=")["text"]
    found = re.findall(r"^(.*?)\s+([\d.]+) mm/s\s+([\d.]+) mm/s", printed, re.M)
    assert len(found) == 4
    for title, plane, run_out in found:
        assert (float(run_out) > 10 * float(plane)) is ("behind" not in title)


def test_hot_oil_makes_it_slower_and_takes_less_power(run: list[Any]) -> None:
    table = rows(run, "oil = press.vary")
    for column in (1, 2, 3):
        values = [row[column] for row in table]
        assert values == sorted(values, reverse=True)


def test_without_the_relief_the_pump_is_found_unprotected(run: list[Any]) -> None:
    shown = outputs(run, "cc.parse(")["text/html"]
    for slug in ("nothing-limits-pressure", "unprotected-pump"):
        assert f"[{slug}]" in shown
    listed = outputs(run, "without_relief.findings.to_pandas")["text/html"]
    assert "unprotected-pump" in listed


def test_circuits_and_curves_are_shown_as_pictures(run: list[Any]) -> None:
    for source in ('cc.load(EXAMPLES / "press.hyc")', "planer.draw", "press.plot"):
        assert "<svg" in outputs(run, source)["image/svg+xml"]
