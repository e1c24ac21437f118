"""Areas of all builds of cylinders, and the oil that they take on the whole way out."""

from __future__ import annotations

import math

import pytest

from circuitcheck import circuit, language
from circuitcheck.components._parts import Part
from circuitcheck.components._rod_oil import areas, oil_to_go_out

FULL, ROD = math.pi / 4 * 0.08**2, math.pi / 4 * 0.05**2
STAGES = "first stage 80 mm, second stage 60 mm"
NARROW = math.pi / 4 * 0.06**2

CASES = [
    ("cylinder, bore 80 mm, rod 50 mm", "cap rod", FULL, FULL - ROD),
    ("cylinder, bore 80 mm, rod 50 mm, double rod", "cap rod", FULL - ROD, FULL - ROD),
    ("cylinder, bore 80 mm, rod 50 mm, tandem", "cap rod", 2 * FULL - ROD, 2 * (FULL - ROD)),
    ("cylinder, bore 80 mm, rod 50 mm, single acting", "cap", FULL, 0.0),
    ("cylinder, rod 50 mm, plunger", "cap", ROD, 0.0),
    (f"telescopic cylinder, {STAGES}", "cap", NARROW, 0.0),
]


def cylinder(said: str, ports: str = "cap") -> Part:
    lines = "\n".join(f"  from T1 to C1 {port}" for port in ports.split())
    text = f'circuit "x"\nparts\n  T1 tank\n  C1 {said}, stroke 1 m\nlines\n{lines}\n'
    made, refused = circuit.build(language.read(text, "x.hyc")[0])
    assert made is not None, [finding.message for finding in refused]
    return made.parts["C1"]


@pytest.mark.parametrize(("said", "ports", "cap", "rod"), CASES)
def test_areas_of_a_cylinder(said: str, ports: str, cap: float, rod: float) -> None:
    part = cylinder(said, ports)
    assert areas(part) == pytest.approx((cap, rod))
    # stages share the stroke of 1 m evenly
    oil = cap - rod if part.kind.word == "cylinder" else 0.5 * (FULL + NARROW)
    assert oil_to_go_out(part) == pytest.approx(oil, abs=1e-9)


def test_stages_of_their_own_stroke_take_their_own_oil() -> None:
    part = cylinder(f"telescopic cylinder, {STAGES}, first stroke 400 mm, second stroke 600 mm")
    assert oil_to_go_out(part) == pytest.approx(0.4 * FULL + 0.6 * NARROW)
