"""A part between tanks under gas: whatever its figures, flow and energy balance."""

from __future__ import annotations

import math
from collections.abc import Mapping

from hypothesis import assume
from hypothesis import strategies as st

from circuitcheck.components import kinds
from circuitcheck.components._parts import Kind, Parameter, Part
from circuitcheck.pipeline import parse
from circuitcheck.solver.operating import OperatingPoint
from tests.components.bench import TEST_OIL, sources

WIDE = {"flow": (1e-6, 1e-2), "pressure": (1e4, 7e7), "ratio": (0.1, 50.0), "share": (0.01, 1.0)}
"""Range in which a figure is tried where its parameter names no end [SI]."""


def written(value: float, parameter: Parameter) -> str:
    """A figure in the unit that people write, to the last digit."""
    factor = {"bar": 1e5, "L/min": 1e-3 / 60, "mm": 1e-3, "%": 0.01, "": 1.0}[parameter.unit]
    return f"{value / factor!r} {parameter.unit}".strip()


def figures(parameter: Parameter) -> st.SearchStrategy[float]:
    """Values over the whole physical range of a parameter, evenly by their size [SI]."""
    low, high = WIDE.get(parameter.quantity, (1e-4, 1e-1))
    least = low if parameter.least is None else parameter.least
    most = max(high, 2 * least) if parameter.most is None else parameter.most
    inside = (math.log(max(least * 1.0001, 1e-6 * most)), math.log(most * 0.9999))
    return st.floats(*inside).map(math.exp)


@st.composite
def texts(draw: st.DrawFn, kind: Kind, choices: Mapping[str, str]) -> str:
    """Sentence of a part X1 with figures at random."""
    said = [f"X1 {kind.word}", *choices.values()]
    for p in kind.parameters:
        if p.name == "rated" or not (p.needed or draw(st.booleans())):
            continue
        text = f"{p.name} {written(draw(figures(p)), p)}"
        if p.at is not None and draw(st.booleans()):
            text += f" at {written(draw(figures(p.at)), p.at)}"
        said.append(text)
    return ", ".join(said)


PRESSURES = st.one_of(
    st.sampled_from((0.0, 0.3, 5.0, 100.0)), st.floats(0.0, 400.0), st.floats(-0.5, 3.0)
)


@st.composite
def benches(draw: st.DrawFn, word: str, *, throttled: bool = False) -> str:
    """A circuit of one part with a source of pressure at every port, or behind throttles."""
    kind = kinds()[word]
    drawn = {c.group: draw(st.sampled_from(("", *c.options))) for c in kind.choices}
    choices = {group: option for group, option in drawn.items() if option}
    letters = [port.letter for port in Part("X1", kind, choices=choices).ports]
    tanks = sources(**{f"S{i}": draw(PRESSURES) for i, _ in enumerate(letters)})
    lines = "\n".join(f"from S{i} to X1 {letter}" for i, letter in enumerate(letters))
    if throttled:
        tanks += "".join(f"\nTH{i} throttle, 20 L/min at 10 bar" for i, _ in enumerate(letters))
        lines = "\n".join(
            f"from S{i} to TH{i} in\nfrom TH{i} out to X1 {letter}"
            for i, letter in enumerate(letters)
        )
    sentence = draw(texts(kind, choices))
    text = f'circuit "b"\noil {TEST_OIL}\nparts\n{tanks}\n{sentence}\nlines\n{lines}\n'
    assume(all(found.severity.name != "ERROR" for found in parse(text).mistakes))
    return text


def conserves(text: str) -> OperatingPoint:
    """Solve a bench: what flows in flows out, and the part's heat is the power it takes."""
    (point,) = parse(text).solve()
    assert point.success, f"{point.message}\n{text}"
    ports = point["X1"].ports.values()
    size = max(abs(port.flow) for port in ports)
    assert abs(math.fsum(port.flow for port in ports)) <= 1e-9 * size + 1e-12, text
    taken = math.fsum(port.pressure * port.flow for port in ports)
    power = max(abs(port.pressure * port.flow) for port in ports)
    assert abs(taken - point["X1"].loss) <= 1e-6 * power + 1e-6, text
    assert point["X1"].loss >= -1e-9 * power - 1e-9, text
    return point


def outside(parameter: Parameter) -> list[str]:
    """Figures just outside the physical range of a parameter, as written."""
    found = []
    if parameter.least is not None:
        below = -1e-3 if parameter.least == 0.0 else 0.9 * parameter.least
        found.append(written(below, parameter))
    if parameter.most is not None:
        found.append(written(1.1 * parameter.most, parameter))
    return found
