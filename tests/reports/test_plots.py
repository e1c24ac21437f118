"""Pictures of curves: the same bytes for the same data, units, greyscale, names that are clear."""

from __future__ import annotations

import re
import sys
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from circuitcheck.pipeline import Project, load
from circuitcheck.reports.plots import FORMS, NoPlotsError, charts, fields, flows, picture, style
from circuitcheck.studies.chart import Axis, Chart, Curve, Mark

EXAMPLES = Path(__file__).parents[2] / "examples"
BEGINS = {"svg": b"<?xml", "png": b"\x89PNG", "pdf": b"%PDF"}


@pytest.fixture(scope="module")
def press() -> Project:
    return load(EXAMPLES / "press.hyc")


@pytest.mark.parametrize("form", FORMS)
def test_the_same_data_give_the_same_bytes(press: Project, form: str) -> None:
    chart = press.curves("speed", "C1")
    once, again = (picture(chart, "metric", form) for _ in range(2))
    assert once == again
    assert once.startswith(BEGINS[form])
    assert not re.search(rb"20\d\d-\d\d-\d\dT|CreationDate", once)


@pytest.mark.parametrize(
    ("what", "name"),
    [("pump", "P1"), ("drop", "V1"), ("speed", "C1"), ("efficiency", "P1"), ("power", ""),
     ("energy", ""), ("heat", ""), ("warming", "")],
)  # fmt: skip
def test_every_kind_is_drawn(press: Project, what: str, name: str) -> None:
    drawn = press.plot(what, name)
    assert drawn.startswith(b"<?xml")
    assert b"<title>" in drawn or b"dc:title" in drawn
    assert len(drawn) > 5_000


def words(figure: Any) -> list[str]:
    return [text.get_text() for axes in figure.axes for text in axes.texts]


def test_axes_have_the_units_of_the_text(press: Project) -> None:
    chart = press.curves("pump", "P1")
    assert isinstance(chart, Chart)
    with style.ours():
        axes = charts.drawn(chart, "metric").axes[0]
        assert axes.get_xlabel() == "Pressure [bar]"
        assert axes.get_ylabel() == "Flow [L/min]"
        inch = charts.drawn(chart, "inch").axes[0]
    assert inch.get_xlabel() == "Pressure [psi]"
    assert inch.get_xlim()[1] == pytest.approx(axes.get_xlim()[1] * 14.5038, rel=1e-3)


def test_lines_differ_without_colour() -> None:
    x = np.linspace(0.0, 1e-3, 20)
    lines = tuple(Curve(f"line {i}", x, 1e5 * (i + 1) * x * 1e3) for i in range(5))
    chart = Chart("t", Axis("flow", "flow"), Axis("drop", "pressure"), lines)
    with style.ours():
        axes = charts.drawn(chart, "metric").axes[0]
    dashes = {str(line._dash_pattern) for line in axes.lines[:5]}
    assert len(dashes) == 5
    assert {f"line {i}" for i in range(5)} <= set(words(axes.figure))


def overlaps(figure: Any) -> list[tuple[str, str]]:
    """Texts of the first axes that lie on each other."""
    renderer = figure.canvas.get_renderer()
    boxes = [(t.get_text(), t.get_window_extent(renderer)) for t in figure.axes[0].texts]
    return [
        (a, b)
        for i, (a, one) in enumerate(boxes)
        for b, other in boxes[i + 1 :]
        if one.shrunk(0.96, 0.9).overlaps(other.shrunk(0.96, 0.9))
    ]


@pytest.mark.parametrize("what", ["pump P1", "speed C1", "drop V1", "heat"])
def test_names_do_not_lie_on_each_other(press: Project, what: str) -> None:
    kind, _, name = what.partition(" ")
    with style.ours():
        figure = charts.drawn(press.curves(kind, name), "metric")
        figure.canvas.draw()
        assert overlaps(figure) == []


def test_energy_bands_are_as_wide_as_their_power(press: Project) -> None:
    duty = press.duty()
    with style.ours():
        figure = flows.drawn(duty, "metric")
        figure.canvas.draw()
        assert overlaps(figure) == []
    told = " ".join(words(figure))
    assert "useful at C1" in told
    assert "100 %" in told
    trunk = figure.axes[0].patches
    left = next(p for p in trunk if np.min(p.get_path().vertices[:, 0]) < -0.4)
    edges = left.get_path().vertices[:, 1]
    assert np.ptp(edges) == pytest.approx(1.0)


@pytest.mark.parametrize("example", ["travel_drive", "anchor_winch", "tool_bank", "lift"])
def test_names_of_energy_bands_stand_clear(example: str) -> None:
    with style.ours():
        figure = flows.drawn(load(EXAMPLES / f"{example}.hyc").duty(), "metric")
        figure.canvas.draw()
        assert overlaps(figure) == []


def test_long_times_are_told_in_minutes_or_hours() -> None:
    x = np.linspace(0.0, 3600.0, 20)
    chart = Chart("t", Axis("time", "time"), Axis("oil", "temperature"), (Curve("o", x, x / 60),))
    with style.ours():
        assert charts.drawn(chart, "metric").axes[0].get_xlabel() == "Time [min]"


def test_a_point_without_a_line_is_drawn() -> None:
    nothing = np.array([np.nan, np.nan])
    chart = Chart("t", Axis("flow", "flow"), Axis("drop", "pressure"),
                  (Curve("none", nothing, nothing),), (Mark("p", 1e-3, 1e5),))  # fmt: skip
    assert picture(chart, "metric").startswith(b"<?xml")


def test_maps_have_lines_of_equal_efficiency(press: Project) -> None:
    field = press.curves("efficiency", "P1")
    with style.ours():
        figure = fields.drawn(field, "metric")
    assert any("%" in text for text in words(figure))


def test_without_matplotlib_this_is_said(press: Project, monkeypatch: pytest.MonkeyPatch) -> None:
    chart = press.curves("speed", "C1")
    monkeypatch.setitem(sys.modules, "matplotlib", None)
    with pytest.raises(NoPlotsError, match=r"circuitcheck\[plots\]"):
        picture(chart, "metric")
