"""Combinations of valve positions, stretch by stretch."""

from __future__ import annotations

import itertools
from pathlib import Path

import pytest

from circuitcheck import circuit, language, pipeline, rules
from circuitcheck.rules._case import Case, Facts
from circuitcheck.rules._groups import after_stop
from circuitcheck.rules._loads import actuators, sides
from circuitcheck.rules._paths import REST, State

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
SOUND = sorted(path.stem for path in EXAMPLES.glob("*.hyc"))
UNLOADED = ("lift", "logic_press")
"""Examples in which a valve of another stretch lets the pressure gallery down."""


def facts(text: str) -> Facts:
    built, wrong = circuit.build(language.read(text, "x.hyc")[0])
    assert built is not None, [finding.message for finding in wrong]
    return Facts(built, None)


def bank(count: int, middle: str = "closed centre", series: bool = False) -> str:
    """Valves with a cylinder each, side by side on one pump, or one behind the other."""
    rows = range(1, count + 1)
    parts = "".join(
        f"  V{i} valve 4/3, {middle}\n"
        f"  C{i} cylinder, bore 50 mm, rod 30 mm, stroke 300 mm\n" for i in rows
    )  # fmt: skip
    work = "".join(f"  from V{i} A to C{i} cap\n  from V{i} B to C{i} rod\n" for i in rows)
    if series:
        supply = "  from P1 P to R1 P and V1 P\n" + "".join(
            f"  from V{i} T to V{i + 1} P\n" for i in rows[:-1]
        ) + f"  from V{count} T to T1\n"  # fmt: skip
    else:
        valves = [f"V{i}" for i in rows]
        supply = f"  from P1 P to R1 P and {' and '.join(f'{v} P' for v in valves)}\n"
        supply += f"  from {' and '.join(f'{v} T' for v in valves)} to T1\n"
    return (
        'circuit "bank"\nparts\n  T1 tank, 100 L\n  P1 pump, fixed, 20 cc/rev, 1450 rpm\n'
        f"  R1 relief, set 180 bar\n{parts}lines\n  from T1 to P1 S\n  from R1 T to T1\n"
        f"{supply}{work}"
    )


def test_valves_side_by_side_do_not_multiply() -> None:
    found = facts(bank(40))
    for number in (1, 40):
        cap = found.network.at(f"C{number}", "cap")
        assert cap is not None
        (group,) = found.groups_of(cap)
        assert [valve.name for valve in group.valves] == [f"V{number}"]
        assert [s.label for s in group.states] == [f"V{number} at a", f"V{number} at b"]
        assert group.left_out == ""


def test_valves_one_behind_the_other_act_together() -> None:
    found = facts(bank(3, "tandem centre", series=True))
    rod = found.network.at("C2", "rod")
    assert rod is not None
    (group,) = found.groups_of(rod)
    assert [valve.name for valve in group.valves] == ["V1", "V2", "V3"]
    assert len(group.states) == 26
    assert len({state.label for state in group.states}) == 26


def test_an_accumulator_feeds_its_stretch_with_the_pump_shut_off() -> None:
    text = bank(1).replace(
        "lines\n", "  V2 valve 2/2\n  A1 accumulator, 4 L, precharge 50 bar\nlines\n"
    )
    text = text.replace(
        "P1 P to R1 P and V1 P", "P1 P to R1 P and V2 P\n  from V2 A to A1 and V1 P"
    )
    found = facts(text)
    cap = found.network.at("C1", "cap") or ""
    seen = {state.label: cap in flows.supplied(state) for state, flows in found.looks(cap)}
    assert seen["V1 at a"]
    assert not seen["V1 at b"]


def test_what_is_left_out_is_named_and_told() -> None:
    text = bank(9, "tandem centre", series=True)
    found = facts(text)
    cap = found.network.at("C9", "cap")
    assert cap is not None
    (group,) = found.groups_of(cap)
    assert group.combinations == 3**9
    assert "19,683 combinations of V1, V2" in group.left_out
    singles = [state for state in group.states if len(state.moved) == 1]
    assert len(singles) == 18
    built, _ = circuit.build(language.read(text, "x.hyc")[0])
    assert built is not None
    told = [one for one in rules.check_all(built).not_checked if one.slug == "rod-side-can-lock"]
    assert [one.missing for one in told] == [group.left_out]


@pytest.mark.parametrize("name", SOUND)
def test_stretches_give_what_all_combinations_of_all_valves_give(name: str) -> None:
    found = Facts(pipeline.load(EXAMPLES / f"{name}.hyc").circuit, None)
    moving = [part for part in found.circuit.parts.values() if len(part.positions) > 1]
    every = [
        State(f"{number}", None, {v.name: p for v, p in zip(moving, row, strict=True)})
        for number, row in enumerate(itertools.product(*(v.positions for v in moving)))
    ]
    case = Case(found, rules.catalogue()["rod-side-can-lock"])
    for part in actuators(case):
        for port in sides(part):
            junction = found.network.at(part.name, port)
            if junction is None:
                continue
            whole = {
                (junction in found.supplied(state), junction in found.drained(state))
                for state in every
            }
            seen = {
                (junction in flows.supplied(state), junction in flows.drained(state))
                for state, flows in found.looks(junction)
                if state.step is None
            }
            assert seen <= whole
            assert seen == whole or name in UNLOADED, (part.name, port)


def test_after_a_stop_springs_bring_valves_to_rest_and_detents_keep_them() -> None:
    text = bank(3).replace("V1 valve 4/3, closed centre", "V1 valve 4/3, closed centre, detent")
    text = text.replace("V2 valve 4/3, closed centre", "V2 valve 4/3, closed centre, detent a")
    built = facts(text).circuit
    labels = [state.label for state in after_stop(list(built.parts.values()))]
    assert labels == [
        "rest", "V2 at a", "V1 at a", "V1 at a, V2 at a", "V1 at b", "V1 at b, V2 at a",
    ]  # fmt: skip
    assert list(after_stop(list(facts(bank(2)).circuit.parts.values()))) == [REST]


HUNG = bank(1).replace(
    "stroke 300 mm", "stroke 300 mm, weight 20 kN, suspended"
) + "cycle\n  step up, V1 at a, C1 travels 100 mm\n"  # fmt: skip


def found_in(text: str, slug: str) -> list[str]:
    read, mistakes = language.read(text, "x.hyc")
    built, wrong = circuit.build(read)
    assert built is not None, [m.message for m in (*mistakes, *wrong)]
    return [f.message for f in rules.check_all(built).all_findings() if f.slug == slug]


def test_a_weight_that_comes_down_in_a_position_no_step_has_is_found() -> None:
    (message,) = found_in(HUNG, "overrunning-load-uncontrolled")
    assert "V1 at b, which no step has" in message
    held = HUNG.replace("lines\n", "  CB1 counterbalance, set 150 bar\nlines\n")
    held = held.replace("from V1 A to C1 cap", "from V1 A to CB1 V\n  from CB1 C to C1 cap\n"
                        "  from V1 B to CB1 X")  # fmt: skip
    assert found_in(held, "overrunning-load-uncontrolled") == []


def test_a_rod_side_that_locks_only_with_two_valves_moved_is_found() -> None:
    text = bank(1).replace("lines\n", "  V2 valve 2/2, open at rest\nlines\n")
    text = text.replace("from V1 B to C1 rod", "from V1 B to V2 P\n  from V2 A to C1 rod")
    (message,) = found_in(text, "rod-side-can-lock")
    assert "V1 at a, V2 at" in message


def test_a_motor_shut_in_by_a_valve_that_is_open_at_rest_is_found() -> None:
    text = (
        'circuit "winch"\nparts\n  T1 tank, 100 L\n  P1 pump, fixed, 20 cc/rev, 1450 rpm\n'
        "  R1 relief, set 180 bar\n  V1 valve 4/3, at centre P-T-A-B, at a P-A B-T, at b P-T\n"
        "  M1 motor, 100 cc/rev\n  W1 winch, drum 300 mm, driven by M1\n"
        "lines\n  from T1 to P1 S\n  from P1 P to R1 P and V1 P\n  from R1 T and V1 T to T1\n"
        "  from V1 A to M1 A\n  from V1 B to M1 B\n  from M1 L to T1\n"
    )
    (message,) = found_in(text, "motor-without-crossport-relief")
    assert message.startswith("with V1 at b M1 is stopped between shut ports")
