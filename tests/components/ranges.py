"""Figures of a parameter as people write them: over its range, and just outside it."""

from __future__ import annotations

from hypothesis import strategies as st

from circuitcheck.basics.quantities import read_unit, unit_for
from circuitcheck.components._parts import Kind, Parameter

USUAL = {
    "pressure": (1e4, 4e7), "flow": (1e-6, 1e-2), "displacement": (1e-7, 1e-3),
    "volume": (1e-4, 1e-1), "length": (1e-4, 1.0), "area": (1e-3, 10.0), "force": (10.0, 1e6),
    "mass": (1.0, 1e5), "torque": (1.0, 1e4), "power": (10.0, 1e6), "speed": (1e-3, 10.0),
    "rotation": (1.0, 400.0), "time": (0.1, 100.0), "temperature": (1.0, 90.0),
    "temperature_difference": (1.0, 90.0), "viscosity": (5e-6, 5e-4), "ratio": (0.1, 50.0),
    "share": (0.01, 1.0), "count": (1.0, 12.0), "angle": (0.01, 6.0), "stiffness": (10.0, 1e6),
    "frequency": (0.1, 100.0),
}  # fmt: skip
"""What is common of each quantity [SI]: where a figure is mostly tried, if it may be there."""

WORDED = ("code", "file")
"""Quantities that are no figures."""


def every(kind: Kind) -> list[Parameter]:
    """Parameters of a kind that are figures, second ones after "at" included."""
    found = (p for own in kind.parameters for p in (own, own.at) if p is not None)
    return [p for p in found if p.quantity not in WORDED]


def written(value: float, parameter: Parameter) -> str:
    """A figure in the unit that people write, to the last digit."""
    unit = read_unit(parameter.unit.removesuffix(" over ambient")) if parameter.unit else None
    if unit is None or unit.quantity != parameter.quantity:
        unit = unit_for(parameter.quantity)
    if unit is None:
        return str(round(value)) if parameter.quantity == "count" else repr(value)
    return f"{(value - unit.offset) / unit.factor!r} {unit.canonical}"


def allows(parameter: Parameter, value: float) -> bool:
    """Whether a value lies within the limits of a parameter."""
    least, most = parameter.limits
    return least <= value <= most


def figures(parameter: Parameter) -> st.SearchStrategy[float]:
    """Values of a parameter [SI]: mostly common ones, some over its whole range, some its ends."""
    low, high = USUAL.get(parameter.quantity, (1e-3, 1e3))
    if parameter.default:
        low, high = abs(parameter.default) / 20, abs(parameter.default) * 20
    ends = [e for e in (parameter.least, parameter.most) if e is not None]
    top = parameter.most if parameter.most is not None else max([high, *(2 * e for e in ends)])
    bottom = max([top * 1e-6, *(e for e in ends[:1] if 0 < e < top)])
    common = (min(max(low, bottom), top), max(min(high, top), bottom))
    tries = [_spread(*common), _spread(*common), _spread(bottom, top)]
    tries += [st.sampled_from(ends)] if ends else []
    value = st.one_of(*tries)
    if parameter.least is None or parameter.least < 0.0:
        value = st.one_of(value, value, value.map(lambda v: -v))
    if parameter.quantity == "count":
        value = value.map(round).map(float)
    return value.map(lambda v: _inside(v, parameter))


def _spread(low: float, high: float) -> st.SearchStrategy[float]:
    """Values between two, evenly by their size."""
    return st.integers(0, 1000).map(lambda i: low * (high / low) ** (i / 1000))


def _inside(value: float, parameter: Parameter) -> float:
    """Keep clear of the ends by what writing and reading of a figure costs."""
    least, most = parameter.least, parameter.most
    hair = 1e-9 * abs(value)
    if least is not None and value < least + hair:
        value = least + 1e-9 * abs(least)
    if most is not None and value > most - hair:
        value = most - 1e-9 * abs(most)
    return float(round(value)) if parameter.quantity == "count" else value


def outside(parameter: Parameter) -> list[str]:
    """Figures just outside the physical range of a parameter, as written."""
    least, most = parameter.limits
    if parameter.quantity == "count":
        return [written(least - 1.0, parameter), written(most + 1.0, parameter)]
    below = least - 1e-3 * abs(least) if least else -1e-6
    above = most + 1e-3 * abs(most) if most else 1e-6
    return [written(below, parameter), written(above, parameter)]
