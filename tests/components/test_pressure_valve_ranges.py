"""Every pressure and load-holding valve over the whole range of its figures."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from circuitcheck.components import kinds
from circuitcheck.components._parts import Kind, Parameter
from tests.components.conservation import benches, conserves, outside
from tests.components.refusals import refusals

WORDS = (
    "relief", "unloading valve", "sequence", "reducing valve", "counterbalance", "brake valve",
    "crossport relief", "port relief", "anti-cavitation", "pilot check", "double pilot check",
    "check", "shuttle", "two-pressure valve", "burst valve", "cartridge", "pressure switch",
)  # fmt: skip


@pytest.mark.parametrize("throttled", [False, True], ids=["at sources", "behind throttles"])
@pytest.mark.parametrize("word", [w for w in WORDS if w != "pressure switch"])
@given(data=st.data())
@settings(
    max_examples=12,
    deadline=None,
    suppress_health_check=[HealthCheck.filter_too_much, HealthCheck.too_slow],
)
def test_flow_and_energy_balance(word: str, throttled: bool, data: st.DataObject) -> None:
    conserves(data.draw(benches(word, throttled=throttled)))


def limits() -> list[tuple[Kind, Parameter, str]]:
    found = []
    for word in WORDS:
        kind = kinds()[word]
        for p in kind.parameters:
            found += [(kind, p, text) for text in outside(p)]
            if p.at is not None:
                found += [(kind, p.at, text) for text in outside(p.at)]
    return found


@pytest.mark.parametrize(
    ("kind", "parameter", "figure"), limits(), ids=lambda v: getattr(v, "word", None)
)
def test_a_figure_outside_its_range_is_refused(
    kind: Kind, parameter: Parameter, figure: str
) -> None:
    needed = "".join(
        f", {p.name} {100 if p.unit != '%' else 50} {p.unit}"
        for p in kind.parameters
        if p.needed and p.name != parameter.name
    )
    found = refusals(f"X1 {kind.word}{needed}, {parameter.name} {figure}")
    assert any(parameter.name in message for message in found), found
