"""Branches of the rules that their pages enter from one side only: what is found, with figures."""

from __future__ import annotations

import math
import re
from pathlib import Path

import pytest

from circuitcheck import circuit, language, rules
from circuitcheck.basics.findings import Finding, Severity
from circuitcheck.circuit import Circuit
from circuitcheck.solver.solve import solve
from tests.press_text import PRESS
from tests.rules.conftest import holds_together


def edited(text: str, *pairs: tuple[str, str]) -> str:
    """Replace pieces of a text, each of which must stand in it; "" stands for its end."""
    for old, new in pairs:
        assert old in text, old
        text = text.replace(old, new) if old else text + new
    return text


PLANT = edited(
    PRESS,
    ("closed centre", "tandem centre"),
    ("", "  step back, V1 at b, C1 load 2 kN, C1 travels 400 mm\n"),
)


def built(text: str) -> Circuit:
    read, mistakes = language.read(text, "x.hyc")
    made, wrong = circuit.build(read)
    told = [m.message for m in (*mistakes, *wrong)]
    assert made is not None, told
    assert told == []
    return made


def findings(text: str, slug: str) -> list[Finding]:
    made = built(text)
    found = [f for f in rules.check_all(made, solve(made)).all_findings() if f.slug == slug]
    for one in found:
        holds_together(one)
    return found


def figures(finding: Finding) -> dict[str, float]:
    return {number.name: number.value for number in finding.numbers}


REDUCED = edited(
    PLANT,
    ("stroke 400 mm\n", "stroke 400 mm, rated 60 bar\n  RV1 reducing valve, set 80 bar\n"),
    ("from P1 P to V1 P", "from P1 P to RV1 P\n  from RV1 A to V1 P\n  from RV1 T to T1"),
)


def test_behind_a_reducing_valve_its_own_setting_may_be_over_a_rating() -> None:
    (found,) = findings(REDUCED, "relief-over-lowest-rating")
    assert found.component == "RV1"
    assert figures(found) == {"pressure at full flow": 80e5, "rating of C1": 60e5}


def test_behind_a_section_its_limit_counts() -> None:
    text = edited(
        page_circuit("low-standby-off", 0), ("C1  cylinder,", "C1  cylinder, rated 170 bar,")
    )
    (found,) = findings(text, "relief-over-lowest-rating")
    assert found.component == "S1"
    assert figures(found) == {"pressure at full flow": 180e5, "rating of C1": 170e5}


def test_a_back_pressure_valve_in_the_return_passes_oil_by_design() -> None:
    text = edited(
        PLANT,
        ("lines\n", "  R2  relief, set 5 bar\nlines\n"),
        ("from V1 T to T1", "from V1 T to R2 P\n  from R2 T to T1"),
    )
    for slug in ("relief-open-in-work", "idle-over-relief"):
        assert findings(text, slug) == []


def test_a_relief_smaller_than_the_pump_goes_over_its_setting() -> None:
    """16 cm3 x 1450 rpm x 92 % = 21.3 L/min; 180 bar (1 + 10 % (21.3/10 - 1)) = 200 bar."""
    text = edited(
        PLANT,
        ("relief, set 180 bar", "relief, set 180 bar, flow 10 L/min, override 10 %"),
        ("driven by E1", "driven by E1, volumetric 92 %"),
        ("stroke 400 mm", "stroke 400 mm, rated 190 bar"),
    )
    (found,) = findings(text, "relief-over-lowest-rating")
    by_hand = 180e5 * (1 + 0.1 * (16 * 1.45 * 0.92 / 10 - 1))
    assert figures(found)["pressure at full flow"] == pytest.approx(by_hand)
    wide = edited(text, ("flow 10 L/min", "flow 22 L/min"))
    assert findings(wide, "relief-over-lowest-rating") == []


METERED = edited(
    PLANT,
    ("pump, fixed, 16 cc/rev", "pump, pressure compensated, 16 cc/rev, compensator 150 bar"),
    ("lines\n", "  FM1 flowmeter, 0 to 60 L/min\n  FM2 flowmeter, 0 to 60 L/min\nlines\n"),
    ("from P1 P to V1 P", "feed from P1 P to FM1 in, hose 12 mm, 1 m\n  from FM1 out to V1 P"),
    ("from P1 P to R1 P", "from FM1 out to R1 P\n  from P1 L through FM2 to T1"),
)


@pytest.mark.parametrize(
    ("one", "other", "apart"),
    [
        ("P1 case drain 2 L/min", "FM2 2.05 L/min", None),
        ("P1 case drain 2 L/min", "FM2 4 L/min", 2.0),
        ("P1 flow 20 L/min", "FM1 20.1 L/min", None),
        ("P1 flow 20 L/min", "FM1 25 L/min", 5.0),
        ("feed flow 20 L/min", "FM1 20.1 L/min", None),
        ("feed flow 20 L/min", "FM1 25 L/min", 5.0),
        ("V1 P flow 20 L/min", "C1 cap flow 20.1 L/min", None),
        ("V1 P flow 20 L/min", "C1 cap flow 25 L/min", 5.0),
    ],
)
def test_two_readings_of_one_flow_must_agree(one: str, other: str, apart: float | None) -> None:
    rows = f'readings "hot", within 3 %\n  {one}, in out\n  {other}, in out\n'
    found = findings(METERED + rows, "readings-contradict")
    if apart is None:
        assert found == []
    else:
        (told,) = found
        assert figures(told)["flow from nowhere"] == pytest.approx(apart * 1e-3 / 60, rel=0.05)


THROUGH = edited(
    PLANT,
    ("lines\n", "  FM1 flowmeter, 0 to 60 L/min\n  FM2 flowmeter, 0 to 60 L/min\nlines\n"),
    ("from P1 P to V1 P", "from P1 P through FM1 to V1 P"),
    ("from V1 T to T1", "from V1 T through FM2 to T1"),
)
IN_AND_OUT = 'readings "hot", within 3 %\n  FM1 22 L/min, in back\n  FM2 22 L/min, in back\n'


def test_what_goes_into_one_side_of_a_piston_does_not_come_out_of_the_other() -> None:
    (found,) = findings(THROUGH + IN_AND_OUT, "readings-contradict")
    assert found.step == "back"
    stored = edited(THROUGH, ("lines\n", "  A1  accumulator, 4 L, precharge 20 bar\nlines\n"))
    stored = edited(stored, ("from V1 T through", "from V1 P to A1\n  from V1 T through"))
    assert findings(stored + IN_AND_OUT, "readings-contradict") == [], "the store may take it up"


def test_of_several_readings_that_contradict_the_last_is_told_and_the_others_noted() -> None:
    text = THROUGH + (
        'readings "hot", within 3 %\n  FM1 22 L/min, in idle\n'
        "  V1 P flow 22 L/min, in idle\n  FM2 27 L/min, in idle\n"
    )
    (found,) = findings(text, "readings-contradict")
    last = text.count("\n")
    assert (found.component, found.place.line) == ("FM2", last)
    assert [note.place.line for note in found.notes] == [last - 2, last - 1]


def test_energy_of_the_oil_shut_in_on_both_sides_of_a_piston() -> None:
    """p^2 V / (2 K) on each side, V the whole stroke."""
    text = edited(PLANT, ("tandem centre", "closed centre"))
    (found,) = findings(text, "stored-energy-after-stop")
    told, oil = figures(found), built(text).oil
    stiff = float(oil.bulk_modulus(45.0))
    cap, rod = (math.pi / 4 * a * 0.4 for a in (0.08**2, 0.08**2 - 0.05**2))
    sides = ((told["pressure of C1 cap"], cap), (told["pressure of C1 rod"], rod))
    by_hand = sum(pressure**2 * volume / (2 * stiff) for pressure, volume in sides)
    assert told["stored energy"] == pytest.approx(by_hand)


def test_energy_of_an_accumulator_is_told_among_the_others() -> None:
    text = edited(
        PLANT,
        ("tandem centre", "float centre"),
        ("lines\n", "  A1  accumulator, 4 L, precharge 80 bar\n  CV1 check\nlines\n"),
        ("from P1 P to V1 P", "from P1 P through CV1 to V1 P\n  from V1 P to A1"),
    )
    (found,) = findings(text, "stored-energy-after-stop")
    told = figures(found)
    assert told["pressure of A1"] > 80e5
    high, low = told["pressure of A1"] + 101325.0, 80e5 + 101325.0
    n = 1.4
    squeezed = 4e-3 * (low / high) ** (1 / n)
    work = high * squeezed / (n - 1) * (1 - (squeezed / 4e-3) ** (n - 1))
    assert told["stored energy"] == pytest.approx(work, rel=0.01)


def test_only_the_tank_port_of_a_valve_has_the_tank_rating() -> None:
    """The valve sees 40 bar at P, A or B in the steps, and next to nothing at T."""
    strong = edited(PLANT, ("tandem centre", "tandem centre, rated 315 bar, tank rated 5 bar"))
    assert findings(strong, "pressure-over-rating") == []
    text = edited(
        strong,
        ("lines\n", "  R2  relief, set 8 bar\nlines\n"),
        ("from V1 T to T1", "from V1 T to R2 P\n  from R2 T to T1"),
    )
    (found,) = findings(text, "pressure-over-rating")
    assert (found.component, found.port) == ("V1", "T")
    assert figures(found)["rating"] == 5e5


def test_a_volume_that_is_open_does_not_hide_one_that_is_shut_in() -> None:
    text = edited(
        PLANT,
        ("lines\n", "  V2  valve 4/3, float centre\n"
         "  C0  cylinder, bore 40 mm, rod 20 mm, stroke 100 mm\n"
         "  C2  cylinder, bore 40 mm, rod 20 mm, stroke 100 mm\nlines\n"),
        ("from V1 A to C1 cap\n  from V1 B to C1 rod\n", "from V2 A to C1 cap\n"
         "  from V2 B to C1 rod\n  from V1 A to C0 cap and C2 cap\n"
         "  from V1 B to C0 rod and C2 rod\n  from P1 P to V2 P\n  from V2 T to T1\n"),
        ("tandem centre", "closed centre"),
    )  # fmt: skip
    text = text[: text.index("cycle")] + "cycle\n  step out, V1 at a, C0 load 1 kN, C2 load 2 kN\n"
    (found,) = findings(text, "stored-energy-after-stop")
    assert "pressure of C0 cap" in figures(found)
    assert not any("C1" in name for name in figures(found))


def test_a_rod_side_may_be_shut_in_while_the_cap_side_is_open() -> None:
    text = edited(PLANT, ("tandem centre", "at a P-A B-T, at centre A-T, at b P-B A-T"))
    (found,) = findings(text, "stored-energy-after-stop")
    assert "pressure of C1 rod" in figures(found)
    assert "pressure of C1 cap" not in figures(found)


def test_a_rod_at_its_end_by_the_ways_of_the_steps_before_presses_on_purpose() -> None:
    text = PLANT[: PLANT.index("cycle")] + (
        "cycle\n  step out, V1 at a, C1 load 20 kN, C1 travels 400 mm\n  step stay, V1 at a, 5 s\n"
    )
    assert findings(text, "relief-open-in-work") == []
    stalled = edited(
        text, ("V1 at a, 5 s", "V1 at a, C1 load 120 kN, 5 s"), ("400 mm\n  step", "200 mm\n  step")
    )
    (found,) = findings(stalled, "relief-open-in-work")
    assert (found.component, found.step) == ("R1", "stay")


def page_circuit(slug: str, number: int) -> str:
    """A circuit of a page by its place on it, from 0, each sentence on one line."""
    page = (Path(__file__).parent / f"{slug}.md").read_text(encoding="utf-8")
    blocks = re.findall(r"^```hyc[^\n]*\n(.*?)^```$", page, re.M | re.S)
    return str(blocks[number]).replace(",\n      ", ", ")


READ = "FM1 6 L/min, in lift"
WORN = "case-flow-high"
CASE = "case-pressure-reading-high"
FAST = "motor-speed-outside"
POWER_LOSS = "load-drops-on-power-loss 4"
STOPPED = "motor-without-crossport-relief"
HOIST = "winch, driven by M1, ratio 20, drum 250 mm, rope 12 mm, weight 8 kN"
ROPE = "counterbalance-set-low 3"
UP = ("M1 L to T1\n", "M1 L to T1\ncycle\n  step up, V1 at a, W1 load 10 kN, 2 s\n")


@pytest.mark.parametrize(
    ("slug", "edits", "words", "severity"),
    [
        ("valve-plate-mismatch", [("size 06, plate 10", "size 06"), ("16 cc/rev", "28 cc/rev")],
         "in step back; 60 L/min is usual", "warning"),
        ("valve-plate-mismatch", [("size 06, plate 10", "size 10"), ("16 cc/rev", "28 cc/rev")],
         "", ""),
        ("ls-line-without-bleed", [], "stays at up to 63.4 bar instead of 20 bar standby", "error"),
        ("low-standby-off", [("lines\n", "  R2  relief, set 8 bar\nlines\n"),
                             ("  from R1 T to T1\n", "  from R2 T to T1\n"),
                             ("S2 T to T1", "S2 T and R1 T to R2 P")],
         "expected 27.6 bar (margin 20 bar + LS 7.59 bar)", "warning"),
        (STOPPED, [(HOIST, "wheel, driven by M1, ratio 20, radius 300 mm, weight 8 kN")],
         "M1 is stopped between shut ports", "warning"),
        (STOPPED, [(HOIST, "brake, driven by M1, 200 Nm, release 20 bar"),
                   ("M1 L to T1", "M1 L to T1\n  from W1 R to V1 A")], "", ""),
        ("ls-limits-out-of-order", [], "10 bar and 19 bar should lie between", "error"),
        ("ls-limits-out-of-order", [("compensator 190", "compensator 140")],
         "10 bar and 15 bar should lie between", "error"),
        ("ls-shuttle-missing",
         [("  S1  section", "  S0  section, 30 L/min, limit 180 bar\n  SH1 shuttle\n  S1  section"),
          ("high from P1 P to S1 P", "high from P1 P to S0 P and S1 P"),
          ("from S1 LS and S2 LS to P1 X", "from S0 LS to SH1 1\n  from S1 LS and S2 LS to SH1 2\n"
           "  from SH1 out to P1 X\n  from S0 A to C0 cap\n  from S0 B to C0 rod\n"
           "  from S0 T to T1"),
          ("lines\n", "  C0  cylinder, bore 80 mm, rod 50 mm, stroke 400 mm\nlines\n")],
         "functions S1 and S2 share", "error"),
        (ROPE, [(", weight 10 kN", ""), UP], "holds 39.3 bar of load (M1) only by 1.15", "error"),
        (ROPE, [(", weight 10 kN", ""), UP, ("set 45 bar", "set 52 bar")], "", ""),
        (ROPE, [("winch, driven by M1, ratio 20, drum 250 mm, weight 10 kN",
                 "wheel, driven by M1, ratio 20, radius 125 mm"), UP], "", ""),
        (POWER_LOSS, [(", weight 10 kN", "")], "", ""),
        (POWER_LOSS, [(", weight 10 kN", ""), ("M1 L to T1\n", "M1 L to T1\ncycle\n"
                                               "  step up, V1 at a, W1 weight 4 kN, 2 s\n")],
         "the load on M1 comes down", "error"),
        (WORN, [(READ, "P1 case drain 6 L/min, in lift")], "over the wear limit 5 L/min", "error"),
        (WORN, [(READ, "FM1 3 L/min, in lift"), ("wear limit 5 L/min", "wear limit 2.9 L/min")],
         "times baseline (1.63 L/min), over the wear limit 2.9 L/min", "error"),
        (WORN, [(READ, "FM1 3 L/min, in lift")], "times baseline", "warning"),
        (WORN, [(READ, "FM1 2 L/min, in lift")], "", ""),
        (WORN, [("case drain 2 L/min at 200 bar, wear limit 5 L/min", "rated 280 bar")],
         "8.9 % of the theoretical flow", "warning"),
        (WORN, [("case drain 2 L/min at 200 bar, wear limit 5 L/min", "rated 280 bar"),
                (READ, "FM1 7 L/min, in lift")], "10.4 % of the theoretical flow", "error"),
        (WORN, [("case drain 2 L/min at 200 bar, wear limit 5 L/min", "rated 280 bar"),
                (READ, "FM1 3 L/min, in lift")], "", ""),
        (CASE, [("driven by E1", "driven by E1, case limit 4 bar")], "limit 4 bar", "warning"),
        (CASE, [("driven by E1", "driven by E1, case limit 4 bar"), ("2.6 bar", "4.1 bar")],
         "limit from P1", "error"),
        (CASE, [("2.6 bar", "0.4 bar")], "", ""),
        (FAST, [("speed limit 250 rpm", "least speed 400 rpm")], "is the least (limit from M1)",
         "warning"),
        (FAST, [("speed limit 250 rpm", "axial piston, least speed 100 rpm")], "", ""),
        (FAST, [("100 cc/rev, speed limit 250 rpm", "axial piston, 1000 cc/rev")],
         "50 rpm is the least", "warning"),
        (FAST, [("100 cc/rev, speed limit 250 rpm", "bent axis, 1000 cc/rev")],
         "50 rpm is the least", "warning"),
        (FAST, [("100 cc/rev, speed limit 250 rpm", "radial piston, 1000 cc/rev")], "", ""),
    ],
)  # fmt: skip
def test_the_circuit_of_a_page_with_other_figures(
    slug: str, edits: list[tuple[str, str]], words: str, severity: str
) -> None:
    slug, _, number = slug.partition(" ")
    found = findings(edited(page_circuit(slug, int(number or 0)), *edits), slug)
    if not severity:
        assert found == []
        return
    (one,) = found
    assert words in one.message
    assert one.severity is Severity(severity)


def test_pull_of_a_winch_on_its_layers() -> None:
    """M = V p / 2 pi times ratio and losses; radius (250 + 20)/2 bare, (250 + 9 x 20)/2 on top."""
    text = edited(
        page_circuit("layer-pull-changes", 0),
        ("motor, 100 cc/rev", "motor, 100 cc/rev, mechanical 90 %"),
        ("ratio 20", "ratio 20, gear 80 %"),
    )
    torque = 100e-6 / (2 * math.pi) * 180e5 * 0.9 * 20 * 0.8
    (found,) = findings(text, "layer-pull-changes")
    assert figures(found)["bare drum"] == pytest.approx(torque / 0.135)
    assert figures(found)["top layer"] == pytest.approx(torque / 0.215)


DRIVEN = """\
circuit "motor"
oil ISO VG 46, at 45 degC
parts
  T1  tank, 100 L
  P1  pump, fixed, 25 cc/rev, 1450 rpm
  R1  relief, set 180 bar
  V1  valve 4/3, tandem centre
  M1  motor, axial piston, 100 cc/rev
lines
  from T1 to P1 S
  from P1 P to V1 P and R1 P
  from V1 A to M1 A
  from V1 B to M1 B
  from R1 T and M1 L and V1 T to T1
cycle
  step light, V1 at a, M1 load 60 Nm, 10 s
  step heavy, V1 at a, M1 load 200 Nm, 10 s
readings "service", at 45 degC
  M1 case drain 0.2 L/min, in light
  M1 case drain {worn} L/min, in heavy
"""


def test_the_case_flow_of_a_worn_motor_rises_with_its_load() -> None:
    """Leakage goes with the pressure, here about 200/60 times; 20 times is wear."""
    assert findings(DRIVEN.format(worn=0.7), "case-flow-rises-with-load") == []
    (found,) = findings(DRIVEN.format(worn=4.0), "case-flow-rises-with-load")
    assert (found.component, found.step) == ("M1", "heavy")
    told = figures(found)
    assert told["rise"] == pytest.approx(20.0)
    assert told["expected"] == pytest.approx(200 / 60, rel=0.2)


def test_case_flows_at_two_temperatures_are_compared_at_one() -> None:
    """Thin oil leaks more: the rise is taken back by the viscosities of both readings."""
    rows = DRIVEN.format(worn=4.0).split("  M1 case drain 4")
    text = f'{rows[0]}readings "hot", at 60 degC\n  M1 case drain 4{rows[1]}'
    (found,) = findings(text, "case-flow-rises-with-load")
    oil = built(text).oil
    by_hand = 20.0 * float(oil.nu(60.0)) / float(oil.nu(45.0))
    assert figures(found)["rise"] == pytest.approx(by_hand, rel=1e-6)


def test_a_weight_that_back_pressure_holds_up_does_not_come_back() -> None:
    text = edited(
        page_circuit("single-acting-no-return", 1),
        ("step back, V1 at rest, 2 s", "step back, V1 at rest, C1 travels 100 mm"),
    )
    assert findings(text, "single-acting-no-return") == []
    held = edited(
        text,
        ("lines\n", "  R2  relief, set 50 bar\nlines\n"),
        ("return from V1 T to T1", "return from V1 T to R2 P\n  from R2 T to T1"),
    )
    (found,) = findings(held, "single-acting-no-return")
    assert (found.component, found.port, found.step) == ("C1", "cap", "back")


@pytest.mark.parametrize(
    ("slug", "noted"),
    [
        ("relief-can-be-shut-off", ["P1 ", "R1 "]),
        ("shaft-mismatch", ["E1 "]),
        ("return-filter-flow-underrated", ["C1 "]),
    ],
)
def test_other_parts_that_matter_are_noted_where_they_stand(slug: str, noted: list[str]) -> None:
    text = page_circuit(slug, 0)
    (found,) = findings(text, slug)
    places = built(text).parts
    assert [
        note.message[: len(name)] for note, name in zip(found.notes, noted, strict=True)
    ] == noted
    assert [n.place.line for n in found.notes] == [places[m.strip()].place.line for m in noted]


@pytest.mark.parametrize(
    ("edits", "stops"),
    [
        ([("tandem centre", "closed centre"), ("step out, V1 at a,", "step out,")], "V1"),
        ([("lines\n", "  B1  shut-off\nlines\n"), ("from P1 P to V1", "from P1 P through B1 to V1"),
          ("step out,", "step out, B1 closed,")], "B1"),
    ],
)  # fmt: skip
def test_what_stops_the_oil_is_named(edits: list[tuple[str, str]], stops: str) -> None:
    (found,) = findings(edited(PLANT, *edits), "no-supply-path")
    assert (found.component, found.step) == ("C1", "out")
    assert stops in found.message.split("blocked at ")[1].split(", ")


def test_a_spool_lets_a_load_creep_by_its_leakage() -> None:
    """40 kN on 80 mm are 79.6 bar: 0.0796 L/min of the 0.1 L/min at 100 bar, on 50.3 cm2."""
    text = edited(
        page_circuit("load-held-by-spool", 0),
        ("4/3, closed centre", "4/3, closed centre, leakage 0.1 L/min at 100 bar"),
    )
    (found,) = findings(text, "load-held-by-spool")
    area = math.pi / 4 * 0.08**2
    drift = 0.1e-3 / 60 * (40e3 / area / 100e5) / area
    assert figures(found)["drift"] == pytest.approx(drift)


@pytest.mark.parametrize(
    ("slug", "component", "port", "row"),
    [
        ("inlet-starved", "P1", "S", "  P1 "),
        ("readings-not-comparable", "P1", "", "  P1 "),
        ("line-data-missing", "", "", "  from T1"),
    ],
)
def test_a_finding_stands_at_its_part_and_port(
    slug: str, component: str, port: str, row: str
) -> None:
    text = PLANT if slug == "line-data-missing" else page_circuit(slug, 0)
    text = text.replace("suction from", "from")
    found = findings(text, slug)[0]
    assert (found.component, found.port) == (component, port)
    assert text.splitlines()[found.place.line - 1].startswith(row)


@pytest.mark.parametrize("drive", ["electric motor", "engine"])
def test_heat_of_the_work_is_told_at_the_drive(drive: str) -> None:
    text = page_circuit("heat-share-high", 0).replace("electric motor", drive)
    (found,) = findings(text, "heat-share-high")
    assert found.component == "E1"


def test_a_relief_open_while_a_valve_meters_a_fixed_pump_is_no_error() -> None:
    found = findings(page_circuit("heat-share-high", 0), "relief-open-in-work")
    (out,) = (one for one in found if one.step == "out")
    assert "to be expected while FC1 meters a fixed pump" in out.message
    assert out.severity is Severity.WARNING
