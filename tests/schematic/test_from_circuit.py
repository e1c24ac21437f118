"""From the text of a circuit to its sheet."""

import math
from itertools import pairwise
from pathlib import Path

import pytest

from circuitcheck import pipeline, schematic
from circuitcheck.schematic import Netlist

TEXT = """\
circuit "Crate turner", issue C
oil     ISO VG 46, at 50 degC
units   bar, L/min, mm/s, kN, kW

parts
  T1  tank, 60 L
  E1  electric motor, 11 kW, 1450 rpm
  S1  strainer, 125 um, 90 L/min at 0.03 bar, bypass 0.2 bar
  P1  pump, fixed, 16 cc/rev, driven by E1
  R1  relief, set 210 bar, 60 L/min
  G1  gauge, 0 to 315 bar
  V1  valve 4/3, tandem centre, solenoids a and b, spring centred, 60 L/min at 6 bar
  V2  valve 3/2, solenoid a, spring return, at rest A-T, at a A-P, 30 L/min at 4 bar
  FC1 flow control, 1.5 L/min, pressure compensated, least 6 bar, free-flow check
  C1  cylinder, bore 100 mm, rod 56 mm, stroke 500 mm
  F1  filter, 10 um, 60 L/min at 0.5 bar, bypass 1.7 bar

lines
  suction   from T1 through S1 to P1 S,  hose 32 mm, 0.8 m
  pressure  from P1 P to V1 P,           hose 12.7 mm, 1.5 m
  relief    from P1 P to R1 P
  test      from pressure to G1
  spill     from R1 T to T1
  push      from V1 A to C1 cap,         hose 12.7 mm, 2 m
  regen     from V2 P to push
  pull      from C1 rod to V2 A
  meter     from V2 T to FC1 in
  back      from FC1 out to V1 B
  return    from V1 T through F1 to T1,  hose 19 mm, 1 m

cycle
  step press,  V1 at a,  V2 at rest,  C1 load 50 kN
  step hold,   V1 at centre,  V2 at rest,  2 s

drawing A4, portrait
  V2 above V1
  T1 below P1
"""


@pytest.fixture(scope="module")
def project() -> pipeline.Project:
    found = pipeline.parse(TEXT)
    assert found.understood, [m.message for m in found.mistakes]
    return found


@pytest.fixture(scope="module")
def netlist(project: pipeline.Project) -> Netlist:
    return schematic.from_circuit(project.circuit)


def net_at(netlist: Netlist, item: str, port: str) -> schematic.Net:
    return next(net for net in netlist.nets if (item, port) in net.pins)


def test_hoses_are_lines_with_a_label_and_no_boxes(netlist: Netlist) -> None:
    assert all(item.kind != "line" for item in netlist.items)
    pressure = net_at(netlist, "P1", "P")
    assert set(pressure.pins) == {("P1", "P"), ("R1", "P"), ("V1", "P"), ("G1", "M")}
    assert pressure.label == "12.7 mm"
    assert net_at(netlist, "V1", "T").label == "19 mm"


@pytest.mark.parametrize(
    ("item", "port", "kind"),
    [
        ("P1", "S", "suction"),
        ("S1", "out", "suction"),
        ("P1", "P", "pressure"),
        ("C1", "cap", "work"),
        ("C1", "rod", "work"),
        ("V2", "T", "work"),  # meter-out: its way leads back to the valve, not to tank
        ("FC1", "out", "work"),
        ("V1", "T", "return"),
        ("F1", "out", "return"),
        ("R1", "T", "return"),
        ("E1", "shaft", "shaft"),
    ],
)
def test_nets_are_told_apart_by_their_use(
    netlist: Netlist, item: str, port: str, kind: str
) -> None:
    assert net_at(netlist, item, port).kind == kind


def test_data_stand_beside_their_parts(netlist: Netlist) -> None:
    lines = {item.id: item.lines for item in netlist.items}
    assert lines["C1"] == ("100/56 x 500 mm",)
    assert lines["P1"] == ("16 cc/rev", "23.2 L/min")
    assert lines["S1"] == ("125 µm", "bypass 0.2 bar")
    assert lines["G1"] == ("0 to 315 bar",)


def test_hints_of_the_text_arrive(netlist: Netlist) -> None:
    assert [str(hint) for hint in netlist.hints] == ["V2 above V1", "T1 below P1"]
    assert schematic.draw(netlist, "test").notices == ()


def test_values_of_a_step_are_those_of_the_solver(project: pipeline.Project) -> None:
    point = project.point("press")
    assert point.success
    netlist = schematic.from_circuit(project.circuit, point)
    texts = {(v.item, v.port): [] for v in netlist.values}
    for value in netlist.values:
        texts[value.item, value.port].append(value.text)
    pressure = point.parts["C1"].ports["cap"].pressure / 1e5
    shown = texts["C1", "cap"][0]
    assert shown.endswith(" bar")
    assert float(shown.split()[0]) == pytest.approx(pressure, rel=6e-3)
    flow = abs(point.parts["P1"].ports["P"].flow) * 60000
    assert float(texts["P1", "P"][1].split()[0]) == pytest.approx(flow, rel=6e-3)
    gauge = next(item for item in netlist.items if item.id == "G1")
    assert gauge.lines[-1].startswith("reads ")
    assert any("step press" in row for row in netlist.rows)


def test_all_steps_share_one_layout(project: pipeline.Project) -> None:
    places = set()
    for name in ("press", "hold"):
        netlist = schematic.from_circuit(project.circuit, project.point(name))
        bodies = schematic.draw(netlist, "test").layout.bodies
        places.add(tuple((i, b.pose.x, b.pose.y) for i, b in bodies.items()))
    assert len(places) == 1


def test_every_example_is_drawn_without_faults(request: pytest.FixtureRequest) -> None:
    examples = sorted(Path(request.config.rootpath, "examples").glob("*.hyc"))
    assert examples
    for example in examples:
        found = pipeline.open_file(example)
        if found.understood:
            drawing = schematic.draw(schematic.from_circuit(found.circuit), example.stem)
            assert drawing.faults == ()


SHORT = """circuit "x"
oil ISO VG 46, at 50 degC
parts
  T1 tank, 60 L
  E1 electric motor, 11 kW, 1450 rpm
  P1 pump, fixed, 16 cc/rev, driven by E1
  R1 relief, set 210 bar
  V1 valve 3/3, lever, spring centred, at a P-A, at centre P-T, at b P-A-T
  C1 cylinder, single acting, bore 50 mm, rod 30 mm, stroke 600 mm
lines
  from T1 to P1 S
  from P1 P to V1 P, hose 10 mm, 1 m
  from P1 P to R1 P
  from V1 A to C1 cap
  from R1 T and V1 T to T1
cycle
  step lift, V1 at a, C1 load 18 kN
"""


def test_a_size_stands_beside_what_has_it() -> None:
    """A joint to the relief valve has no size: that of the hose stands beside the hose."""
    drawing = schematic.draw(schematic.from_circuit(pipeline.parse(SHORT).circuit), "t")
    (line,) = [line for line in drawing.layout.lines if line.net.label]
    assert line.net.bare == {("R1", "P")}
    (relief,) = [(anchor.x, anchor.y) for pin, anchor in line.pins if pin == ("R1", "P")]
    (note,) = [note for note in drawing.notes if note.owner == line.net.id]
    middle = (note.box[0] + note.box[2]) / 2, (note.box[1] + note.box[3]) / 2
    nearest = min(line.ways, key=lambda way: min(math.dist(middle, p) for p in _along(way)))
    assert relief not in (nearest[0], nearest[-1])


def _along(way: tuple[tuple[float, float], ...]) -> list[tuple[float, float]]:
    return [
        (a[0] + k / 20 * (b[0] - a[0]), a[1] + k / 20 * (b[1] - a[1]))
        for a, b in pairwise(way)
        for k in range(21)
    ]
