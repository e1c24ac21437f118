"""The scale of pressures: equal steps, readable in grey and without red or green."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from circuitcheck.schematic.colours import lab_of, loss_colour, pressure_colour

STEPS = [k / 10 for k in range(11)]


@pytest.mark.parametrize("scale", [pressure_colour, loss_colour])
def test_equal_steps_are_equally_far_apart(scale: object) -> None:
    places = [lab_of(scale(step)) for step in STEPS]  # type: ignore[operator]
    distances = [math.dist(a, b) for a, b in pairwise(places)]
    assert max(distances) < 1.12 * min(distances)  # what is left is rounding to 8 bits


@pytest.mark.parametrize("scale", [pressure_colour, loss_colour])
def test_lightness_falls_all_the_way_so_that_grey_prints_read(scale: object) -> None:
    light = [lab_of(scale(step))[0] for step in STEPS]  # type: ignore[operator]
    assert all(a > b for a, b in pairwise(light))


def grey(colour: str) -> float:
    """Give the grey value 0 to 255 of a colour, as printers and programs make it.

    Weights of ITU-R BT.601, on the coded values.
    """
    red, green, blue = (int(colour[k : k + 2], 16) for k in (1, 3, 5))
    return 0.299 * red + 0.587 * green + 0.114 * blue


@pytest.mark.parametrize("scale", [pressure_colour, loss_colour])
def test_a_grey_print_keeps_the_order_in_steps_that_can_be_told_apart(scale: object) -> None:
    greys = [grey(scale(k / 7)) for k in range(8)]  # type: ignore[operator]
    assert min(a - b for a, b in pairwise(greys)) > 6


def test_a_line_without_pressure_still_reads_on_white_and_one_at_full_is_dark() -> None:
    assert 255 - grey(pressure_colour(0.0)) > 75
    assert grey(pressure_colour(1.0)) < 60
    assert grey(loss_colour(1.0)) > 160  # black lines and texts stand on it


def test_low_and_high_pressure_differ_by_blue_against_yellow_too() -> None:
    """The b axis of OKLab is what red-green-blind eyes keep."""
    low, high = lab_of(pressure_colour(0.0)), lab_of(pressure_colour(1.0))
    assert high[2] - low[2] > 0.1
    assert low[0] - high[0] > 0.35


def test_grey_and_known_colours_are_where_they_belong() -> None:
    light, a, b = lab_of("#ffffff")
    assert (light, a, b) == pytest.approx((1.0, 0.0, 0.0), abs=1e-3)
    # sRGB red in OKLab after its author's table: L 0.628, a 0.225, b 0.126
    assert lab_of("#ff0000") == pytest.approx((0.628, 0.225, 0.126), abs=1e-3)
