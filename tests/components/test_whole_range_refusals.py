"""Every figure of every kind outside its physical range, or no figure at all, is refused clearly.

Found by itself for each registered kind: just under its least, just over its most, a unit
of another quantity, no unit, and what is no number. A refusal names the figure, points to
it with file, line and caret, and says what is accepted in the units of the trade.
"""

from __future__ import annotations

import re

import pytest

from circuitcheck.basics.carets import render
from circuitcheck.basics.findings import Finding
from circuitcheck.basics.unit_table import QUANTITIES, UNITS
from circuitcheck.circuit.figures import BARE
from circuitcheck.components import kinds
from circuitcheck.components._limits import FARTHEST
from circuitcheck.components._parts import Kind, Parameter
from circuitcheck.pipeline import parse
from tests.components.bench import TEST_OIL
from tests.components.conservation import errors
from tests.components.ranges import allows, every, outside, written

KINDS = {kind.word: kind for kind in kinds().values()}


SIZED = {
    "cylinder": "bore 80 mm, rod 45 mm, stroke 1 m",
    "telescopic cylinder": "first stage 80 mm, second stage 60 mm, stroke 1 m",
    "rotary actuator": "500 cc/rev",
    "motor": "40 cc/rev",
    "pump": "40 cc/rev, 1500 rpm",
}
"""What is needed of kinds whose size can be given in more than one way."""


def sentence(kind: Kind, parameter: Parameter, figure: str) -> str:
    """A part with what it needs, and one figure as given."""
    said = [f"X1 {kind.word}{' 4/3' if kind.has_ways else ''}"]
    owner = next((p for p in kind.parameters if p.at is parameter), None)
    for p in kind.parameters:
        if p.needed and p is not parameter and p is not owner:
            said.append(f"{p.name} {written(common(p), p)}")
    at = "" if owner is None else f"{owner.name} {written(common(owner), owner)} at "
    said.append(f"{at}{figure}" if at else f"{parameter.name} {figure}")
    return ", ".join(said)


def common(parameter: Parameter) -> float:
    """A value that a parameter accepts [SI]."""
    least, most = parameter.limits
    for value in (parameter.default, 1.0, 0.1, 10.0, least, most):
        if value is not None and allows(parameter, value):
            return value
    raise AssertionError(parameter)


def step_sentence(kind: Kind, order: Parameter, figure: str) -> tuple[str, str]:
    """A part and a step that orders one figure of it."""
    said = [f"X1 {kind.word}{' 4/3' if kind.has_ways else ''}"]
    if kind.word in SIZED:
        said.append(SIZED[kind.word])
    else:
        said += [f"{p.name} {written(common(p), p)}" for p in kind.parameters if p.needed]
    return ", ".join(said), f"step test, X1 {order.name} {figure}"


def refused(part: str, step: str = "") -> tuple[str, list[Finding]]:
    """The text and what is found wrong with it."""
    cycle = f"cycle\n{step}\n" if step else ""
    text = f'circuit "b"\noil {TEST_OIL}\nparts\n{part}\n{cycle}'
    return text, errors(parse(text, "bench.hyc"))


def assert_refused(parameter: Parameter, text: str, found: list[Finding], slug: str) -> str:
    """One of the findings refuses the figure by name; gives that one as people see it."""
    mine = [one for one in found if one.slug == slug and f"'{parameter.name}'" in one.message]
    assert mine, (text, [(one.slug, one.message) for one in found])
    shown = render(mine[0], text)
    line = len(text.rstrip().split("\n"))
    assert shown.startswith(f"bench.hyc:{line}:"), shown
    assert re.search(r"^ +\| +\^+$", shown, re.MULTILINE), shown
    assert mine[0].remedy, shown
    return shown


def accepted(parameter: Parameter, shown: str) -> bool:
    """Whether a refusal says what is accepted, with a unit of the trade or as more than 0."""
    told = re.search(r"(is at least|is at most|is more than 0)(.*)", shown.split("\n")[-1])
    if told is None:
        return False
    units = [row[0] for row in UNITS[parameter.quantity]]
    bare = parameter.quantity in BARE or told[1] == "is more than 0"
    printed = told[2].replace("°C", "degC").replace("°", "deg")
    return bare or any(printed.strip().endswith(unit) for unit in units)


ASKED = {
    word: [*((k, p, False) for p in every(k)), *((k, order, True) for order in k.orders)]
    for word, k in KINDS.items()
}
"""Figures of each kind, and whether a step orders them."""


def one_of_each_quantity(word: str) -> list[tuple[Kind, Parameter, bool]]:
    """The first figure of each quantity: reading it is the same for all of them."""
    first = {(p.quantity, step): (kind, p, step) for kind, p, step in reversed(ASKED[word])}
    return list(first.values())


def case(kind: Kind, parameter: Parameter, step: bool, figure: str) -> tuple[str, list[Finding]]:
    return (
        refused(*step_sentence(kind, parameter, figure))
        if step
        else refused(sentence(kind, parameter, figure))
    )


@pytest.mark.parametrize("word", KINDS)
def test_a_figure_outside_its_range_is_refused_with_what_is_accepted(word: str) -> None:
    for kind, parameter, step in ASKED[word]:
        for figure in outside(parameter):
            text, found = case(kind, parameter, step, figure)
            shown = assert_refused(parameter, text, found, "out-of-limits")
            assert accepted(parameter, shown), shown


@pytest.mark.parametrize("word", KINDS)
def test_zero_and_less_are_refused_where_they_cannot_be(word: str) -> None:
    for kind, parameter, step in ASKED[word]:
        for value in (0.0, -1.0 if parameter.quantity == "count" else -1e-3):
            text, found = case(kind, parameter, step, written(value, parameter))
            if allows(parameter, value):
                assert not any(one.slug == "out-of-limits" for one in found), text
            else:
                assert_refused(parameter, text, found, "out-of-limits")


NO_FIGURES = {
    "nan": ("figure-missing", "stray-word", "sentence-unread"),
    "inf": ("figure-missing", "stray-word", "sentence-unread"),
    "1e999": ("figure-too-large",),
    "": ("figure-missing",),
}
"""What is no number, and the refusals that say so."""


@pytest.mark.parametrize("word", KINDS)
def test_what_is_no_number_is_refused(word: str) -> None:
    for kind, parameter, step in one_of_each_quantity(word):
        unit = "".join(written(1.0, parameter).partition(" ")[1:])
        for said, slugs in NO_FIGURES.items():
            if not said and parameter not in (*kind.parameters, *kind.orders):
                continue
            text, found = case(kind, parameter, step, f"{said}{unit}" if said else "")
            assert any(one.slug in slugs and one.place.line for one in found), (
                text, [(one.slug, one.message) for one in found],
            )  # fmt: skip


@pytest.mark.parametrize("word", KINDS)
def test_a_unit_of_another_quantity_is_refused(word: str) -> None:
    for kind, parameter, step in one_of_each_quantity(word):
        wrong = "kg" if parameter.quantity != "mass" else "bar"
        text, found = case(kind, parameter, step, f"10 {wrong}")
        slug = "unit-not-wanted" if parameter.quantity in BARE else "wrong-dimension"
        assert_refused(parameter, text, found, slug)
        if parameter.quantity not in BARE:
            text, found = case(kind, parameter, step, "10")
            assert_refused(parameter, text, found, "unit-missing")


def test_every_quantity_has_ends() -> None:
    """A parameter that names no end of its own still has one."""
    assert set(FARTHEST) >= set(QUANTITIES)
    for kind in KINDS.values():
        for parameter in (*every(kind), *kind.orders):
            least, most = parameter.limits
            assert least < most, (kind.word, parameter.name)
            if parameter.default is not None:
                assert allows(parameter, parameter.default), (kind.word, parameter.name)
