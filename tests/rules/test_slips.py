"""Slips of reckoning: each number is made with one mistake, and the mistake is named."""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import cache

import pytest

from circuitcheck import circuit, language, rules
from circuitcheck.basics.findings import Finding
from circuitcheck.circuit import Circuit
from circuitcheck.rules import _slips
from circuitcheck.rules._case import Case, Facts
from circuitcheck.rules._claims import judge
from circuitcheck.solver.operating import Solution
from circuitcheck.solver.solve import solve

TEXT = """\
circuit "slips"
oil ISO VG 46, at 45 degC
parts
  T1  tank, 100 L
  E1  electric motor, 15 kW, 1450 rpm
  P1  pump, fixed, 16 cc/rev, driven by E1, volumetric 92 %, mechanical 90 %
  R1  relief, set 180 bar
  V1  valve 4/3, tandem centre
  C1  cylinder, bore 80 mm, rod 50 mm, stroke 400 mm, efficiency 90 %
  V2  valve 4/3, tandem centre
  M1  motor, 50 cc/rev, volumetric 90 %, mechanical 88 %
  TH1 thermometer
lines
  suction from T1 to P1 S
  from P1 P to V1 P and R1 P and TH1
  from R1 T to T1
  from V1 A to C1 cap
  from V1 B to C1 rod
  from V1 T to V2 P
  from V2 A to M1 A
  from V2 B to M1 B
  from V2 T and M1 L to T1
cycle
  step out, V1 at a, V2 at centre, C1 load 60 kN, C1 travels 400 mm
  step press, V1 at a, V2 at centre, C1 at end stop, 2 s
  step back, V1 at b, V2 at centre, C1 load 10 kN, C1 travels 400 mm
  step turn, V1 at centre, V2 at a, M1 load 80 Nm, 3 s
claims within 0.5 %
"""

UNITS = {"speed": "m/s", "time": "s", "force": "N", "flow": "m3/s", "shaft power": "W",
         "torque": "Nm", "pressure": "Pa", "temperature": "degC"}  # fmt: skip

CAP, ROD_SIDE, ROD = 80.0**2, 80.0**2 - 50.0**2, 50.0**2
AREAS = {"bore": CAP, "rod-side": ROD_SIDE, "rod": ROD}
"""Squares of the diameters [mm2]."""

IDEAL = 16e-6 * 1450 / 60
"""Displacement times speed of the pump [m3/s]."""

RATED = 0.92 * IDEAL


def built(claim: str = "") -> Circuit:
    read, mistakes = language.read(f"{TEXT}  {claim}\n" if claim else TEXT, "x.hyc")
    made, wrong = circuit.build(read)
    assert made is not None, [m.message for m in (*mistakes, *wrong)]
    return made


@cache
def solution() -> Solution:
    return solve(built())


def worked_out(part: str, what: str, step: str) -> float:
    point = next(p for p in solution().points if p.step.name == step)
    return abs(point.parts[part].values[what])


def case(claim: str, slug: str) -> Case:
    return Case(Facts(built(claim), solution()), rules.catalogue()[slug])


def found(claim: str) -> list[Finding]:
    """Findings of the three rules that explain a claim which is off."""
    cases = [case(claim, f"claim-fits-{sort}") for sort in ("wrong-area", "other-unit", "slip")]
    return [f for one in cases for f in one.rule.check(one) if isinstance(f, Finding)]


def likely(claim: str) -> _slips.Slip | None:
    seen = case(claim, "claim-fits-slip")
    return _slips.likely(seen, judge(seen, seen.circuit.claims[0]), seen.limit("fits_within").value)


def drop() -> float:
    return worked_out("M1", "drop", "turn")


def pumped(step: str) -> float:
    return worked_out("P1", "flow", step)


@pytest.mark.parametrize(
    ("about", "step", "slug", "words", "slip"),
    [
        ("C1 speed", "out", "wrong-area", "rod-side", lambda v: v * CAP / ROD_SIDE),
        ("C1 speed", "out", "wrong-area", "rod", lambda v: v * CAP / ROD),
        ("C1 speed", "back", "wrong-area", "bore", lambda v: v * ROD_SIDE / CAP),
        ("C1 time", "out", "wrong-area", "rod-side", lambda v: v * ROD_SIDE / CAP),
        ("C1 time", "back", "wrong-area", "bore", lambda v: v * CAP / ROD_SIDE),
        ("C1 force", "press", "wrong-area", "rod-side", lambda v: v * ROD_SIDE / CAP),
        ("C1 force", "press", "wrong-area", "rod", lambda v: v * ROD / CAP),
        ("C1 speed", "out", "slip", "four times the area", lambda v: v / 4),
        ("C1 speed", "out", "slip", "a quarter of the area", lambda v: v * 4),
        ("C1 time", "out", "slip", "four times the area", lambda v: v * 4),
        ("C1 force", "press", "slip", "a quarter of the area", lambda v: v / 4),
        ("P1 flow", "out", "slip", "volumetric efficiency is left out", lambda v: IDEAL),
        ("P1 flow", "out", "slip", "volumetric efficiency is counted twice",
         lambda v: v * v / IDEAL),
        ("P1 shaft power", "turn", "slip", "the efficiency is left out",
         lambda v: v * worked_out("P1", "efficiency", "turn")),
        ("M1 torque", "turn", "slip", "mechanical efficiency is left out",
         lambda v: drop() * 50e-6 / (2 * math.pi)),
        ("M1 speed", "turn", "slip", "volumetric efficiency is left out",
         lambda v: worked_out("M1", "flow", "turn") / 50e-6 * 2 * math.pi),
        ("C1 force", "press", "slip", "the efficiency is left out", lambda v: v / 0.9),
        ("C1 force", "press", "slip", "the efficiency is counted twice", lambda v: v * 0.9),
        ("C1 speed", "out", "slip", "efficiency of the pumps is left out",
         lambda v: v * IDEAL / pumped("out")),
        ("C1 time", "out", "slip", "efficiency of the pumps is left out",
         lambda v: v * pumped("out") / IDEAL),
        ("C1 time", "out", "slip", "efficiency of the pumps is counted twice",
         lambda v: v * IDEAL / pumped("out")),
        ("P1 pressure", "out", "slip", "it counts the atmosphere", lambda v: v + 101325.0),
        ("P1 pressure", "out", "slip", "the atmosphere is taken off", lambda v: v - 101325.0),
        ("TH1 temperature", "out", "other-unit", "in degF and written in degC",
         lambda v: 1.8 * v + 32.0),
        ("TH1 temperature", "out", "other-unit", "in degC and written in degF",
         lambda v: (v - 32.0) / 1.8),
        ("C1 time", "out", "other-unit", "in minutes and written in seconds", lambda v: v / 60),
        ("C1 time", "out", "other-unit", "in seconds and written in minutes", lambda v: v * 60),
    ],
)  # fmt: skip
def test_a_number_made_with_one_slip_is_told_by_it(
    about: str, step: str, slug: str, words: str, slip: Callable[[float], float]
) -> None:
    part, what = about.split(" ", 1)
    right = worked_out(part, what, step)
    unit = "rad/s" if about == "M1 speed" else UNITS[what]
    exact = ", within 0.01 bar" if what == "pressure" else ""
    claim = f"{about} {slip(right):.9g} {unit}{exact}, in {step}"
    (one,) = found(claim)
    assert one.slug == f"claim-fits-{slug}", one.message
    assert words in one.message
    assert (one.component, one.step, one.place.line) == (part, step, TEXT.count("\n") + 1)
    best = likely(claim)
    assert best is not None
    assert words in best.text
    assert best.value == pytest.approx(slip(right), rel=1e-6, abs=0.0)
    told = {number.name: number.value for number in one.numbers}
    if slug == "wrong-area":
        assert told[f"{words} area"] == pytest.approx(AREAS[words] * 1e-6 * math.pi / 4)
        return
    assert told["claimed"] == pytest.approx(slip(right), rel=1e-6, abs=0.0)
    assert told["with the slip"] == pytest.approx(slip(right), rel=1e-6, abs=0.0)
    assert told["computed"] == pytest.approx(right, rel=1e-6, abs=0.0)


def test_a_slip_on_top_of_the_flow_at_rated_efficiency_is_told() -> None:
    speed, time = worked_out("C1", "speed", "out"), worked_out("C1", "time", "out")
    share = RATED / pumped("out")
    assert abs(share - 1.0) > 0.025, "else the slip would fit without it"
    for claim in (
        f"C1 speed {speed * share * CAP / ROD_SIDE:.6g} m/s, in out",
        f"C1 time {time / share * ROD_SIDE / CAP:.6g} s, in out",
    ):
        assert [one.slug for one in found(claim)] == ["claim-fits-wrong-area"]
    force = worked_out("C1", "force", "press") * share * ROD_SIDE / CAP
    assert found(f"C1 force {force:.6g} N, in press") == [], "a force carries no flow"


def test_the_size_of_a_claim_counts_not_its_sign() -> None:
    speed = worked_out("C1", "speed", "back") * ROD_SIDE / CAP
    claim = f"C1 speed -{speed:.6g} m/s, in back"
    assert [one.slug for one in found(claim)] == ["claim-fits-wrong-area"]
    best = likely(claim)
    assert best is not None
    assert best.sort == _slips.AREA
    flow = worked_out("P1", "flow", "out") * 60
    assert [one.slug for one in found(f"P1 flow -{flow:.6g} m3/s, in out")] == [
        "claim-fits-other-unit"
    ]


def test_where_an_area_fits_no_other_slip_is_told() -> None:
    """Of a rod half as thick as the piston the area is a quarter: as if a radius were taken."""
    text = TEXT.replace("rod 50 mm", "rod 40 mm").replace("step press", "step hold")
    made, _ = circuit.build(language.read(text + "  C1 speed 1 mm/s, in out\n", "x.hyc")[0])
    assert made is not None
    speed = solve(made).points[0].parts["C1"].values["speed"]
    claim = f"  C1 speed {4 * speed:.6g} m/s, in out\n"
    made, _ = circuit.build(language.read(text + claim, "x.hyc")[0])
    assert made is not None
    told = {f.slug for f in rules.check_all(made, solve(made)).all_findings()}
    assert "claim-fits-wrong-area" in told
    assert "claim-fits-slip" not in told


@pytest.mark.parametrize("off", [0.95, 1.06])
def test_a_slip_that_fits_no_better_than_by_some_percent_is_not_told(off: float) -> None:
    speed = worked_out("C1", "speed", "out") * CAP / ROD_SIDE * off
    assert found(f"C1 speed {speed:.6g} m/s, in out") == []


def test_the_atmosphere_explains_a_pressure_only_where_it_is_about_that_far_off() -> None:
    pressure = worked_out("P1", "pressure", "out")
    near, far = (f"P1 pressure {pressure + apart:.9g} Pa, within 0.01 bar, in out"
                 for apart in (1.2e5, 1.5e5))  # fmt: skip
    assert [one.slug for one in found(near)] == ["claim-fits-slip"]
    assert found(far) == []


def test_what_holds_has_no_slip() -> None:
    claim = f"C1 speed {worked_out('C1', 'speed', 'out'):.4g} m/s, in out"
    assert found(claim) == []
    assert likely(claim) is None
