"""Other formats by optional extras; without an extra the reader is told which one to install."""

from __future__ import annotations

import importlib
import io
from pathlib import Path

import pytest

from circuitcheck import pipeline
from circuitcheck.basics.folders import folder
from circuitcheck.schematic import (
    ConverterMissingError,
    as_pdf,
    as_png,
    draw,
    export,
    from_circuit,
)
from circuitcheck.schematic.colours import loss_colour, pressure_colour
from tests.schematic.machines import press


def test_a_missing_converter_is_named_with_its_extra(monkeypatch: pytest.MonkeyPatch) -> None:
    drawing = draw(press(), "Press")

    def missing(name: str) -> object:
        raise ImportError(name)

    monkeypatch.setattr(export.importlib, "import_module", missing)
    with pytest.raises(ConverterMissingError, match=r"PDF needs the extra 'pictures'"):
        as_pdf("<svg/>")
    with pytest.raises(ConverterMissingError, match=r"PNG needs the extra 'pictures'"):
        as_png("<svg/>")
    with pytest.raises(ConverterMissingError, match=r"DXF needs the extra 'dxf'"):
        drawing.dxf()


def test_pdf_and_png_are_written() -> None:
    pytest.importorskip("cairosvg")
    svg = draw(press(), "Press").svg("A4")
    assert as_pdf(svg).startswith(b"%PDF")
    picture = as_png(svg, dpi=100)
    assert picture.startswith(b"\x89PNG")
    assert int.from_bytes(picture[16:20], "big") == pytest.approx(827, abs=2)  # 210 mm


def test_dxf_has_all_texts_and_lines_in_millimetres() -> None:
    pytest.importorskip("ezdxf")
    drawing = draw(press(), "Press")
    document = importlib.import_module("ezdxf").read(io.StringIO(drawing.dxf()))
    space = document.modelspace()
    texts = {entity.dxf.text for entity in space.query("TEXT")}
    assert {"Press", "P1", "V1", "C1", "T1"} <= texts
    assert len(space.query("LWPOLYLINE")) > 50
    assert {entity.dxf.layer for entity in space} >= {"lines", "parts", "titles"}
    pump = drawing.layout.bodies["P1"].pose
    circles = [e for e in space.query("CIRCLE") if abs(e.dxf.radius - 7.5) < 1e-9]
    assert any(
        abs(e.dxf.center[0] - 2.5 * pump.x) < 1e-6 and abs(e.dxf.center[1] + 2.5 * pump.y) < 1e-6
        for e in circles
    )


def test_dxf_keeps_colours_and_widths_of_a_step_and_the_sheet_of_paper() -> None:
    pytest.importorskip("ezdxf")
    project = pipeline.open_file(Path(folder("examples")) / "press.hyc")
    netlist = from_circuit(project.circuit, project.point("press"), ("colours",))
    text = draw(netlist, "Press").dxf("A3, landscape")
    document = importlib.import_module("ezdxf").read(io.StringIO(text))
    assert document.audit().errors == []
    space = document.modelspace()
    colours = {f"#{e.dxf.true_color:06x}" for e in space if e.dxf.hasattr("true_color")}
    assert {pressure_colour(0.0), pressure_colour(1.0), loss_colour(1.0)} <= colours
    weights = {e.dxf.lineweight for e in space.query("LWPOLYLINE") if e.dxf.hasattr("lineweight")}
    assert {70, 140} <= weights  # the frame; the line with the greatest flow, 1.25 mm
    extents = importlib.import_module("ezdxf.bbox").extents(space.query("LWPOLYLINE"))
    low, high = extents.extmin, extents.extmax
    assert (low.x, low.y) == pytest.approx((15.0, 5.0))  # the grid round the drawing space
    assert (high.x, high.y) == pytest.approx((415.0, 292.0))
