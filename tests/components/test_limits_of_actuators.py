"""Every figure of actuators, storage and conditioning outside its limits is refused by name."""

from __future__ import annotations

import pytest

from circuitcheck.basics.quantities import unit_for
from circuitcheck.components import kinds
from circuitcheck.components._parts import Parameter
from tests.components.refusals import refusals

KINDS = (
    "cylinder",
    "telescopic cylinder",
    "rotary actuator",
    "intensifier",
    "winch",
    "brake",
    "accumulator",
    "tank",
    "filter",
    "cooler",
    "heater",
    "quick coupling",
    "rotary union",
    "gallery",
    "gauge",
    "flowmeter",
    "thermometer",
)


def beyond() -> list[tuple[str, Parameter, float]]:
    """Each parameter with a value under its least and over its most."""
    found = []
    for word in KINDS:
        for p in kinds()[word].parameters:
            if p.quantity == "code":
                continue
            if p.least is not None:
                found.append((word, p, p.least - max(abs(p.least), 1.0)))
            if p.most is not None:
                found.append((word, p, 2.0 * abs(p.most) + 1.0))
    return found


@pytest.mark.parametrize(
    ("word", "parameter", "value"), beyond(), ids=lambda x: getattr(x, "name", str(x))
)
def test_beyond_its_limits_is_refused_by_name(
    word: str, parameter: Parameter, value: float
) -> None:
    unit = unit_for(parameter.quantity, "metric")
    written = value if unit is None else (value - unit.offset) / unit.factor
    spelled = "" if unit is None else f" {unit.canonical}"
    messages = refusals(f"X1 {word}, {parameter.name} {written:.9f}{spelled}")
    assert any(parameter.name in message for message in messages), messages
