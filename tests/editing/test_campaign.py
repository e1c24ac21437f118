"""A share of the campaign over every circuit text of the project; all of it by its command."""

from __future__ import annotations

import random

import pytest

from tests.editing.campaign import (
    Source,
    answer_everywhere,
    broken,
    layout_faults,
    name_faults,
    sources,
)

SOME = sources()[::29]


@pytest.mark.parametrize("source", SOME, ids=lambda source: source.name)
def test_a_circuit_is_laid_out_renamed_and_answered_for(source: Source) -> None:
    dice = random.Random(source.name)
    assert [*layout_faults(source), *name_faults(source, dice)] == []
    answer_everywhere(broken(source.text, dice), source.folder, dice)
