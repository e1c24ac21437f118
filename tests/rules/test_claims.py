"""Claims judged against operating points, and the formulas that are told with them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest

from circuitcheck import circuit, language, rules
from circuitcheck.rules._case import Case, Facts
from circuitcheck.rules._claims import Judged, judged
from tests.rules.test_slips import TEXT, solution


def verdicts(*claims: str) -> Sequence[Judged]:
    rows = "".join(f"  {claim}\n" for claim in claims)
    made, wrong = circuit.build(language.read(TEXT + rows, "x.hyc")[0])
    assert made is not None, [m.message for m in wrong]
    return list(judged(Case(Facts(made, solution()), rules.catalogue()["claim-off"])))


def test_over_the_cycle_a_number_is_the_mean_by_duration_and_a_time_the_sum() -> None:
    points = solution().points
    times = [point.duration or 0.0 for point in points]
    assert min(times) > 0.0
    power = [point.parts["P1"].values["shaft power"] for point in points]
    mean = sum(p * t for p, t in zip(power, times, strict=True)) / sum(times)
    loss = sum(p.totals.loss * t for p, t in zip(points, times, strict=True)) / sum(times)
    brought = sum(p.totals.input * t for p, t in zip(points, times, strict=True)) / sum(times)
    shaft, time, heat, motor = verdicts(
        f"P1 shaft power {mean:.6g} W, over the cycle", f"time {sum(times):.6g} s, over the cycle",
        f"heat {loss:.6g} W, over the cycle", f"power {brought:.6g} W, over the cycle",
    )  # fmt: skip
    assert (shaft.value, shaft.holds) == (pytest.approx(mean), True)
    assert (time.value, time.holds) == (pytest.approx(sum(times)), True)
    assert (heat.value, heat.holds) == (pytest.approx(loss), True)
    assert (motor.value, motor.holds) == (pytest.approx(brought), True)
    (late,) = verdicts("time 10 s, over the cycle")
    assert (late.value, late.holds) == (pytest.approx(sum(times)), False)
    assert time.formula.count(" + ") == len(points) - 1
    assert shaft.formula == "mean over the cycle by duration"


def test_over_the_cycle_nothing_is_made_up_for_a_step_without_a_value() -> None:
    (lifted,) = verdicts("C1 time 2 s, over the cycle")
    assert (lifted.value, lifted.holds, lifted.step) == (None, None, "")
    assert "no value in some step" in lifted.missing
    assert lifted.claim.subject == "C1"


def test_a_cycle_with_a_step_of_unknown_duration_has_no_mean() -> None:
    text = TEXT.replace("M1 load 80 Nm, 3 s", "M1 load 80 Nm") + "  heat 1 kW, over the cycle\n"
    made, _ = circuit.build(language.read(text, "x.hyc")[0])
    assert made is not None
    found = solution()
    points = [replace(p, duration=None) if p.step.name == "turn" else p for p in found.points]
    case = Case(Facts(made, replace(found, points=points)), rules.catalogue()["claim-off"])
    (heat,) = judged(case)
    assert (heat.value, heat.holds) == (None, None)
    assert "duration" in heat.missing
    assert heat.claim.what == "heat"


def test_without_a_step_the_nearest_counts_and_limits_look_at_the_greatest() -> None:
    near, most, least = verdicts(
        "P1 pressure 40 bar", "P1 pressure 170 bar, at most", "P1 pressure 170 bar, at least"
    )
    assert (near.step, near.holds) == ("back", False)
    assert (most.step, most.holds) == ("press", False)
    assert (least.step, least.holds) == ("press", True)
    (never,) = verdicts("P1 pressure 200 bar, at least")
    assert (never.step, never.holds) == ("press", False)


@pytest.mark.parametrize(
    ("claim", "formula"),
    [
        ("C1 speed 1 mm/s, in out", "21.9 L/min on the cap area 50.3 cm2"),
        ("C1 speed 1 mm/s, in back", "22.7 L/min on the rod area 30.6 cm2"),
        ("C1 time 1 s, in out", "way of the step at 72.6 mm/s"),
        ("C1 force 1 kN, in press", "173 bar x 50.3 cm2 - 0.00177 bar x 30.6 cm2, friction 10 %"),
        ("P1 flow 1 L/min, in out",
         "16 cc/rev x 1450 rpm at 100 % stroke, less slip at 134 bar"),
        ("P1 shaft power 1 kW, in press", "173 bar x 21.6 L/min / efficiency 83.4 %"),
        ("M1 speed 1 rpm, in turn", "22.1 L/min / 50 cc/rev, less slip"),
        ("M1 torque 1 Nm, in turn", "114 bar x 50 cc/rev / 2 pi, less friction"),
        ("heat 1 kW, in press", "all the power that is brought in"),
        ("heat 1 kW, in turn", "power in 5.14 kW - useful power 3.14 kW"),
        ("M1 A pressure 1 bar, in turn", ""),
    ],
)  # fmt: skip
def test_the_formula_stands_with_its_figures(claim: str, formula: str) -> None:
    (verdict,) = verdicts(claim)
    assert verdict.formula == formula
