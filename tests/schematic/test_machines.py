"""Machines of every usual kind are drawn without a fault, as the trade draws them."""

import hashlib
import os
import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from circuitcheck.schematic import Drawing, Hint, Net, Netlist, NotDrawable, draw
from circuitcheck.schematic.check import find_faults
from circuitcheck.schematic.drawing import frames_of, wires_of
from circuitcheck.symbols import all_symbols
from tests.schematic.machines import (
    BRANCHES,
    EXTRAS,
    Machine,
    machine,
    press,
    regenerative,
    splitter,
    valve,
    winch,
)

HAND_MADE = (press, regenerative, splitter, winch)


def place(drawing: Drawing, item: str) -> tuple[float, float]:
    pose = drawing.layout.bodies[item].pose
    return pose.x, pose.y


@pytest.mark.parametrize("make", HAND_MADE)
def test_the_sheet_has_no_faults_and_shows_everything(make: Callable[[], Netlist]) -> None:
    netlist = make()
    drawing = draw(netlist, "test")
    assert drawing.faults == ()
    assert find_faults(frames_of(drawing.layout), wires_of(drawing.layout), []) == ()
    svg = drawing.svg()
    for item in netlist.items:
        assert f">{item.id}<" in svg
        if item.role != "tank":
            assert f'id="part-{item.id}"' in svg
    for value in netlist.values:
        assert f">{value.text}<" in svg


@settings(max_examples=12, deadline=None)
@given(
    st.lists(st.sampled_from(BRANCHES), min_size=1, max_size=4),
    st.booleans(),
    st.booleans(),
    st.sets(st.sampled_from(EXTRAS)),
)
def test_random_machines_are_drawn_without_faults(
    branches: list[str], filtered: bool, valued: bool, extras: set[str]
) -> None:
    netlist = machine(branches, filtered=filtered, valued=valued, extras=sorted(extras))
    assert draw(netlist, "test").faults == ()


@settings(max_examples=15, deadline=None)
@given(st.data())
def test_nonsense_is_drawn_or_refused_by_name(data: st.DataObject) -> None:
    m = Machine()
    m.add("T1", "tank", "9 L")
    words = sorted(set(all_symbols()) - {"line", "tank", "reservoir"})
    pins: list[str] = []
    for number in range(data.draw(st.integers(1, 4))):
        word = data.draw(st.sampled_from(words))
        name = m.add(f"X{number}", word, **(valve() if word == "valve" else {}))
        pins += [f"{name}.{port}" for port in m.items[-1].symbol.anchors if port != "shaft"]
    pins = data.draw(st.permutations(pins))
    kinds = ("pressure", "return", "suction", "work", "pilot", "load_sense", "drain", "charge")
    while pins:
        size = data.draw(st.integers(1, 3))
        tank = ["T1.T"] if data.draw(st.integers(0, 4)) == 0 else []
        m.join(f"n{len(pins)}", data.draw(st.sampled_from(kinds)), *pins[:size], *tank)
        pins = pins[size:]
    refusal = None
    try:
        faults = draw(m.netlist(), "test").faults
    except NotDrawable as problem:
        faults, refusal = (), problem
    assert faults == ()
    assert refusal is None or refusal.faults


def test_supply_below_and_actuators_on_top() -> None:
    drawing = draw(winch(), "test")
    heights = {i: place(drawing, i)[1] for i in drawing.layout.bodies}
    assert heights["P1"] > heights["S1"] > heights["C1"]
    assert heights["S1"] == heights["S2"]
    assert heights["C1"] == heights["C2"] == heights["M1"] == heights["B1"]


def test_branches_stand_in_the_order_of_the_text() -> None:
    drawing = draw(machine(["cylinder", "holding", "motor", "gauge"]), "test")
    places = [place(drawing, f"V{n}")[0] for n in (1, 2, 3, 4)]
    assert places == sorted(places)


def test_a_cylinder_stands_over_its_valve_with_a_mirrored_pair_of_lines() -> None:
    drawing = draw(press(), "test")
    assert place(drawing, "C1")[0] == place(drawing, "V1")[0]
    ways = {line.net.id: line.ways for line in drawing.layout.lines}
    axis = place(drawing, "V1")[0]
    (push,), (pull,) = ways["push"], ways["pull"]
    mirrored = [(2 * axis - x, y) for x, y in push]
    assert mirrored == list(pull)


def test_a_second_run_gives_the_same_sheet_whatever_the_hash_seed() -> None:
    code = (
        "from tests.schematic.machines import winch; from circuitcheck.schematic import draw;"
        "print(draw(winch(), 'test').svg())"
    )
    sheets = set()
    for seed in ("1", "2"):
        ran = subprocess.run(
            [sys.executable, "-c", code],
            capture_output=True,
            check=True,
            env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": "."},
        )
        sheets.add(hashlib.sha256(ran.stdout).hexdigest())
    assert len(sheets) == 1


def test_sixty_parts_take_seconds() -> None:
    netlist = machine(["holding", "locked", "motor", "metered"] * 4 + ["cylinder"] * 3)
    assert len(netlist.items) >= 60
    began = time.perf_counter()
    assert draw(netlist, "test").faults == ()
    assert time.perf_counter() - began < 20.0


def test_control_lines_are_dashed_and_working_lines_solid() -> None:
    drawing = draw(winch(), "test")
    dashed = {line.net.id for line in drawing.layout.lines if line.dashed}
    assert {"sense", "sense 1", "release", "drain"} <= dashed
    assert not dashed & {"pressure", "raise", "return", "haul"}


def test_every_line_to_tank_ends_in_a_mark_of_its_own() -> None:
    netlist = winch()
    to_tank = sum(len(net.pins) - 1 for net in netlist.nets if any(i == "T1" for i, _ in net.pins))
    marks = [m for b in draw(netlist, "test").layout.bodies.values() for m in b.marks]
    assert len(marks) == to_tank == 4
    assert sorted(m.port for m in marks if m.dashed) == ["L", "out"]  # motor, flowmeter


def test_wishes_are_heeded_or_named() -> None:
    netlist = replace(
        machine(["cylinder", "cylinder"]),
        hints=(Hint("V2", "left of", "V1"), Hint("P1", "above", "C1"), Hint("T1", "below", "P1")),
    )
    drawing = draw(netlist, "test")
    assert place(drawing, "V2")[0] < place(drawing, "V1")[0]
    assert drawing.notices == ("The wish 'P1 above C1' could not be heeded.",)


def test_a_relief_can_be_wished_to_the_other_side_of_the_pump() -> None:
    usual = draw(press(), "test")
    wished = draw(replace(press(), hints=(Hint("R1", "left of", "P1"),)), "test")
    assert place(usual, "R1")[0] > place(usual, "P1")[0]
    assert place(wished, "R1")[0] < place(wished, "P1")[0]


def test_netlists_that_contradict_themselves_are_refused() -> None:
    wrong = replace(press(), nets=(*press().nets, Net("n", "work", (("V1", "Q"), ("X9", "P")))))
    with pytest.raises(ValueError, match=r"port Q of V1.*X9, which is no item"):
        draw(wrong, "test")


def test_several_tanks_have_their_code_at_every_mark() -> None:
    netlist = machine(["cylinder", "motor"], filtered=False)
    second = replace(netlist.items[0], id="T2", order=99)
    nets = tuple(
        replace(net, pins=tuple(("T2", "T") if i == "T1" else (i, p) for i, p in net.pins))
        if net.id == "spill"
        else net
        for net in netlist.nets
    )
    drawing = draw(Netlist((*netlist.items, second), nets), "test")
    marks = [m for b in drawing.layout.bodies.values() for m in b.marks]
    svg = drawing.svg()
    for tank in ("T1", "T2"):
        assert svg.count(f">{tank}<") == sum(m.tank == tank for m in marks) > 0
