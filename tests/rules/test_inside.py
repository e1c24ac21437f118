"""The ways inside the kinds of part: none misspelt, none of the kinds forgotten."""

from __future__ import annotations

import pytest

from circuitcheck import circuit, language
from circuitcheck.components import kinds
from circuitcheck.components._parts import Kind, Part, PortKind
from circuitcheck.rules import catalogue
from circuitcheck.rules._case import Case, Facts
from circuitcheck.rules._inside import ONE_WAY, TWO_WAY, Way, spool_ways, ways
from circuitcheck.rules._loads import weight
from circuitcheck.rules._pumps import charges_loop, loop_guards
from circuitcheck.rules._turning import hanging_torque, has_brake, ordered_torque, rolling_torque

WORDS = sorted({kind.word for kind in kinds().values()})
OPENINGS = (PortKind.PRESSURE, PortKind.RETURN, PortKind.WORK, PortKind.THROUGH)
NO_WAY = {"tank", "accumulator", "cylinder", "telescopic cylinder", "brake", "hand pump"}
"""Kinds that end a way of oil: they store it, push a rod, or bring it."""


def variants(kind: Kind) -> list[Part]:
    """A part of a kind as it is, and with each single thing that its text may choose."""
    usual = {choice.group: choice.default for choice in kind.choices if choice.default is not None}
    found = [Part("X1", kind, choices=dict(usual))]
    for choice in kind.choices:
        found += [Part("X1", kind, choices={**usual, choice.group: o}) for o in choice.options]
    return found


@pytest.mark.parametrize("word", sorted({*TWO_WAY, *ONE_WAY}))
def test_every_way_names_ports_that_some_form_of_the_kind_has(word: str) -> None:
    letters = {port.letter for part in variants(kinds()[word]) for port in part.ports}
    for inside in ONE_WAY.get(word, ()):
        assert {inside.inlet, inside.outlet} <= letters
    phrases = {phrase for choice in kinds()[word].choices for phrase in choice.options}
    for inside in ONE_WAY.get(word, ()):
        assert {inside.said, inside.unsaid} <= phrases | {""}


@pytest.mark.parametrize("word", [word for word in WORDS if word not in NO_WAY])
def test_no_kind_with_two_openings_is_forgotten(word: str) -> None:
    part = variants(kinds()[word])[0]
    openings = [port for port in part.ports if port.kind in OPENINGS]
    if len(openings) > 1:
        joints = {port.letter: port.letter for port in part.ports}
        assert list(ways(part, joints)) or spool_ways(part)


@pytest.mark.parametrize(
    ("word", "phrase"),
    [("throttle-check", ""), ("throttle", "free-flow check"), ("flow control", "free-flow check")],
)  # fmt: skip
def test_what_has_a_free_flow_check_is_open_backwards(word: str, phrase: str) -> None:
    part = variants(kinds()[word])[0]
    a, b = [port.letter for port in part.ports][:2]
    plain = {(w.inlet, w.outlet): w.way for w in ways(part, {a: "x", b: "y"})}
    assert plain[a, b] is Way.THROTTLE
    if phrase:
        assert plain[b, a] is Way.THROTTLE
        part.choices["reverse"] = phrase
    found = [(w.inlet, w.outlet, w.way) for w in ways(part, {a: "x", b: "y"})]
    assert (b, a, Way.CHECK) in found
    assert (a, b, Way.CHECK) not in found


def test_a_load_check_lets_nothing_back_to_the_supply_of_a_bank_section() -> None:
    part = variants(kinds()["bank section"])[0]
    assert ("P", "A") in spool_ways(part)
    assert ("A", "P") not in spool_ways(part)
    part.choices["check"] = "no load check"
    assert ("A", "P") in spool_ways(part)


def case(text: str) -> Case:
    built, wrong = circuit.build(language.read(text, "x.hyc")[0])
    assert built is not None, [finding.message for finding in wrong]
    return Case(Facts(built, None), catalogue()["unprotected-pump"])


CARTRIDGE = """\
circuit "cartridge"
parts
  T1  tank, 40 L
  P1  pump, fixed, 10 cc/rev, 1450 rpm
  R1  relief, set 150 bar
  LC1 cartridge
  V1  valve 3/2, {rest}
  M1  motor, gear, 10 cc/rev
lines
  from T1 to P1 S
  from P1 P to LC1 A and R1 P and V1 P
  from V1 A to LC1 X
  from V1 T and R1 T to T1
  from LC1 B to M1 A
  from M1 B to T1
cycle
  step rest, V1 at rest
  step work, V1 at a
"""


def test_a_cartridge_opens_where_the_oil_over_its_poppet_is_let_go() -> None:
    found = case(CARTRIDGE.format(rest="closed at rest"))
    behind = found.network.at("M1", "A")
    rest, work = found.facts.steps
    assert behind in found.facts.supplied(rest)
    assert behind not in found.facts.supplied(work)


def test_a_gallery_that_is_fed_lets_no_poppet_go() -> None:
    """In no step, but with the valve moved: the oil over the poppet is shut in by the pump."""
    lifted = CARTRIDGE.format(rest="closed at rest").split("cycle")[0]
    lifted = lifted.replace(
        "M1  motor, gear, 10 cc/rev", "C1  cylinder, single acting, bore 50 mm, stroke 200 mm"
    ).replace("LC1 B to M1 A\n  from M1 B to T1", "LC1 B to C1 cap")
    found = case(lifted)
    cap = found.network.at("C1", "cap") or ""
    seen = {state.label: cap in flows.supplied(state) for state, flows in found.facts.looks(cap)}
    assert seen == {"rest": True, "V1 at a": False}


@pytest.mark.parametrize(("over", "open_way"), [("A", ("B", "A")), ("B", ("A", "B"))])
def test_a_cartridge_with_its_chamber_on_one_side_is_a_check(
    over: str, open_way: tuple[str, str]
) -> None:
    part = variants(kinds()["cartridge"])[0]
    joints = {"A": "a", "B": "b", "X": over.lower()}
    found = {(w.inlet, w.outlet): w.way for w in ways(part, joints)}
    assert found == {open_way: Way.CHECK, open_way[::-1]: Way.AGAINST}


def test_a_cartridge_with_its_chamber_elsewhere_opens_both_ways_where_it_is_let_go() -> None:
    found = ways(variants(kinds()["cartridge"])[0], {"A": "a", "B": "b", "X": "x"})
    assert [(w.inlet, w.outlet, w.way, w.pilot) for w in found] == [
        ("A", "B", Way.LET_GO, "X"),
        ("B", "A", Way.LET_GO, "X"),
    ]


COUPLED = """\
circuit "coupled"
parts
  T1  tank, 40 L
  P1  pump, fixed, 10 cc/rev, 1450 rpm
  R1  relief, set 150 bar
  QC1 quick coupling
  M1  motor, gear, 10 cc/rev
lines
  from T1 to P1 S
  from P1 P through QC1 to M1 A
  from P1 P to R1 P
  from R1 T and M1 B to T1
cycle
  step run
  step off, QC1 parted
"""


def test_a_parted_coupling_lets_nothing_through() -> None:
    found = case(COUPLED)
    run, off = found.facts.steps
    assert found.network.at("M1", "A") in found.facts.supplied(run)
    assert found.network.at("M1", "A") not in found.facts.supplied(off)


LOADS = """\
circuit "loads"
parts
  T1  tank, 40 L
  P1  pump, fixed, 10 cc/rev, 1450 rpm
  R1  relief, set 150 bar
  V1  valve 4/3, tandem centre
  M1  motor, gear, 100 cc/rev
  G1  gearbox, driven by M1, ratio 4
  W1  winch, driven by G1, ratio 5, drum 200 mm, rope 10 mm, weight 8 kN
  B1  brake, driven by M1, 200 Nm, release 20 bar
  C1  cylinder, bore 50 mm, rod 30 mm, stroke 400 mm, mass 1000 kg, angle 30 deg, lever 2
  C2  cylinder, bore 50 mm, rod 30 mm, stroke 400 mm, suspended,
      first force 10 kN at 0 mm, second force 30 kN at 400 mm
  C3  cylinder, bore 50 mm, rod 30 mm, stroke 400 mm,
      first force 10 kN at 0 mm, second force 30 kN at 400 mm
lines
  from T1 to P1 S
  from P1 P to V1 P and R1 P
  from R1 T and V1 T to T1
  from V1 A to M1 A and C1 cap and C2 cap and C3 cap
  from V1 B to M1 B and C1 rod and C2 rod and C3 rod
cycle
  step lower, V1 at b, W1 layer 2, W1 load -2 kN, C2 at 200 mm
"""


def test_torque_of_a_rope_comes_through_winch_and_gearbox() -> None:
    found = case(LOADS)
    motor, (step,) = found.circuit.parts["M1"], found.circuit.steps
    # layer 2: radius (200 + 3 x 10)/2 = 115 mm; through 4 x 5
    assert hanging_torque(found, motor, step) == pytest.approx(8000 * 0.115 / 20)
    assert hanging_torque(found, motor, None) == pytest.approx(8000 * 0.105 / 20)
    assert ordered_torque(found, motor, step) == pytest.approx(2000 * 0.115 / 20)
    assert has_brake(found, motor)


WHEELS = """\
circuit "wheels"
parts
  T1  tank, 40 L
  P1  pump, fixed, 10 cc/rev, 1450 rpm
  R1  relief, set 150 bar
  V1  valve 4/3, tandem centre
  M1  motor, gear, 100 cc/rev
  G1  gearbox, driven by M1, ratio 4
  W1  wheel, driven by G1, ratio 5, radius 350 mm, weight 12 kN, rolling 8 %
lines
  from T1 to P1 S
  from P1 P to V1 P and R1 P
  from R1 T and V1 T to T1
  from V1 A to M1 A
  from V1 B to M1 B
cycle
  step level, V1 at a, W1 load 1 kN
  step up, V1 at a, W1 grade 30 %, W1 load 1 kN
  step full, V1 at a, W1 grade 30 %, W1 weight 20 kN, W1 load 1 kN
"""


def test_torque_of_a_wheel_on_a_slope_and_of_its_rolling() -> None:
    """Through 4 x 5: radius 350 mm / 20 = 17.5 mm; a slope of 30 % pulls 0.3/root(1.09)."""
    found = case(WHEELS)
    motor, (level, up, full) = found.circuit.parts["M1"], found.circuit.steps
    arm, pull = 0.35 / 20, 0.3 / 1.09**0.5
    assert hanging_torque(found, motor, None) == hanging_torque(found, motor, level) == 0.0
    assert hanging_torque(found, motor, up) == pytest.approx(12e3 * pull * arm)
    assert hanging_torque(found, motor, full) == pytest.approx(20e3 * pull * arm)
    assert rolling_torque(found, motor, up) == pytest.approx(0.08 * 12e3 * arm)
    assert rolling_torque(found, motor, full) == pytest.approx(0.08 * 20e3 * arm)
    assert ordered_torque(found, motor, up) == pytest.approx(-1000 * arm)


def test_a_mass_on_a_slope_weighs_over_its_lever() -> None:
    found = case(LOADS)
    assert weight(found, found.circuit.parts["C1"], None) == pytest.approx(9806.65)


def test_a_table_of_forces_is_a_weight_only_where_the_rod_is_suspended() -> None:
    found = case(LOADS)
    (step,) = found.circuit.steps
    assert weight(found, found.circuit.parts["C2"], step) == pytest.approx(20e3)
    assert weight(found, found.circuit.parts["C2"], None) == pytest.approx(30e3)
    assert weight(found, found.circuit.parts["C3"], step) == 0.0


LOOP = """\
circuit "loop"
parts
  T1  tank, 60 L
  P1  pump, closed loop, both ways, 28 cc/rev, 2000 rpm
  P2  pump, fixed, 8 cc/rev, 2000 rpm
  R2  relief, set 24 bar
  XR1 crossport relief, anti-cavitation, set 330 bar
  M1  motor, 100 cc/rev
lines
  from P1 A to M1 A
  from P1 B to M1 B
  from P1 A to XR1 A
  from P1 B to XR1 B
  from P2 P to XR1 T and R2 P
  from T1 to P2 S
  from R2 T and P1 L and M1 L to T1
"""


def test_a_closed_loop_has_its_reliefs_and_its_charge_pump() -> None:
    found = case(LOOP)
    for port in ("A", "B"):
        side = found.network.at("P1", port)
        assert side is not None
        assert "XR1" in {part.name for part in loop_guards(found, side)}
    assert charges_loop(found, found.circuit.parts["P2"])
    assert not charges_loop(found, found.circuit.parts["P1"])
