"""The rules as a whole: catalogue, order, consequences, gaps in the data; figures by hand."""

from __future__ import annotations

import inspect
import math
import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from circuitcheck import circuit, language, rules
from circuitcheck.basics.findings import Finding, NotChecked, Severity
from circuitcheck.basics.limits import limits_of
from circuitcheck.basics.tables import read_toml
from circuitcheck.components import kinds
from circuitcheck.components._buckling import buckling_load
from circuitcheck.components._parts import Figure, Part
from circuitcheck.rules._case import Case, Facts
from circuitcheck.rules._loads import areas
from circuitcheck.rules._nesting import nest
from circuitcheck.rules._pages import circuits
from circuitcheck.rules._rule import HEADINGS
from circuitcheck.rules._stored import gas_energy, oil_energy, oil_held
from circuitcheck.solver.operating import Solution
from circuitcheck.solver.solve import solve

PAGES = Path(__file__).parent

PRESS = """\
circuit "press"
oil ISO VG 46, at 45 degC
parts
  T1  tank, 40 L, walls 0.6 m2, ambient 30 degC
  E1  electric motor, 11 kW, 1450 rpm
  P1  pump, fixed, 16 cc/rev, driven by E1
  R1  relief, set 180 bar
  V1  valve 4/3, closed centre
  C1  cylinder, bore 80 mm, rod 50 mm, stroke 400 mm
lines
  from T1 to P1 S
  from P1 P to V1 P and R1 P
  from R1 T to T1
  from V1 A to C1 cap
  from V1 B to C1 rod
  from V1 T to T1
cycle
  step idle, V1 at centre, 10 s
  step out, V1 at a, C1 load 20 kN, 5 s
"""


def made(text: str) -> circuit.Circuit:
    read, mistakes = language.read(text, "x.hyc")
    built, wrong = circuit.build(read)
    assert built is not None, [m.message for m in (*mistakes, *wrong)]
    return built


def checked(text: str) -> rules.Report:
    built = made(text)
    return rules.check_all(built, solve(built))


def slugs(report: rules.Report) -> set[str]:
    return {finding.slug for finding in report.all_findings()}


# ---- catalogue ---------------------------------------------------------------------------


def test_every_page_has_every_heading() -> None:
    lacking = {
        slug: missing
        for slug, rule in rules.catalogue().items()
        if (missing := [heading for heading in HEADINGS if not rule.section(heading)])
    }
    assert not lacking


def test_every_rule_has_a_page_and_every_page_a_rule() -> None:
    assert {page.stem for page in PAGES.glob("*.md")} == set(rules.catalogue())


@pytest.mark.parametrize("slug", rules.catalogue())
def test_a_page_reads_at_80_columns_and_names_its_source(slug: str) -> None:
    text = rules.explain(slug)
    assert max(map(len, text.splitlines())) <= 80
    assert rules.catalogue()[slug].section("Source")
    assert all(limit.text in text.replace("\n    ", " ") for limit in limits_of(slug).values())


def test_explain_takes_underscores_and_offers_the_nearest_name() -> None:
    assert rules.explain("relief_gap_small") == rules.explain("relief-gap-small")
    with pytest.raises(KeyError, match="did you mean 'relief-gap-small'"):
        rules.explain("relief-gap-smal")


def test_explain_shows_the_shortest_circuit_of_a_page() -> None:
    slug = "unprotected-pump"
    page = (PAGES / f"{slug}.md").read_text("utf-8")
    blocks = re.findall(r"^```hyc\n(.*?)^```$", page, re.M | re.S)
    guilty = [block for block in blocks if f"finds: {slug}" in block]
    lengths = sorted(block.count("\n") for block in guilty)
    assert lengths[0] + 1 < lengths[1], "else it does not show which one was taken"
    shown, _ = circuits(slug)
    assert shown.count("\n") == lengths[0] + 1  # a mark takes a line of its own


def test_a_rule_explains_no_rule_that_explains_it() -> None:
    explains = {slug: set(rule.explains) for slug, rule in rules.catalogue().items()}
    pairs = [(a, b) for a, found in explains.items() for b in found if a in explains.get(b, ())]
    assert pairs == []
    assert set().union(*explains.values()) <= set(rules.catalogue())


def test_limits_that_rules_ask_for_are_in_the_table() -> None:
    for slug, rule in rules.catalogue().items():
        asked = set(re.findall(r'case\.limit\("(\w+)"', inspect.getsource(rule.check)))
        assert asked <= set(limits_of(slug)), slug
    assert all(limits_of(rule) for rule in read_toml("limits/limits.toml"))


# ---- running -----------------------------------------------------------------------------


def test_errors_come_first_and_consequences_stand_under_their_cause() -> None:
    report = checked(PRESS)
    ranks = [finding.severity.rank for finding in report.findings]
    assert ranks == sorted(ranks)
    root = next(f for f in report.findings if f.slug == "closed-centre-on-fixed-pump")
    under = {finding.slug for finding in root.consequences}
    assert {"idle-over-relief", "oil-too-hot"} <= under
    assert not under & {finding.slug for finding in report.findings}


def test_findings_say_why_what_to_do_source_place_and_numbers() -> None:
    for finding in checked(PRESS).all_findings():
        assert finding.why
        assert finding.remedy
        assert finding.source
        assert finding.place.line > 0
        assert all(math.isfinite(number.value) for number in finding.numbers)


def test_without_a_solution_the_rules_on_the_graph_still_run() -> None:
    report = rules.check_all(made(PRESS))
    assert "closed-centre-on-fixed-pump" in slugs(report)
    missing = {entry.slug for entry in report.not_checked}
    assert {"pressure-over-rating", "oil-too-hot", "claim-off"} <= missing
    assert all(entry.missing for entry in report.not_checked)
    assert report.rules == tuple(rules.catalogue())


def test_parts_without_a_rating_are_named_in_one_line() -> None:
    (entry,) = (e for e in checked(PRESS).not_checked if e.slug == "pressure-over-rating")
    assert {"P1", "R1", "V1", "C1"} <= set(entry.component.split(", "))
    assert "T1" not in entry.component


def test_an_unsolved_step_is_named_and_the_others_are_checked() -> None:
    built = made(PRESS)
    solution = solve(built)
    half = Solution(built, [replace(solution.points[0], success=False), solution.points[1]])
    report = rules.check_all(built, half)
    assert NotChecked("inlet-starved", "", "operating point of idle: not solved") in (
        report.not_checked
    )
    assert "idle-over-relief" not in slugs(report)
    assert "closed-centre-on-fixed-pump" in slugs(report)


def test_a_circuit_without_steps_or_parts_is_checked_without_a_complaint() -> None:
    bare = PRESS.split("cycle")[0]
    assert "closed-centre-on-fixed-pump" in slugs(checked(bare))
    lone = made('circuit "tank"\nparts\n  T1  tank, 40 L\n')
    assert rules.check_all(lone).findings == ()


def test_order_of_the_text_changes_nothing() -> None:
    rows = PRESS.splitlines()
    first, last = rows.index("parts") + 1, rows.index("lines")
    turned = [*rows[:first], *rows[first:last][::-1], *rows[last:]]
    assert slugs(checked("\n".join(turned) + "\n")) == slugs(checked(PRESS))


def test_names_of_parts_change_nothing() -> None:
    other = re.sub(r"\b([TEPRVC])1\b", r"machine_\g<1>x", PRESS)
    assert slugs(checked(other)) == slugs(checked(PRESS))


def test_a_limit_says_where_it_is_from() -> None:
    text = PRESS.replace("driven by E1", "driven by E1, inlet limit 1.5 bar abs")
    found = [f for f in checked(text).all_findings() if f.slug == "inlet-starved"]
    assert "limit from P1" in found[0].message
    hot = [f for f in checked(PRESS).all_findings() if f.slug == "oil-too-hot"]
    assert "default limit" in hot[0].message


def test_inch_units_are_used_where_the_text_asks_for_them() -> None:
    report = checked(PRESS.replace("parts\n", "units psi, gpm, hp\nparts\n", 1))
    found = next(f for f in report.findings if f.slug == "closed-centre-on-fixed-pump")
    assert "psi" in found.message
    assert "gpm" in found.message


def test_claims_and_readings_are_all_judged() -> None:
    text = PRESS + "claims\n  P1 flow 22 L/min, in out\n  C1 time 3 s, in out\n"
    flow, time = checked(text).claims
    assert flow.holds is True
    assert flow.value == pytest.approx(22e-3 / 60, rel=0.05)
    assert (time.holds, time.value) == (None, None)
    assert time.missing


# ---- consequences ------------------------------------------------------------------------


def finding(slug: str, component: str = "", step: str = "") -> Finding:
    return Finding(slug, Severity.ERROR, slug, component=component, step=step)


def test_a_consequence_of_another_step_or_part_stands_by_itself() -> None:
    built, listed = made(PRESS), rules.catalogue().values()
    root = finding("force-short", "C1", "out")
    same = finding("relief-open-in-work", "R1", "out")
    other = finding("relief-open-in-work", "R1", "idle")
    nested = nest(built, [root, same, other], listed)
    assert [f.slug for f in nested] == ["force-short", "relief-open-in-work"]
    assert nested[0].consequences == (same,)


def test_nothing_is_tucked_under_a_finding_that_weighs_less() -> None:
    built, listed = made(PRESS), rules.catalogue().values()
    root = replace(finding("suction-line-fast", "suction", "out"), severity=Severity.WARNING)
    worse = finding("inlet-starved", "P1", "out")
    assert nest(built, [worse, root], listed) == [worse, root]
    assert len(nest(built, [worse, replace(root, severity=Severity.ERROR)], listed)) == 1


# ---- figures by hand ---------------------------------------------------------------------


@pytest.mark.parametrize(
    ("rod", "length", "expected"), [(0.045, 1.8, 126.3e3), (0.056, 0.9, 634.8e3)]
)
def test_buckling_load_of_a_slender_and_a_short_rod(
    rod: float, length: float, expected: float
) -> None:
    load = float(buckling_load(np.asarray(rod), np.asarray(length)))
    assert load == pytest.approx(expected, rel=5e-3)


def test_euler_and_johnson_meet() -> None:
    limit = 0.045 / 4 * math.sqrt(2 * math.pi**2 * 206e9 / 305e6)
    lengths = limit * np.array([0.9999, 1.0001])
    short, slender = buckling_load(np.asarray(0.045), lengths)
    assert short == pytest.approx(slender, rel=1e-3)


def part(word: str, **figures: float) -> Part:
    found = {name.replace("_", " "): Figure(v, "", "") for name, v in figures.items()}
    return Part("X", kinds()[word], found)


def test_areas_of_a_cylinder() -> None:
    cap, rod = areas(part("cylinder", bore=0.08, rod=0.05))
    assert cap * 1e4 == pytest.approx(50.27, rel=1e-3)
    assert cap / rod == pytest.approx(1.641, rel=1e-3)


@pytest.mark.parametrize("exponent", [1.0, 1.2, 1.4])
def test_gas_energy_is_the_work_of_the_expansion(exponent: float) -> None:
    accumulator = part("accumulator", volume=0.01, precharge=89e5, gas_exponent=exponent)
    low, high = 89e5 + 101325.0, 210e5 + 101325.0
    small = 0.01 * (low / high) ** (1 / exponent)
    steps = 20000
    width = (0.01 - small) / steps
    work = sum(
        high * (small / (small + (i + 0.5) * width)) ** exponent * width for i in range(steps)
    )
    assert gas_energy(accumulator, 210e5) == pytest.approx(work, rel=1e-4)
    assert gas_energy(accumulator, 50e5) == 0.0


@pytest.mark.parametrize(("exponent", "litres"), [(1.0, 4.70), (1.4, 3.80)])
def test_oil_between_two_pressures_of_an_accumulator(exponent: float, litres: float) -> None:
    """10 L, 91/101/211 bar absolute."""
    accumulator = part("accumulator", volume=0.01, precharge=91e5 - 101325, gas_exponent=exponent)
    high, low = (oil_held(accumulator, p - 101325) for p in (211e5, 101e5))
    assert high is not None
    assert low is not None
    assert (high - low) * 1e3 == pytest.approx(litres, rel=5e-3)


def test_energy_of_compressed_oil_is_about_two_kilojoules_for_ten_litres_at_250_bar() -> None:
    case = Case(Facts(made(PRESS), None), rules.catalogue()["stored-energy-after-stop"])
    assert oil_energy(case, 250e5, 0.01) == pytest.approx(1.81e3, rel=0.15)


def test_oil_temperature_follows_from_loss_walls_and_ambient() -> None:
    found = next(f for f in checked(PRESS).all_findings() if f.slug == "oil-too-hot")
    numbers = {number.name: number.value for number in found.numbers}
    by_hand = 30.0 + numbers["mean loss"] / (12.0 * 0.6)
    assert numbers["oil temperature"] == pytest.approx(by_hand)


def test_a_rod_side_that_locks_multiplies_the_relief_pressure() -> None:
    text = PRESS.replace("lines\n", "  B1  shut-off\nlines\n").replace(
        "from V1 B to", "from V1 B through B1 to"
    )
    found = next(f for f in checked(text).all_findings() if f.slug == "rod-side-can-lock")
    pressure = {number.name: number.value for number in found.numbers}["rod-side pressure"]
    assert pressure == pytest.approx(295e5, rel=5e-3)


# ---- cautions ----------------------------------------------------------------------------


def test_cautions_say_the_number_of_checks_not_run_and_have_sources() -> None:
    found = rules.cautions(7)
    assert any("7 checks" in caution.short for caution in found)
    assert all(c.short and c.long and c.source and len(c.short) < 200 for c in found)
    assert {"injection", "opening", "under-a-load"} <= {caution.slug for caution in found}
