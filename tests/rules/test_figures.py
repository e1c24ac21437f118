"""Figures that findings rest on, reckoned by hand from their formulas."""

from __future__ import annotations

import math
import re
from pathlib import Path

import pytest

from circuitcheck import circuit, language, rules
from circuitcheck.basics.findings import Finding
from circuitcheck.solver.solve import solve

PAGES = Path(__file__).parent


def first_circuit(slug: str) -> str:
    page = (PAGES / f"{slug}.md").read_text(encoding="utf-8")
    found = re.search(r"^```hyc[^\n]*\n(.*?)^```$", page, re.M | re.S)
    assert found is not None
    return found[1]


def findings(text: str, slug: str) -> list[Finding]:
    made, refused = circuit.build(language.read(text, "x.hyc")[0])
    assert made is not None, [finding.message for finding in refused]
    return [f for f in rules.check_all(made, solve(made)).all_findings() if f.slug == slug]


def test_speed_of_a_load_on_an_open_hose() -> None:
    """v = Cd A_hose root(2 F/(A rho))/A, Cd = 0.62: the whole bore is the hole."""
    (found, *_) = findings(first_circuit("load-drops-on-hose-burst"), "load-drops-on-hose-burst")
    (speed,) = [n.value for n in found.numbers if n.name == "speed of fall"]
    area, hole = math.pi / 4 * 0.1**2, math.pi / 4 * 0.012**2
    rho = 855.0  # mineral oil at 45 degC; the density in use may differ by 3 %
    by_hand = 0.62 * hole * math.sqrt(2 * 50e3 / area / rho) / area
    assert speed == pytest.approx(by_hand, rel=0.02)


def test_a_case_limit_of_the_part_goes_before_the_usual_one() -> None:
    text = first_circuit("filter-in-case-drain")
    (line,) = [row for row in text.splitlines() if re.match(r"\s+P1\s+pump", row)]
    strong = line.split("#")[0].rstrip() + ", case limit 60 bar"
    (found,) = findings(text.replace(line, strong), "filter-in-case-drain")
    assert [n.value for n in found.numbers if n.name == "case limit"] == [60e5]
