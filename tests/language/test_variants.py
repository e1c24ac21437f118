"""Variants: a sentence takes the place of its namesake, the rest stays as it is."""

from __future__ import annotations

import pytest

from circuitcheck.pipeline import CircuitError, Project, parse

BASE = """\
circuit "bench", issue A
oil ISO VG 46, at 50 degC
values
  work 100 bar
defaults
  every pump, volumetric 90 %
parts
  T1 tank
  P1 pump, fixed, 16 cc/rev, 1450 rpm
  R1 relief, set (work), 40 L/min
  R2 relief, set 150 bar, 40 L/min
  CK1 check
  C1 and C2 cylinder, bore 80 mm, rod 50 mm, stroke 300 mm
lines
  from T1 to P1 S
  press from P1 P to R1 P and R2 P
  test from press to G1
  spill from R1 T and R2 T to T1
  up from press through CK1 to C1 cap and C2 cap, hose 12 mm, 1 m
  down from C1 rod and C2 rod to T1
parts
  G1 gauge, 0 to 250 bar
cycle
  step lift, C1 load 20 kN, C2 load 20 kN
  step hold, 4 s
claims
  P1 flow 20 L/min, in lift
{variant}
"""


def made(variant: str, name: str = "other") -> Project:
    return parse(BASE.format(variant=variant)).variant(name)


def test_the_circuit_itself_does_not_change() -> None:
    plain = parse(BASE.format(variant=""))
    project = parse(
        BASE.format(variant="variant other\nparts\n  R1 relief, set 50 bar\nend variant")
    )
    assert project.understood
    assert project.variants == {"other": ""}
    assert project.circuit.parts["R1"].figure("set") == plain.circuit.parts["R1"].figure("set")
    assert project.point("lift").totals.loss == plain.point("lift").totals.loss


def test_a_variant_is_what_one_would_have_written() -> None:
    """Part, line, step, value, default and oil replaced, a part and a line added."""
    variant = made("""
variant other "stronger"
  oil ISO VG 32, at 40 degC
  values
    work 120 bar
  defaults
    every pump, volumetric 95 %
  parts
    C2 cylinder, bore 100 mm, rod 50 mm, stroke 300 mm
    TH1 throttle, 10 L/min at 50 bar
  lines
    down from C1 rod and C2 rod through TH1 to T1
  cycle
    step hold, 6 s, C1 at end stop
end variant""")
    written = BASE.format(variant="").replace("work 100", "work 120").replace("90 %", "95 %")
    written = written.replace("VG 46, at 50", "VG 32, at 40")
    written = written.replace("C1 and C2 cylinder", "C1 cylinder")
    written = written.replace(
        "lines\n  from T1 to",
        "  C2 cylinder, bore 100 mm, rod 50 mm, stroke 300 mm\n"
        "  TH1 throttle, 10 L/min at 50 bar\nlines\n  from T1 to",
    )
    written = written.replace("C2 rod to T1", "C2 rod through TH1 to T1")
    written = written.replace("hold, 4 s", "hold, 6 s, C1 at end stop")
    twin = parse(written)
    assert variant.understood, variant.mistakes
    assert set(variant.circuit.parts) == set(twin.circuit.parts)
    for step in ("lift", "hold"):
        one, other = variant.point(step), twin.point(step)
        for name, state in other.parts.items():
            found = one.parts[name].values
            for what, value in state.values.items():
                assert found[what] == pytest.approx(value, rel=1e-7, abs=1e-9, nan_ok=True), name
    assert variant.circuit.title == "bench: stronger"
    assert variant.circuit.claims == []


def test_what_is_taken_away_goes_with_its_ends_and_orders() -> None:
    variant = made("variant other, without C2 and CK1 and G1\nend variant")
    assert variant.understood, variant.mistakes
    assert {"C2", "CK1", "G1"}.isdisjoint(variant.circuit.parts)
    assert "test" not in [run.name for run in variant.circuit.runs]  # it led to G1 only
    up = next(run for run in variant.circuit.runs if run.name == "up")
    assert (up.through, [str(end) for end in up.stops]) == ((), ["C1 cap"])
    assert "C2" not in variant.circuit.steps[0].orders
    assert variant.circuit.steps[0].orders["C1"].figures["load"].value == 20e3


def test_a_line_taken_away_takes_those_that_hang_on_it() -> None:
    """G1 hangs on ``test``, which hangs on ``press``: a new line must join the gauge again."""
    variant = made(
        "variant other, without press\nlines\n"
        "  high from P1 P to R1 P and R2 P and G1\n  lift from high through CK1 to C1 cap\n"
        "    and C2 cap\nend variant".replace("\n    and", " and")
    )
    assert variant.understood, variant.mistakes
    names = {run.name for run in variant.circuit.runs}
    assert {"press", "test", "up"}.isdisjoint(names)
    assert {"high", "lift"} <= names


@pytest.mark.parametrize(
    ("variant", "said"),
    [
        ("variant other, without R7\nend variant", "there is no part or line R7"),
        ("variant other, with R2\nend variant", "does not belong behind the heading variant"),
        ("variant other fast\nend variant", "is not a name and a title"),
        ("variant other\nclaims\n  heat 2 kW\nend variant", "a variant has no chapter 'claims'"),
        ("variant other\nparts\n  R1 relief, sett 2 bar\nend variant", "did you mean 'set'"),
        ("variant other\nend variant\nvariant other\nend variant", "already a variant other"),
        ("variant other\nparts\n  V9 check\nend variant", "port in of V9 is not joined"),
    ],
)
def test_what_is_wrong_in_a_variant_is_said_with_its_line(variant: str, said: str) -> None:
    project = parse(BASE.format(variant=variant))
    assert project.understood
    with pytest.raises(CircuitError) as refused:
        project.variant("other").solve()
    assert said in str(refused.value)
    assert (
        "variant" in str(refused.value) or "V9" in str(refused.value) or "R1" in str(refused.value)
    )


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("variant other\nparts\n  V9 check\n", "this variant is not closed"),
        ("end variant\n", "there is no variant to end here"),
        ("variant a\nvariant b\nend variant\n", "the variant a is not closed yet"),
        ("variant\nend variant\n", "a variant needs a name"),
    ],
)
def test_the_frame_of_a_variant(text: str, said: str) -> None:
    messages = [finding.message for finding in parse(BASE.format(variant=text)).mistakes]
    assert said in messages


def test_an_unknown_variant_is_a_key_error() -> None:
    with pytest.raises(KeyError):
        made("variant one\nend variant", "two")
