"""What every kind says about itself is complete and does not contradict itself."""

from __future__ import annotations

import pytest

from circuitcheck.basics.unit_table import QUANTITIES
from circuitcheck.components import kinds
from circuitcheck.components._parts import Kind, Parameter, Part

KINDS = list({kind.word: kind for kind in kinds().values()}.values())
each_kind = pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.word)


def parameters(kind: Kind) -> list[Parameter]:
    own = [*kind.parameters, *kind.orders]
    return own + [p.at for p in own if p.at is not None]


@each_kind
def test_limits_enclose_the_default(kind: Kind) -> None:
    for p in parameters(kind):
        low = float("-inf") if p.least is None else p.least
        high = float("inf") if p.most is None else p.most
        assert low < high, p.name
        if p.default is not None:
            assert low <= p.default <= high, p.name


@each_kind
def test_quantities_are_known(kind: Kind) -> None:
    for p in parameters(kind):
        assert p.quantity in ("code", "file") or p.quantity in QUANTITIES, p.name
    for measure in kind.measures:
        assert measure.quantity in QUANTITIES, measure.name


@each_kind
def test_names_are_given_once(kind: Kind) -> None:
    names = [p.name for p in kind.parameters]
    assert len(names) == len(set(names))
    measures = [m.name for m in kind.measures]
    assert len(measures) == len(set(measures))
    options = [option for choice in kind.choices for option in choice.options]
    assert len(options) == len(set(options))


@each_kind
def test_ports_are_given_once_and_passages_end_in_them(kind: Kind) -> None:
    letters = [port.letter for port in Part("X1", kind, ways=(4, 3)).ports]
    assert len(letters) == len(set(letters))
    if kind.through is not None:
        assert set(kind.through) <= set(letters)


@each_kind
def test_every_kind_names_its_sources_and_says_what_it_is(kind: Kind) -> None:
    assert kind.text
    assert kind.sources
    for p in parameters(kind):
        assert p.text, p.name
        assert p.source, p.name


@each_kind
def test_default_choice_is_one_of_its_options(kind: Kind) -> None:
    for choice in kind.choices:
        assert choice.default is None or choice.default in choice.options
