"""A block in a circuit is the same as its parts and lines written out."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from circuitcheck.basics.findings import Severity
from circuitcheck.circuit import Circuit, build
from circuitcheck.language import read, read_file
from circuitcheck.solver.solve import solve

CIRCUITS = Path(__file__).parent.parent / "language" / "circuits"
BLOCKS = """
block clamp, bore ? mm, limit 120 bar
  ports P, T
  values
    opens (1.0 * limit)
  parts
    V1  valve 4/3, closed centre, spring centred, solenoids a and b, 20 L/min at 4 bar
    C1  cylinder, bore (bore), rod 28 mm, stroke 100 mm
    X1  stop, set (opens)
  lines
    from P to V1 P
    from T to V1 T
    push  from V1 A to X1 P, hose 8 mm, 1 m
    from push to C1 cap
    from X1 T to T
    from V1 B to C1 rod
  drawing
    C1 above V1
end block
block stop, set ? bar
  ports P, T
  parts
    R1  relief, set (set), 20 L/min
  lines
    from P to R1 P
    from R1 T to T, hose 8 mm, 0.5 m
end block
"""
STATION = """
values
  low  90 bar
defaults
  every clamp, bore 50 mm
parts
  T1  tank, 60 L
  E1  electric motor, 4 kW, 1450 rpm
  P1  pump, fixed, 8 cc/rev, driven by E1
  R1  relief, set 160 bar, 30 L/min
"""
USED = """
  K1  clamp, limit (low)
  K2  clamp, bore 63 mm
lines
  from T1 to P1 S, hose 25 mm, 0.5 m
  pressure  from P1 P to K1 P and K2 P, hose 12.7 mm, 1 m
  from pressure to R1 P
  from R1 T to T1
  from K1 T and K2 T to T1, hose 19 mm, 1 m
"""
OUT = """
  V1  valve 4/3, closed centre, spring centred, solenoids a and b, 20 L/min at 4 bar
  C1  cylinder, bore 50 mm, rod 28 mm, stroke 100 mm
  R11 relief, set 90 bar, 20 L/min
  V2  valve 4/3, closed centre, spring centred, solenoids a and b, 20 L/min at 4 bar
  C2  cylinder, bore 63 mm, rod 28 mm, stroke 100 mm
  R22 relief, set 120 bar, 20 L/min
lines
  from T1 to P1 S, hose 25 mm, 0.5 m
  pressure  from P1 P to V1 P and V2 P, hose 12.7 mm, 1 m
  from pressure to R1 P
  from R1 T to T1
  back  from V1 T and V2 T to T1, hose 19 mm, 1 m
  from R11 T to back start, hose 8 mm, 0.5 m
  push1 from V1 A to R11 P, hose 8 mm, 1 m
  from push1 to C1 cap
  from V1 B to C1 rod
  from R22 T to back start, hose 8 mm, 0.5 m
  push2 from V2 A to R22 P, hose 8 mm, 1 m
  from push2 to C2 cap
  from V2 B to C2 rod
"""
CYCLE = """
cycle
  step grip, {0} at a, {2} at end stop, {1} at a, {3} load 5 kN
  step back, {0} at b 50 %, {2} load 1 kN, {1} at centre, {3} held
"""
PAIRS = {
    "K1/V1": "V1", "K1/C1": "C1", "K1/X1/R1": "R11",
    "K2/V1": "V2", "K2/C1": "C2", "K2/X1/R1": "R22", "P1": "P1", "R1": "R1",
}  # fmt: skip


def built(source: str) -> Circuit:
    text, findings = read(source, "x.hyc")
    circuit, more = build(text)
    assert [f.message for f in (*findings, *more)] == []
    assert circuit is not None
    return circuit


def clamps(more: str = "") -> Circuit:
    orders = CYCLE.format("K1", "K2", "K1/C1", "K2/C1")
    return built(BLOCKS + STATION + USED + orders + more)


def test_a_block_is_its_parts_written_out() -> None:
    used = solve(clamps())
    out = solve(built((STATION + OUT + CYCLE.format("V1", "V2", "C1", "C2")).replace(
        "  every clamp, bore 50 mm\n", "")))  # fmt: skip
    assert used.solved
    assert out.solved
    for one, other in zip(used, out, strict=True):
        for inside, plain in PAIRS.items():
            ours, theirs = one.parts[inside], other.parts[plain]
            assert ours.state == theirs.state
            for letter, port in ours.ports.items():
                alike = theirs.ports[letter]
                assert port.pressure == pytest.approx(alike.pressure, rel=1e-9, abs=1.0)
                assert port.flow == pytest.approx(alike.flow, rel=1e-9, abs=1e-12)


def test_what_belongs_to_a_block_is_kept() -> None:
    circuit = clamps()
    first, stop, second, _ = circuit.blocks
    assert (first.name, first.block) == ("K1", "clamp")
    assert (stop.name, stop.block) == ("K1/X1", "stop")
    assert set(first.parts) == {
        "K1/V1", "K1/C1", "K1/X1/R1", "K1/push", "K1/X1/R1 T to T",
    }  # fmt: skip
    valve = circuit.junction_of("K1/V1", "P")
    assert valve is not None
    assert first.ports["P"] == valve.name == second.ports["P"]
    assert [(hint.subject, hint.objects) for hint in circuit.hints] == [
        ("K1/C1", ("K1/V1",)),
        ("K2/C1", ("K2/V1",)),
    ]


def test_figures_come_from_the_use_then_every_then_the_block() -> None:
    circuit = clamps()
    assert circuit.parts["K1/C1"].figure("bore") == pytest.approx(0.05)
    assert circuit.parts["K2/C1"].figure("bore") == pytest.approx(0.063)
    assert circuit.parts["K1/X1/R1"].figure("set") == pytest.approx(90e5)
    assert circuit.parts["K2/X1/R1"].figure("set") == pytest.approx(120e5)
    rows = {(a.part, a.name, a.text, a.origin) for a in circuit.assumptions}
    assert ("K1", "bore", "50 mm", "every clamp") in rows
    assert ("K2", "limit", "120 bar", "block clamp") in rows


def test_claims_readings_and_drives_name_parts_inside() -> None:
    more = """
claims
  K1/C1 force 17 kN, in grip
  K2 P pressure 150 bar, in grip
  K1/push pressure 88 bar, in grip
readings
  K1/X1/R1 drop 88 bar, in grip
drawing
  K1 left of K2
  P1 below K1/V1
"""
    circuit = clamps(more)
    subjects = [(claim.subject, claim.port, claim.what) for claim in circuit.claims]
    assert subjects[:2] == [("K1/C1", "", "force"), ("K2/V1", "P", "pressure")]
    assert circuit.readings[0].subject == "K1/X1/R1"
    assert [hint.subject for hint in circuit.hints][:2] == ["K1", "P1"]


def test_an_order_for_a_block_goes_to_the_part_that_can_do_it() -> None:
    circuit = clamps()
    assert circuit.steps[1].orders["K1/V1"].position == "b"
    assert circuit.steps[1].orders["K1/V1"].opening == pytest.approx(0.5)
    twin = BLOCKS.replace("    X1  stop", "    V2  valve 2/2\n    X1  stop")
    text, _ = read(twin + STATION + USED + CYCLE.format("K1", "K2", "K1/C1", "K2/C1"), "x.hyc")
    found = [f for f in build(text)[1] if f.slug == "unknown-order"]
    assert found[0].message == "which part of K1 is meant?"
    assert found[0].remedy == "write K1/V1 at or K1/V2 at ..."


def test_a_mistake_inside_says_who_uses_the_block() -> None:
    text, _ = read(BLOCKS.replace("rod 28 mm", "rod 280 mm") + STATION + USED, "x.hyc")
    _, findings = build(text)
    assert [f.message for f in findings if f.severity is Severity.ERROR] == [
        "the rod (280 mm) is not smaller than the bore (50 mm)",
        "the rod (280 mm) is not smaller than the bore (63 mm)",
    ]
    (note,) = findings[0].notes
    line = text.source.split("\n").index("  K1  clamp, limit (low)") + 1
    assert (note.message, note.place.line) == ("K1 is made from this block", line)


def test_the_winch_of_two_sections_is_built_and_solved() -> None:
    text, findings = read_file(CIRCUITS / "2_winch.hyc")
    assert findings == []
    circuit, _ = build(text)
    assert circuit is not None
    assert {use.name for use in circuit.blocks} == {"S1", "S2"}
    answer = solve(circuit)
    assert answer.solved
    haul = answer.step("haul")
    # orifice law of the spool, 60 L/min at the 7 bar that its compensator keeps (within the
    # compensator's band of 2 bar); rated flows hold for oil a little heavier than at 55 degC
    ports = haul.parts["S2/V1"].ports
    drop = ports["P"].pressure - ports["A"].pressure
    assert 5e5 <= drop <= 7e5
    assert ports["P"].flow == pytest.approx(60 / 6e4 * np.sqrt(drop / 7e5), rel=0.02)
    standby = answer.step("standby").parts["P1"].ports["P"].pressure
    assert np.isclose(standby, 20e5, rtol=0.02)


def test_very_many_parts_in_blocks_are_refused() -> None:
    inside = "".join(f"  X{j} b{{0}}\n" for j in range(20))
    rows = [f"block b{i}\n parts\n{inside.format(i + 1)}end block" for i in range(6)]
    rows += ["block b6", " parts", "  R1 relief, set 3 bar", "end block", "parts", " A b0", ""]
    source = "\n".join(rows)
    text, _ = read(source)
    circuit, findings = build(text)
    assert circuit is None
    assert any("more than 100000 parts" in finding.message for finding in findings)


INSIDE = """
block pressed, limit 120 bar
  ports P, T
  defaults
    every relief, rated (2 * limit)
    every stop, set 70 bar
    every hose, 3 m
  parts
    V1  valve 4/3, closed centre, spring centred, solenoids a and b, 20 L/min at 4 bar
    C1  cylinder, bore 50 mm, rod 28 mm, stroke 100 mm
    R2  relief, set (limit), 20 L/min
    R3  relief, set (limit), 20 L/min, rated 300 bar
    X1  stop
  lines
    from P to V1 P
    from T to V1 T
    push  from V1 A to R2 P, hose 8 mm
    from push to C1 cap and X1 P and R3 P
    from V1 B to C1 rod
    from R2 T and R3 T and X1 T to T
  cycle
    step grip, V1 at a, C1 at end stop
    step back, V1 at b, C1 load 1 kN
end block
block stop, set ? bar
  ports P, T
  parts
    R1  relief, set (set), 20 L/min
  lines
    from P to R1 P
    from R1 T to T
end block
defaults
  every relief, rated 400 bar
"""
PRESSED = (
    INSIDE
    + STATION.replace("  every clamp, bore 50 mm\n", "")
    + """
  K1  pressed
  K2  pressed, limit 100 bar
lines
  from T1 to P1 S
  from P1 P to K1 P and K2 P and R1 P
  from R1 T and K1 T and K2 T to T1
cycle
  step grip, 3 s
  step back, K2/V1 at a, K2/C1 load 2 kN
"""
)


def test_defaults_of_a_block_hold_inside_it_and_the_nearest_wins() -> None:
    parts = built(PRESSED).parts
    rated = {name: part.figure("rated") for name, part in parts.items()}
    assert rated["K1/R2"] == pytest.approx(240e5)
    assert rated["K2/R2"] == pytest.approx(200e5)
    assert rated["K1/R3"] == pytest.approx(300e5)  # its own words
    assert rated["K1/X1/R1"] == pytest.approx(240e5)  # also in the blocks inside
    assert rated["R1"] == pytest.approx(400e5)  # outside the circuit's own holds
    assert parts["K1/X1/R1"].figure("set") == pytest.approx(70e5)
    assert parts["K1/push"].figure("length") == pytest.approx(3.0)


def test_a_block_says_what_its_parts_do_and_the_circuit_may_say_otherwise() -> None:
    grip, back = built(PRESSED).steps
    assert grip.orders["K1/V1"].position == grip.orders["K2/V1"].position == "a"
    assert "at end stop" in grip.orders["K2/C1"].words
    assert grip.duration == pytest.approx(3.0)
    assert back.orders["K1/V1"].position == "b"
    assert back.orders["K1/C1"].figures["load"].value == pytest.approx(1e3)
    assert back.orders["K2/V1"].position == "a"
    assert back.orders["K2/C1"].figures["load"].value == pytest.approx(2e3)


def test_a_step_of_a_block_that_the_circuit_does_not_have_is_said_once() -> None:
    text, _ = read(PRESSED.replace("step grip, 3 s", "step grib, 3 s"), "x.hyc")
    circuit, findings = build(text)
    assert circuit is not None
    (finding,) = findings
    assert (finding.slug, finding.severity) == ("step-not-there", Severity.WARNING)
    assert finding.message == "the circuit has no step 'grip': this says nothing"
    assert finding.remedy == "did you mean 'grib'?"


CLEAN = """
block clean, flow 60 L/min
  ports IN, OUT
  parts
    F1  filter, 10 um, (flow) at 0.5 bar, bypass 1.7 bar
    K1  cooler, 1.5 kW at 30 degC over ambient, (flow) at 0.3 bar
  lines
    from IN through F1 and K1 to OUT
end block
"""
RETURN = """
parts
  T1  tank, 60 L
  E1  electric motor, 4 kW, 1450 rpm
  P1  pump, fixed, 8 cc/rev, driven by E1
  {parts}
lines
  from T1 to P1 S
  back  from P1 P through {through} to T1{size}
"""


@pytest.mark.parametrize("size", ["", ", hose 12.7 mm, 2 m"])
def test_a_block_stands_in_a_run_like_its_parts(size: str) -> None:
    used = RETURN.format(parts="X1  clean", through="X1", size=size)
    out = RETURN.format(
        parts="F1  filter, 10 um, 60 L/min at 0.5 bar, bypass 1.7 bar\n"
        "  K1  cooler, 1.5 kW at 30 degC over ambient, 60 L/min at 0.3 bar",
        through="F1 and K1",
        size=size,
    )
    block, plain = built(CLEAN + used), built(out)
    assert next(run for run in block.runs if run.name == "back").through == ("X1",)
    for inside, part in (("X1/F1", "F1"), ("X1/K1", "K1")):
        for port in ("in", "out"):
            one, other = block.junction_of(inside, port), plain.junction_of(part, port)
            assert one is not None
            assert other is not None
            named = {str(end).removeprefix("X1/") for end in one.ends}
            assert named == {str(end) for end in other.ends}
