"""What is offered while writing: by chapter, part and clause, in unfinished texts."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from circuitcheck.components import kinds
from circuitcheck.editing.completion import Offers, completion
from circuitcheck.editing.known import Known
from tests.press_text import PRESS

EXAMPLES = Path(__file__).resolve().parent.parent.parent / "examples"
BLOCKS = (EXAMPLES / "clamp_stations.hyc").read_text(encoding="utf-8")

BEFORE = {
    "parts": "  R1  relief, set", "lines": "  from P1 P to R1 P", "cycle": "  step out",
}  # fmt: skip
"""Before which line of the press a line of a chapter is put."""


def at(text: str, file: str = "", folder: Path | None = None) -> tuple[Offers, str]:
    """Give what is offered at | of a text, and what it would take the place of."""
    before, _, after = text.partition("|")
    source = before + after
    found = completion(Known.of(source, file, folder), source, len(before))
    return found, source[found.start : len(before)]


def offered(typed: str) -> tuple[list[str], str]:
    """Give what is offered behind a line typed into the press, or behind its end."""
    chapter, _, line = typed.partition(": ")
    if chapter in BEFORE:
        anchor = BEFORE[chapter]
        text = PRESS.replace(anchor, f"  {line}|\n{anchor}", 1)
    else:
        text = f"{PRESS}{chapter}\n  {line}|"
    found, taken = at(text)
    return [offer.label for offer in found.offers], taken


@pytest.mark.parametrize(
    ("typed", "wanted", "not_wanted", "taken"),
    [
        # parts
        ("parts: P9  pu", ["pump", "electric motor", "relief"], ["bore"], "pu"),
        ("parts: E9  electric m", ["electric motor"], ["pump"], "electric m"),
        ("parts: P9  pump, ", ["displacement", "fixed", "driven by", "rated"], ["bore"], ""),
        ("parts: P9  pump, torque l", ["torque limit"], ["rated"], "torque l"),
        ("parts: P9  pump, driven by ", ["E1"], ["P1", "R1"], ""),
        ("parts: P9  pump, 16 ", ["cc/rev", "cu in/rev"], ["bar"], ""),
        ("parts: C8 and C9  cylinder, bore 80 m", ["mm", "in"], ["bar"], "m"),
        ("parts: R9  relief, set 210 ", ["bar", "psi"], ["mm"], ""),
        ("parts: R9  relief, set 210 bar,\n    ", ["rated", "piloted"], ["parts"], ""),
        ("parts: V9  valve 4/3, 60 L/min at 6 ", ["bar"], ["L/min"], ""),
        ("parts: V9  valve 4/3, at ", ["a", "centre", "b", "rest"], ["bore"], ""),
        ("parts: V9  valve 4/3, tandem ", ["tandem centre"], ["open centre"], "tandem "),
        # lines
        ("lines: ", ["from", "cycle"], ["P1"], ""),
        ("lines: from ", ["T1", "P1", "suction"], ["P"], ""),
        ("lines: from V1 ", ["P", "T", "A", "B", "to"], ["cap"], ""),
        ("lines: from V1 A to C1 ", ["cap", "rod"], ["P"], ""),
        ("lines: from V1 A through ", ["R1"], ["V1", "T1", "suction"], ""),
        ("lines: from suction ", ["start", "end", "to"], ["P"], ""),
        ("lines: from V1 A to C1 cap, ", ["hose", "tube", "bends"], ["displacement"], ""),
        ("lines: from V1 A to C1 cap, hose 12 ", ["mm", "in"], ["kN"], ""),
        # the cycle
        ("cycle: ", ["step", "claims"], ["C1"], ""),
        ("cycle: step x, ", ["V1", "C1", "oil at"], ["T1", "suction"], ""),
        ("cycle: step x, V1 ", ["at"], ["load"], ""),
        ("cycle: step x, V1 at ", ["a", "b", "centre"], ["c"], ""),
        ("cycle: step x, C1 ", ["load", "travels", "at end stop"], ["set"], ""),
        ("cycle: step x, C1 at e", ["at end stop"], ["load"], "at e"),
        ("cycle: step x, C1 load 20 ", ["kN", "lbf"], ["bar"], ""),
        ("cycle: step x, 12 ", ["s", "min"], ["kN"], ""),
        # what is claimed, varied, accepted
        ("claims: ", ["C1", "suction", "heat"], ["bore"], ""),
        ("claims: C1 ", ["cap", "speed", "force"], ["bore"], ""),
        ("claims: C1 cap ", ["pressure", "flow"], ["speed"], ""),
        ("claims: C1 speed 45 ", ["mm/s", "in/s"], ["bar"], ""),
        ("claims: C1 speed 45 mm/s, in ", ["idle", "out"], ["C1"], ""),
        ("claims: C1 speed 45 mm/s, ", ["within", "at most"], ["idle"], ""),
        ("readings: ", ["C1"], ["bore"], ""),
        ("variations: vary R1 ", ["set"], ["bore"], ""),
        ("variations: vary R1 set from 160 ", ["bar", "to"], ["mm"], ""),
        ("variations: show C1 ", ["speed"], ["set"], ""),
        ("accepted: relief", ["relief-below-compensator"], ["C1"], "relief"),
        ("accepted: heat-share-high on ", ["C1", "R1"], ["out"], ""),
        ("accepted: heat-share-high on R1, in ", ["out", "idle"], ["R1"], ""),
        ("limits: relief-gap-small ", ["gap"], ["bar"], ""),
        ("limits: relief-gap-small gap 20 ", ["bar"], ["gap"], ""),
        ("drawing: C1 ", ["above", "left of"], ["bore"], ""),
        ("drawing: C1 above ", ["V1"], ["above"], ""),
        ("defaults: every ", ["pump", "hose"], ["C1"], ""),
        ("defaults: every pump, vol", ["volumetric"], ["bore"], "vol"),
    ],
)  # fmt: skip
def test_what_fits_is_offered(
    typed: str, wanted: list[str], not_wanted: list[str], taken: str
) -> None:
    labels, replaced = offered(typed)
    assert set(wanted) <= set(labels)
    assert not set(not_wanted) & set(labels)
    assert replaced == taken
    assert len(labels) == len(set(labels))


def test_headings_of_one_line() -> None:
    assert {"ISO VG", "HLP"} <= {o.label for o in at("oil |")[0].offers}
    assert {"bar", "kN"} <= {o.label for o in at("units bar, |")[0].offers}
    assert {"issue", "owner"} <= {o.label for o in at('circuit "a", |')[0].offers}
    assert {"repeats"} == {o.label for o in at("cycle, |")[0].offers}
    assert {"parts", "block"} <= {o.label for o in at("par|")[0].offers}


def test_nothing_is_offered_in_a_comment() -> None:
    assert at("parts\n  P1 pump # dri|")[0].offers == ()
    assert at('circuit "#1", iss|')[0].offers != ()


def test_blocks_their_figures_ports_and_parts() -> None:
    file, folder = str(EXAMPLES / "clamp_stations.hyc"), EXAMPLES

    def labels(old: str, new: str) -> set[str]:
        assert old in BLOCKS
        return {o.label for o in at(BLOCKS.replace(old, new, 1), file, folder)[0].offers}

    assert {"clamp_station", "pump_6", "relief"} <= labels("  F1  filter", "  S9  |\n  F1  filter")
    assert {"force_pressure", "bore"} <= labels(
        "  F1  filter", "  S9  clamp_station, |\n  F1  filter"
    )
    assert {"bar"} <= labels(
        "  F1  filter", "  S9  clamp_station, force_pressure 9 |\n  F1  filter"
    )
    assert {"P", "T"} <= labels("  spill ", "  from S1 |\n  spill ")
    assert {"S1/V1", "S1/C1"} <= labels("  step hold", "  step x, |\n  step hold")
    assert {"load", "travels"} <= labels("  step hold", "  step x, S1/C1 |\n  step hold")
    assert {'"blocks/clamp_station.hyc"'} <= labels('use "blocks', 'use |\nuse "blocks')


def test_inside_a_block_its_own_names_are_offered() -> None:
    text = "block a, grip ? bar\n  ports P, T\n  parts\n    R7 relief, set (|\n  lines\n    "
    assert {"grip"} <= {o.label for o in at(text)[0].offers}
    labels = {o.label for o in at(text.replace("(|", "(grip)") + "from |")[0].offers}
    assert {"R7", "P", "T"} <= labels
    assert {"ports", "end block"} <= {
        o.label for o in at(f"{text.replace('|', '1 bar)')}\n  |")[0].offers
    }


def test_every_kind_is_offered_with_what_it_is() -> None:
    found, _ = at("parts\n  X1 |")
    about = {offer.label: offer.about for offer in found.offers}
    assert set(kinds()) <= set(about)
    assert about["relief"].startswith("Relief valve")


@settings(max_examples=60)
@given(st.integers(0, len(PRESS)), st.sampled_from(["", " ", ",", "x", '"', "(", "#", "😀", "\n"]))
def test_it_answers_wherever_the_cursor_stands(offset: int, typed: str) -> None:
    source = PRESS[:offset] + typed
    found = completion(Known.of(source, "", None), source, len(source))
    assert 0 <= found.start <= len(source)
    assert "\n" not in source[found.start :] or not found.offers
