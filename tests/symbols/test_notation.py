"""Build strings are read as written, and mistakes in them are named."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuitcheck.basics.shapes import Arc, Circle, Line, Polygon, Pose, Text
from circuitcheck.symbols._elements import build, element_names
from circuitcheck.symbols._notation import parse

NUMBERS = st.integers(-20, 20).map(float)
POSES = st.builds(Pose, NUMBERS, NUMBERS, st.integers(0, 3), st.booleans())


def nothing(name: str) -> tuple[()]:
    raise AssertionError(name)


def test_every_primitive_is_read() -> None:
    shapes = parse(
        "L 0,0 1,0 1,2; D 0,0 0,-1; V 0,0 2,0; W 0,0 2,0; P 0,0 1,0 0,1; F 0,0 1,0 0,1;"
        "C 1,1 3; B 0,0 .375; R -2,-2 4 4; K 0,0 1 1; A 0,0 2 0>90; Q 0,0 2 90>0; T 0,0 M",
        nothing,
    )
    assert shapes[0] == Line(((0, 0), (1, 0), (1, 2)))
    assert shapes[1] == Line(((0, 0), (0, -1)), "dashed")
    assert [s.heads for s in shapes[2:4] if isinstance(s, Line)] == ["end", "both"]
    assert [s.filled for s in shapes[4:6] if isinstance(s, Polygon)] == [False, True]
    assert shapes[6:8] == (Circle((1, 1), 3), Circle((0, 0), 0.375, filled=True))
    assert shapes[8] == Polygon(((-2, -2), (2, -2), (2, 2), (-2, 2)))
    assert shapes[9].style == "dash-dot"  # type: ignore[union-attr]
    assert shapes[10:12] == (Arc((0, 0), 2, 0, 90), Arc((0, 0), 2, 90, 0, headed=True))
    assert shapes[12] == Text((0, 0), "M")


def test_placing_mirrors_first_and_turns_then() -> None:
    line = Line(((0, 0), (1, 0)))
    placed = parse("X(5,7,90,m)", lambda name: (line,))
    # mirrored: to the left; turned a quarter clockwise: up
    assert placed == (Line(((5, 7), (5, 6))),)


@pytest.mark.parametrize("wrong", ["L 0;0", "L 0,a 1,1", "C 0,0", "X 0,0", "SQ(0,0,45)", "NO(0,0)"])
def test_what_cannot_be_read_is_refused(wrong: str) -> None:
    with pytest.raises(ValueError, match=r"\S"):
        build(wrong)


@given(POSES, NUMBERS, NUMBERS)
def test_four_quarter_turns_and_two_mirrorings_change_nothing(
    pose: Pose, x: float, y: float
) -> None:
    quarter, mirror = Pose(quarters=1), Pose(mirrored=True)
    point = pose.point((x, y))
    for step in (quarter,) * 4 + (mirror,) * 2:
        point = step.point(point)
    assert point == pose.point((x, y))


@given(POSES, st.floats(-180, 180), st.floats(1, 350))
def test_an_arc_moves_with_its_points(pose: Pose, start: float, sweep: float) -> None:
    arc = Arc((1.0, 2.0), 2.0, start, start + sweep)
    moved = arc.posed(pose)
    for share in (0.0, 0.3, 1.0):
        before = pose.point(arc.at(start + share * sweep))
        after = moved.at(moved.start + share * (moved.end - moved.start))
        assert after == pytest.approx(before, abs=1e-9)


def test_all_elements_can_be_built() -> None:
    assert len(element_names()) > 30
    for name in element_names():
        assert build(f"{name}(0,0)")
