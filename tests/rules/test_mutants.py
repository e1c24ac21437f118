"""Seeded faults are found by the rule that is there for them: a bounded sample of all."""

from __future__ import annotations

import zlib

import pytest

from tests.rules.edits import parts, said_of, sentence, within
from tests.rules.mutants import Mutant, example, found, missed, mutants

SAMPLE = 40
"""Faults that are looked for here; all of them: ``python -m tests.rules.mutants``."""

ALL = list(mutants())


def sample() -> list[Mutant]:
    """One fault of every rule, then others in an order that does not change with the list."""
    ordered = sorted(ALL, key=lambda mutant: zlib.crc32(mutant.name.encode()))
    first: dict[str, Mutant] = {}
    for mutant in ordered:
        first.setdefault(mutant.slug, mutant)
    return list(dict.fromkeys([*first.values(), *ordered]))[:SAMPLE]


def test_there_are_as_many_faults_as_promised() -> None:
    assert len(ALL) >= 600
    assert len({mutant.text for mutant in ALL}) >= 500
    assert len({mutant.slug for mutant in ALL}) >= 35


@pytest.mark.parametrize("mutant", sample(), ids=lambda mutant: mutant.name)
def test_a_seeded_fault_is_found_by_its_rule(mutant: Mutant) -> None:
    assert missed(mutant) == ""


def test_what_is_not_there_is_missed() -> None:
    sound = Mutant("press", "nothing", "unprotected-pump", example("press"))
    assert missed(sound) == "not found"
    assert missed(Mutant("press", "nonsense", "unprotected-pump", "parts\n  x\n")) == "refused"
    assert found(example("press"), "press", "unprotected-pump") == []


def test_a_text_is_edited_where_it_should_be() -> None:
    text = example("press")
    assert parts(text, "cylinder") == ["C1"]
    assert sentence(text, "C1")[0].endswith("pinned both ends")
    assert "C1  cylinder, seals NBR, bore" in said_of(text, "C1", "seals NBR")
    assert "R1  relief, set 9 bar, 60" in within(text, "R1", r"set \d+ bar", "set 9 bar")
