"""Where oil can go: passages, searches, valve states."""

from __future__ import annotations

from circuitcheck import circuit, language
from circuitcheck.rules import catalogue
from circuitcheck.rules._case import Case, Facts
from circuitcheck.rules._inside import Way
from circuitcheck.rules._paths import REST, State, always_open, in_state

TEXT = """\
circuit "paths"
parts
  T1  tank, 40 L
  P1  pump, fixed, 10 cc/rev, 1450 rpm
  R1  relief, set 150 bar
  V1  valve 4/3, tandem centre
  PC1 pilot check, ratio 3
  CV1 check
  B1  shut-off, normally closed
  C1  cylinder, bore 50 mm, rod 30 mm, stroke 300 mm
lines
  from T1 to P1 S
  high from P1 P through CV1 to V1 P
  from high to R1 P
  from R1 T to T1
  cap from V1 A through PC1 to C1 cap
  from cap through B1 to T1
  rod from V1 B to C1 rod, hose 10 mm, 1 m
  from rod start to PC1 X
  from V1 T to T1
cycle
  step out, V1 at a, C1 load 5 kN
  step back, V1 at b, C1 load 1 kN
  step bleed, V1 at centre, B1 open
"""


def facts() -> Facts:
    built, wrong = circuit.build(language.read(TEXT, "x.hyc")[0])
    assert built is not None, [finding.message for finding in wrong]
    return Facts(built, None)


def state(found: Facts, name: str) -> State:
    return next(s for s in found.steps if s.step is not None and s.step.name == name)


def test_a_check_lets_oil_one_way_only() -> None:
    network = facts().network
    outlet, high = network.at("P1", "P"), network.at("V1", "P")
    assert outlet is not None
    assert high is not None
    assert high in network.reach([outlet], always_open)
    assert outlet not in network.reach([high], always_open)


def test_a_search_ends_at_the_tank() -> None:
    network = facts().network
    start = network.at("V1", "T")
    assert start in network.tanks
    assert list(network.reach([start], always_open).found) == [start]


def test_a_backward_search_gives_the_way_to_the_tank() -> None:
    found = facts()
    rod = found.network.at("C1", "rod")
    assert rod is not None
    reached = found.network.reach(
        found.network.tanks, in_state(found.circuit, state(found, "out")), backward=True
    )
    assert [passage.part for passage in reversed(reached.path(rod))] == ["rod", "V1"]


def test_supply_and_return_follow_the_valve() -> None:
    found = facts()
    cap, rod = found.network.at("C1", "cap"), found.network.at("C1", "rod")
    out, back = state(found, "out"), state(found, "back")
    assert cap in found.supplied(out)
    assert rod not in found.supplied(out)
    assert rod in found.drained(out)
    assert rod in found.supplied(back)


def test_a_pilot_check_opens_where_its_pilot_is_supplied() -> None:
    found = facts()
    cap = found.network.at("C1", "cap")
    assert cap in found.drained(state(found, "back"))
    assert cap not in found.drained(state(found, "out"))
    assert cap not in found.vented(REST)


def test_a_shut_off_is_open_only_where_a_step_opens_it() -> None:
    found = facts()
    cap = found.network.at("C1", "cap")
    assert cap in found.vented(state(found, "bleed"))
    assert cap not in found.vented(REST)


def test_states_are_steps_rest_and_each_position_by_itself() -> None:
    found = facts()
    labels = [state.label for state, _ in found.looks(found.network.at("C1", "cap") or "")]
    assert labels == ["step out", "step back", "step bleed", "rest", "V1 at a", "V1 at b"]


def test_every_passage_of_a_spool_knows_its_positions() -> None:
    found = facts()
    ways = {
        (p.inlet, p.outlet): set(p.positions)
        for p in found.network.of_part["V1"]
        if p.way is Way.SPOOL
    }
    assert ways["P", "A"] == {"a"}
    assert ways["P", "T"] == {"centre"}
    assert ways["A", "T"] == ways["T", "A"] == {"b"}


SECTION = """\
circuit "section"
parts
  T1  tank, 40 L
  P1  pump, load sensing, margin 20 bar, compensator 200 bar, 45 cc/rev, 1450 rpm
  R1  relief, set 230 bar
  VS1 section, 40 L/min
  C1  cylinder, bore 50 mm, rod 30 mm, stroke 300 mm
lines
  from T1 to P1 S
  from P1 P to VS1 P and R1 P
  from VS1 LS to P1 X
  from VS1 T and R1 T and P1 L to T1
  from VS1 A to C1 cap
  from VS1 B to C1 rod
"""


def test_a_section_hands_on_the_pressure_of_the_side_that_it_feeds() -> None:
    built, wrong = circuit.build(language.read(SECTION, "x.hyc")[0])
    assert built is not None, [finding.message for finding in wrong]
    found = Facts(built, None)
    ways = {
        (p.inlet, p.outlet): set(p.positions)
        for p in found.network.of_part["VS1"]
        if p.way is Way.SIGNAL
    }
    assert ways == {("A", "LS"): {"a"}, ("B", "LS"): {"b"}, ("LS", "T"): {"centre"}}
    signal = found.network.at("P1", "X")
    assert signal in found.vented(REST)
    moved = State("VS1 at a", None, {"VS1": "a"})
    assert signal not in found.vented(moved)


def test_a_case_gives_the_limit_of_the_part_before_the_default() -> None:
    found = facts()
    case = Case(found, catalogue()["inlet-starved"])
    assert case.limit("least", found.circuit.parts["P1"], "inlet limit").origin == "default limit"
