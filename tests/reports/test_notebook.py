"""How circuits, operating points, findings and tables show themselves in a notebook."""

from __future__ import annotations

import builtins
import math
import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from lxml import etree, html

from circuitcheck.basics.frames import PandasMissingError
from circuitcheck.basics.shown import DrawnText
from circuitcheck.pipeline import Project, load, parse
from circuitcheck.solver.frames import points_frame
from circuitcheck.solver.operating import Solution

PRESS = Path(__file__).resolve().parents[2] / "examples" / "press.hyc"
WITHOUT_RELIEF = """\
parts
  T1  tank, 60 L
  E1  electric motor, 11 kW, 1450 rpm
  P1  pump, fixed, 16 cc/rev, driven by E1
  V1  valve 4/3, closed centre, lever, spring centred, 60 L/min at 6 bar
  C1  cylinder, bore 80 mm, rod 45 mm, stroke 400 mm
lines
  from T1 to P1 S
  from P1 P to V1 P
  from V1 A to C1 cap
  from V1 B to C1 rod
  from V1 T to T1
cycle
  step out, V1 at a, C1 load 20 kN
"""


@pytest.fixture(scope="module")
def press() -> Project:
    return load(PRESS)


def shown(thing: object) -> Any:
    """The piece of HTML as a tree; it must be well-formed on its own."""
    text = thing._repr_html_()  # type: ignore[attr-defined]
    assert text is not None
    etree.fromstring(text)
    return html.fromstring(text)


def words(thing: object) -> str:
    return " ".join(" ".join(shown(thing).xpath("//text()[not(parent::style)]")).split())


def test_a_circuit_shows_its_schematic(press: Project) -> None:
    picture = press._repr_svg_()
    assert picture == press.draw()
    assert etree.fromstring(picture.encode()).tag.endswith("svg")
    assert press._repr_html_() is None  # a notebook would take it instead of the picture


def test_a_drawing_of_a_step_and_a_curve_show_themselves(press: Project) -> None:
    drawn = press.draw("press", ["colours"])
    assert isinstance(drawn, DrawnText)
    assert drawn._repr_svg_() == str(drawn)
    curve = press.plot("pump", "P1", form="png")
    assert curve._repr_png_() == bytes(curve)
    assert curve._repr_svg_() is None
    as_svg = press.plot("pump", "P1")
    assert "<svg" in str(as_svg._repr_svg_())
    assert as_svg._repr_png_() is None


def test_a_text_that_is_not_understood_shows_what_is_wrong() -> None:
    wrong = parse("parts\n  P1  pump, fixd\n", "my.hyc")
    assert wrong._repr_svg_() is None
    told = words(wrong)
    assert "a pump has no 'fixd'" in told
    assert "P1 pump, fixd | ^^^^" in told
    assert "did you mean 'fixed'?" in told


def test_operating_points_are_shown_with_units_and_cautions(press: Project) -> None:
    whole = words(press.solve())
    assert "Pomace cake press" in whole
    assert "Step idle" in whole
    assert "Step back" in whole
    assert re.search(r"Input kW .* press [\d.]+ 7\.67", whole)
    assert "held by leakage" in whole
    step = words(press.point("press"))
    assert "7.67 kW brought in, 5.99 kW useful, 1.69 kW lost as heat" in step
    for told in (whole, step):
        assert "Before you put your hands on a machine" in told
        assert "Never feel for a leak" in told


def test_operating_points_are_shown_in_the_units_of_the_text() -> None:
    inch = parse(PRESS.read_text("utf-8").replace("units   bar, L/min, mm/s, kN, kW",
                                                  "units   psi, gpm, in/s, lbf, hp"))  # fmt: skip
    assert "Flow gpm" in words(inch.point("press"))
    assert "hp brought in" in words(inch.point("press"))
    units = set(inch.solve().to_pandas()["unit"])
    assert {"psi", "gpm", "hp"} <= units
    assert not {"bar", "L/min", "kW"} & units


def test_findings_are_shown_with_line_reason_and_remedy() -> None:
    project = parse(WITHOUT_RELIEF, "my.hyc")
    for thing in (project.findings, project.check().findings, project.check()):
        told = words(thing)
        assert "[unprotected-pump]" in told
        assert "| P1 pump, fixed, 16 cc/rev, driven by E1" in told
        assert "why:" in told
        assert "do:" in told
    count = sum(one.severity.value == "error" for one in project.findings)
    assert count
    assert f"{count} error" in words(project.check())


def test_no_findings_is_not_shown_as_safety(press: Project) -> None:
    none = press.findings.only(lambda finding: False)
    assert words(none) == "No findings. That does not mean that the machine is safe."


def test_what_people_write_is_not_taken_for_html() -> None:
    project = parse(f'circuit "<script>alert(1)</script>"\n{WITHOUT_RELIEF}')
    for thing in (project.solve(), project.check()):
        text = thing._repr_html_()
        assert text is not None
        assert "<script>" not in text
        assert "&lt;script&gt;" in text


def as_text(thing: Any) -> str:
    return str(pytest.importorskip("IPython.lib.pretty").pretty(thing))


def test_without_a_browser_the_same_stands_in_80_columns(press: Project) -> None:
    step = as_text(press.point("press"))
    assert "7.67 kW brought in, 5.99 kW useful, 1.69 kW lost as heat" in step
    whole = as_text(press.solve())
    assert re.search(r"Step press\n=+\n", whole)
    assert "stored-energy-after-stop" in as_text(press.findings)
    for said in (step, whole, as_text(press.check())):
        assert "Never feel for a leak" in said
        assert max(map(len, said.splitlines())) <= 80
    assert as_text(press.draw()).startswith("an SVG drawing")


def test_studies_show_what_the_command_line_prints(press: Project) -> None:
    answers = {
        "gives all the oil it can": press.why("C1 speed", "press"),
        "Load of the drives": press.duty(),
        "Sizing of C1 bore": press.size(["C1 bore"], ["C1 speed 40 mm/s, in press"]),
        "What carries the spread": press.spread(["C1 speed"], steps=["press"], runs=50),
    }
    for expected, answer in answers.items():
        assert expected in words(answer)
        assert expected in " ".join(as_text(answer).split())


def test_nothing_is_fetched(press: Project) -> None:
    for thing in (press.solve(), press.check(), press.point("press")):
        assert not re.search(r"https?:|\bsrc=|@import|url\(", str(thing._repr_html_()))


def test_a_step_without_an_operating_point_shows_no_figures(press: Project) -> None:
    point = replace(press.point("press"), success=False, message="R1 does not balance")
    assert words(point) == "Step press Not solved: R1 does not balance."
    assert not shown(point).findall(".//table")
    rows = points_frame(Solution(press.circuit, [point]), "metric")
    assert rows["value"].isna().all()
    assert set(rows["state"]) == {"not solved"}


# ---- pandas ---------------------------------------------------------------------------


def test_all_figures_as_a_frame_agree_with_the_points(press: Project) -> None:
    rows = press.solve().to_pandas()
    speed = rows[(rows["step"] == "press") & (rows["part"] == "C1") & (rows["what"] == "speed")]
    assert list(speed["unit"]) == ["mm/s"]
    point = press.point("press")
    assert speed["value"].item() == pytest.approx(1e3 * point["C1"].values["speed"])
    cap = rows[(rows["part"] == "C1") & (rows["what"] == "cap pressure")].set_index("step")
    assert cap.loc["press", "trust"] == "computed"
    assert cap.loc["idle", "trust"] == "held by leakage"
    heat = rows[(rows["what"] == "loss") & (rows["step"] == "squeeze")]["value"].sum()
    assert heat == pytest.approx(1e-3 * press.point("squeeze").totals.loss, rel=1e-6)


def test_findings_as_a_frame() -> None:
    rows = parse(WITHOUT_RELIEF, "my.hyc").findings.to_pandas()
    guilty = rows[rows["rule"] == "unprotected-pump"]
    assert list(guilty["severity"]) == ["error"]
    assert list(guilty["line"]) == [4]
    assert list(guilty["part"]) == ["P1"]


def test_tables_as_frames(press: Project) -> None:
    tables = press.tables()
    assert {"Steps", "Pressures, bar", "Parts", "Where the heat is made"} <= set(tables)
    steps = tables["Steps"].to_pandas()
    assert steps.loc[steps["Step"] == "press", "Input [kW]"].item() == pytest.approx(7.67)
    assert "C1" in list(press.tables("press")["Drives, pumps, actuators"].to_pandas()["Part"])
    pressures = tables["Pressures, bar"].to_pandas()
    assert "~" in "".join(pressures["idle"])  # a mark is not lost on the way to a number
    assert pressures["press"].dtype == float
    with pytest.raises(KeyError):
        press.tables("no such step")


def test_variations_as_a_frame(press: Project) -> None:
    varied = press.vary({"R1 set": "100 to 250 bar, 4 points"}, results=["C1 speed"])
    rows = varied.to_pandas()
    assert list(rows.columns) == ["step", "R1 set [bar]", "C1 speed [mm/s]", "solved"]
    out = rows[rows["step"] == "press"]
    assert list(out["R1 set [bar]"]) == [100.0, 150.0, 200.0, 250.0]
    expected = 1e3 * varied.si("C1 speed")[varied.steps.index("press")]
    assert list(out["C1 speed [mm/s]"]) == pytest.approx(expected.tolist())
    one = press.vary({"R1 set": "100 to 250 bar, 4 points"}, steps=["press"])
    assert list(one.to_pandas("C1 force", units="inch").columns) == [
        "R1 set [psi]", "C1 force [lbf]", "solved"
    ]  # fmt: skip
    with pytest.raises(KeyError):
        one.to_pandas("C1 nonsense")


def test_without_pandas_it_is_said_how_to_get_it(
    press: Project, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = builtins.__import__

    def without(name: str, *rest: Any) -> Any:
        if name == "pandas":
            raise ImportError(name)
        return real(name, *rest)

    monkeypatch.setattr(builtins, "__import__", without)
    with pytest.raises(PandasMissingError, match=r"pip install 'circuitcheck\[notebook\]'"):
        press.tables()["Steps"].to_pandas()
    assert not math.isnan(press.point("press").totals.loss)  # all the rest goes on without it
