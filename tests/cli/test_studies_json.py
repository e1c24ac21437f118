"""``size``, ``spread`` and ``variants`` for programs: SI, with the unit in every key."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from circuitcheck.basics.quantities import SI_NAME
from circuitcheck.pipeline import load

Run = Callable[..., Any]

BARE = {"version", "seed", "runs", "unsolved", "chosen", "solved", "percent_per_percent",
        "line", "column", "end_line", "end_column"}  # fmt: skip
"""Keys of numbers that are counts, places, or say what they are themselves."""


def keys(data: Any, under: str = "") -> Iterator[tuple[str, Any]]:
    """Give all keys with what stands under them, also in lists."""
    if isinstance(data, dict):
        for key, value in data.items():
            yield key, value
            yield from keys(value, key)
    elif isinstance(data, list):
        for value in data:
            if isinstance(value, float):
                yield under, value
            yield from keys(value, under)


def read(answer: Any, project: Path) -> Any:
    """Read an answer; see that its figures bear units and that its keys are described."""
    data = json.loads(answer.out)
    told = (project / "circuitcheck" / "reports" / "json_format.md").read_text(encoding="utf-8")
    assert f"# {data['format'].removeprefix('circuitcheck-').title()}: {data['format']}" in told
    units = tuple(f"_{name}" for name in set(SI_NAME.values()))
    for key, value in keys(data):
        number = isinstance(value, float) or (isinstance(value, int) and value is not True)
        if number and not isinstance(value, bool) and key not in BARE:
            assert key.endswith(units), key
    plain = {key for key, value in keys(data) if not key.endswith(units)}
    words = set(re.findall(r"\w+", told))
    names = {circuit["name"] for circuit in data.get("circuits", ())}
    assert plain <= words | names
    return data


@pytest.fixture
def press(project: Path) -> Path:
    return project / "examples" / "press.hyc"


def test_a_size_in_si(circuitcheck: Run, press: Path, project: Path) -> None:
    said = ("size", press, "--find", "C1 bore = 60 to 200 mm", "--target",
            "P1 P pressure 160 bar, in press, at most")  # fmt: skip
    answer = circuitcheck(*said, "--format", "json", "--units", "inch")
    assert answer.status == 0
    data = read(answer, project)
    assert data["feasible"]
    chosen = data["standard"][data["chosen"]]
    assert chosen["values"] == [{"figure": "C1 bore", "value_m": 0.11, "size": "110 mm"}]
    (result,) = chosen["results"]
    assert result["meets"]
    assert result["value_Pa"] < data["targets"][0]["most_Pa"] == 160e5
    assert data["targets"][0]["least_Pa"] is None
    assert data["exact"]["values"][0]["value_m"] == pytest.approx(0.105, abs=1e-3)
    assert any(finding["slug"] == "rod-buckling" for finding in data["changes"]["gained"])
    assert data["in_the_way"] == {"missed": [], "at_end_of_range": [], "barred": ""}


def test_what_stands_in_the_way(circuitcheck: Run, press: Path, project: Path) -> None:
    answer = circuitcheck("size", press, "--find", "C1 bore", "--target",
                          "C1 speed 60 mm/s, in press", "--format", "json")  # fmt: skip
    assert answer.status == 1
    data = read(answer, project)
    assert not data["feasible"]
    assert data["chosen"] is None
    assert data["changes"] is None
    (missed,) = data["in_the_way"]["missed"]
    assert missed["best_m_per_s"] == pytest.approx(0.0517, rel=1e-2)
    assert "R1 open" in missed["limits"]
    levers = {lever["figure"]: lever["percent_per_percent"] for lever in missed["levers"]}
    assert levers["R1 set"] == pytest.approx(1.6, abs=0.05)  # as the text says it


def test_a_spread_in_si(circuitcheck: Run, press: Path, project: Path) -> None:
    answer = circuitcheck("spread", press, "--runs", "200", "--result", "P1 P pressure",
                          "--step", "squeeze", "--format", "json")  # fmt: skip
    assert answer.status == 0
    data = read(answer, project)
    (band,) = data["bands"]
    found = load(press).spread(["P1 P pressure"], steps=["squeeze"], runs=200).bands[0]
    assert band["mean_Pa"] == pytest.approx(found.mean)
    order = [band[f"{name}_Pa"] for name in ("least", "low", "mean", "high", "most")]
    assert order == sorted(order)
    assert band["carried_by"][0]["name"] == "R1 set"
    assert band["carried_by"][0]["runs_1"] > 0.99
    off = {row["figure"]: row for row in data["off"]}
    assert off["R1 set"]["off_Pa"] == pytest.approx(0.05 * off["R1 set"]["value_Pa"])
    assert off["oil temperature"]["off_K"] == 10.0


def test_variants_in_si(circuitcheck: Run, project: Path) -> None:
    planer = project / "examples" / "planer.hyc"
    answer = circuitcheck("variants", planer, "--result", "C1 speed", "--format", "json")
    assert answer.status == 0
    data = read(answer, project)
    names = [circuit["name"] for circuit in data["circuits"]]
    assert names == ["as issued", "meter_in", "bleed_off", "swinging"]
    row = next(r for r in data["results"] if (r["result"], r["step"]) == ("C1 speed", "plane"))
    whole = load(planer)
    own = [whole, *(whole.variant(name) for name in names[1:])]
    speeds = [one.point("plane").parts["C1"].values["speed"] for one in own]
    assert row["values_m_per_s"] == pytest.approx(speeds)
    first = data["compared"][0]
    assert (first["name"], first["against"]) == ("meter_in", "as issued")
    gained = [finding["slug"] for finding in first["gained"]]
    assert "meter-in-on-overrunning-load" in gained
    changed = {one["name"]: one["changes"] for one in data["compared"]}
    added = [change["name"] for change in changed["bleed_off"] if change["sort"] == "added"]
    assert added == ["bleed"]
