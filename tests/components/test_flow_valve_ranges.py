"""Every flow and directional valve over the whole range of its figures and travel."""

from __future__ import annotations

import math

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from circuitcheck.components import kinds
from circuitcheck.components._parts import Kind, Parameter, Part
from circuitcheck.pipeline import parse
from tests.components.bench import TEST_OIL, sources
from tests.components.conservation import PRESSURES, benches, conserves, figures
from tests.components.refusals import refusals

FACTORS = {
    "bar": 1e5, "L/min": 1e-3 / 60, "mm": 1e-3, "%": 0.01, "": 1.0, "cc/rev": 1e-6,
    "rpm": math.pi / 30, "cSt": 1e-6,
}  # fmt: skip

PLAIN = (
    "orifice", "throttle", "throttle-check", "flow control", "bypass flow control",
    "priority valve", "flow divider",
)  # fmt: skip
SPOOLS = {
    "valve": ("valve 4/3", "valve 4/2", "valve 3/2", "valve 2/2"),
    "section": ("section",),
    "bank section": ("bank section",),
}
WORDS = (*PLAIN, *SPOOLS, "gear divider")

often = settings(
    max_examples=25,
    deadline=None,
    suppress_health_check=[HealthCheck.filter_too_much, HealthCheck.too_slow],
)


def written(value: float, parameter: Parameter) -> str:
    """A figure in the unit that people write, to the last digit."""
    shown = value / FACTORS[parameter.unit]
    return f"{round(shown) if parameter.quantity == 'count' else shown!r} {parameter.unit}".strip()


@pytest.mark.parametrize("word", PLAIN)
@often
@given(data=st.data())
def test_flow_and_energy_balance(word: str, data: st.DataObject) -> None:
    conserves(data.draw(benches(word)))


@st.composite
def spool_benches(draw: st.DrawFn, word: str) -> str:
    """A spool somewhere on its travel, with a source of pressure at every port."""
    kind = kinds()[word]
    said = draw(st.sampled_from(SPOOLS[word]))
    choices = {c.group: draw(st.sampled_from(("", *c.options))) for c in kind.choices}
    choices = {group: option for group, option in choices.items() if option}
    part = Part("X1", kind, choices={k: v for k, v in choices.items() if k != "actuation"})
    if kind.has_ways:
        ways, places = said.split()[1].split("/")
        part.ways = (int(ways), int(places))
    sentence = [f"X1 {said}", *choices.values()]
    for p in kind.parameters:
        if p.needed or draw(st.integers(0, 3)) == 0:
            at = f" at {written(draw(figures(p.at)), p.at)}" if p.at and draw(st.booleans()) else ""
            sentence.append(f"{p.name} {written(draw(figures(p)), p)}{at}")
    letters = [port.letter for port in part.ports]
    tanks = sources(**{f"S{i}": draw(PRESSURES) for i, _ in enumerate(letters)})
    lines = "\n".join(f"from S{i} to X1 {letter}" for i, letter in enumerate(letters))
    place, share = draw(st.sampled_from(list(part.positions))), draw(st.integers(0, 100))
    cycle = f"cycle\n  step test, X1 at {place} {share} %"
    text = (
        f'circuit "b"\noil {TEST_OIL}\nparts\n{tanks}\n{", ".join(sentence)}\nlines\n{lines}\n'
        f"{cycle}\n"
    )
    assume(all(found.severity.name != "ERROR" for found in parse(text).mistakes))
    return text


@pytest.mark.parametrize("word", SPOOLS)
@often
@given(data=st.data())
def test_flow_and_energy_balance_along_the_travel(word: str, data: st.DataObject) -> None:
    conserves(data.draw(spool_benches(word)))


@often
@given(
    sizes=st.lists(st.floats(0.5, 200.0), min_size=2, max_size=6),
    pressures=st.lists(st.floats(0.0, 400.0), min_size=7, max_size=7),
    losses=st.tuples(st.floats(31.0, 99.9), st.floats(31.0, 99.9)),
)
def test_gear_divider_balances(
    sizes: list[float], pressures: list[float], losses: tuple[float, float]
) -> None:
    letters = "ABCDEF"[: len(sizes)]
    sections = ", ".join(f"section {x} {d!r} cc/rev" for x, d in zip(letters, sizes, strict=True))
    tanks = sources(**{f"S{i}": p for i, p in enumerate(pressures[: len(sizes) + 1])})
    lines = "\n".join(f"from S{i} to X1 {x}" for i, x in enumerate(f"P{letters}"))
    conserves(
        f'circuit "b"\noil {TEST_OIL}\nparts\n{tanks}\nX1 gear divider, 10 cc/rev, '
        f"{len(sizes)} sections, {sections}, volumetric {losses[0]!r} %, "
        f"mechanical {losses[1]!r} %\nlines\n{lines}\n"
    )


def limits() -> list[tuple[Kind, Parameter, str]]:
    found = []
    for word in WORDS:
        kind = kinds()[word]
        for p in (q for own in kind.parameters for q in (own, own.at) if q is not None):
            if p.least is not None:
                low = -1e-3 if p.least == 0.0 else 0.9 * p.least
                low = p.least - 1.0 if p.quantity == "count" else low
                found.append((kind, p, written(low, p)))
            if p.most is not None:
                high = p.most + 1.0 if p.quantity == "count" else 1.1 * p.most
                found.append((kind, p, written(high, p)))
    return found


@pytest.mark.parametrize(
    ("kind", "parameter", "figure"), limits(), ids=lambda v: getattr(v, "word", None)
)
def test_a_figure_outside_its_range_is_refused(
    kind: Kind, parameter: Parameter, figure: str
) -> None:
    needed = [p for p in kind.parameters if p.needed and p is not parameter]
    said = [f"X1 {kind.word}{' 4/3' if kind.has_ways else ''}"]
    said += [f"{p.name} {written(1.0 * FACTORS[p.unit], p)}" for p in needed]
    owner = next((p for p in kind.parameters if p.at is parameter), None)
    if owner is None:
        said.append(f"{parameter.name} {figure}")
    else:
        value = owner.default if owner.default is not None else 50.0 * FACTORS[owner.unit]
        said = [s for s in said if not s.startswith(f"{owner.name} ")]
        said.append(f"{owner.name} {written(value, owner)} at {figure}")
    found = refusals(", ".join(said))
    assert any(message.startswith(f"'{parameter.name}' is too ") for message in found), found
