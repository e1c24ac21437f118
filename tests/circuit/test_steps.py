"""The duty cycle: orders, positions that stay or return, durations."""

from __future__ import annotations

import pytest

from circuitcheck.circuit import Circuit

from .conftest import PARTS, Make, errors

CYCLE = """cycle
  step one, V1 at a
  step two, 3 s
  step three, V1 at b
  step four
"""


def positions(circuit: Circuit) -> list[str]:
    return [step.orders["V1"].position for step in circuit.steps]


def with_valve(words: str) -> str:
    return PARTS.replace("tandem centre", f"tandem centre, {words}")


def test_what_a_step_says(make: Make) -> None:
    circuit = make(
        "cycle, repeats\n"
        '  step "slow lift", V1 at a 60 %, C1 load -20 kN, C1 travels 420 mm, oil at 68 degF\n'
        "  step end, V1 at b, C1 at end stop, C1 load 5 kN overrunning, 1.5 min, E1 at 1200 rpm\n"
    )
    lift, end = circuit.steps
    assert circuit.repeats
    assert lift.name == "slow lift"
    assert (lift.orders["V1"].position, lift.orders["V1"].opening) == ("a", 0.6)
    assert lift.orders["C1"].figures["load"].value == pytest.approx(-20e3)
    assert lift.orders["C1"].figures["travels"].value == pytest.approx(0.42)
    assert lift.oil_degC == pytest.approx(20.0)
    assert (lift.duration, end.duration) == (None, 90.0)
    assert end.orders["C1"].words == {"at end stop", "overrunning"}
    assert end.orders["E1"].figures["at"].value == pytest.approx(125.66, rel=1e-4)


def test_spools_without_a_hand_return_to_rest(make: Make) -> None:
    parts = with_valve("solenoids a and b, spring centred")
    assert positions(make(CYCLE, parts)) == ["a", "centre", "b", "centre"]


def test_a_lever_without_a_spring_stays(make: Make) -> None:
    assert positions(make(CYCLE, with_valve("lever"))) == ["a", "a", "b", "b"]


def test_a_lever_with_a_spring_returns(make: Make) -> None:
    parts = with_valve("lever, spring centred")
    assert positions(make(CYCLE, parts)) == ["a", "centre", "b", "centre"]


def test_a_detent_in_one_position_holds_only_there(make: Make) -> None:
    parts = with_valve("lever, spring centred, detent b")
    assert positions(make(CYCLE, parts)) == ["a", "centre", "b", "b"]


def test_rest_is_another_word_for_the_rest_position(make: Make) -> None:
    circuit = make("cycle\n  step one, V1 at rest\n", with_valve("lever"))
    assert positions(circuit) == ["centre"]


@pytest.mark.parametrize(
    ("clause", "message"),
    [
        ("C1 travels -3 mm", "'travels' is too small"),
        ("V1 at a, V1 at b", "the position of V1 is given twice in this step"),
        ("C1 load 1 kN, C1 load 2 kN", "'load' of C1 is given twice in this step"),
        ("V1 at a 130 %", "'opening' is too large"),
        ("3 s, 4 s", "the step already lasts another time"),
        ("T1 load 3 kN", "a step cannot say 'load' of a tank"),
        ("V1 60 %", "what does V1 do?"),
    ],
)
def test_what_a_step_cannot_say(clause: str, message: str) -> None:
    lines = "lines\n"
    found = errors(f"parts{PARTS}{lines}cycle\n  step one, {clause}\n")
    assert message in found
