"""Fits a circuit to the figures that are varied, as if the text gave them.

What a kind assumes from a varied figure follows it; what cannot be is refused; and a figure
that does more than enter the equations as a number is found out by a comparison with
circuits that have the figure written in.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import product
from typing import Any

import numpy as np

from circuitcheck.basics.places import Place
from circuitcheck.basics.quantities import show
from circuitcheck.circuit.model import Circuit, Orders, Step
from circuitcheck.circuit.varied import OIL_NAME, Varied
from circuitcheck.components._parts import Figure, Parameter, Part
from circuitcheck.laws.net import System
from circuitcheck.laws.smoothing import Array
from circuitcheck.solver.equations import Ints
from circuitcheck.solver.system import Case, build

Key = tuple[str, str]
CORNERS = 64
"""Most corners of the range of a part's figures that are looked at; own choice."""


@dataclass(frozen=True)
class Misfit:
    """Why a figure cannot have the values wanted; ``number`` is the first such variation."""

    varied: Varied
    message: str
    remedy: str = ""


def with_figures(part: Part, given: Mapping[str, float]) -> Part:
    """Give a part as it is when the text gives these figures, its assumptions made anew."""
    fitted = _before_assumptions(part, given)
    for name, value in _assumed(fitted).items():
        wanted = part.kind.parameter(name)
        assert wanted is not None
        fitted.figures[name] = _figure(wanted, value, "assumed")
    return fitted


def _before_assumptions(part: Part, given: Mapping[str, float]) -> Part:
    """Give a part with its figures and fixed defaults, before it assumes any from these."""
    kind = part.kind
    figures = {name: row for name, row in part.figures.items() if row.origin != "assumed"}
    for name, value in given.items():
        wanted = kind.parameter(name)
        if wanted is not None:
            before = part.figures.get(name)
            place = before.place if before is not None else part.place
            figures[name] = _figure(wanted, value, "given", place=place)
    for row in kind.parameters:
        if row.default is not None and row.name not in figures:
            figures[row.name] = _figure(row, row.default, "assumed")
        at = row.at
        if at is not None and at.default is not None and row.name in figures:
            figures.setdefault(at.name, _figure(at, at.default, "assumed"))
    return replace(part, figures=figures)


def _assumed(part: Part) -> dict[str, float]:
    """What a part assumes from the figures it has, SI."""
    if part.kind.assumes is None:
        return {}
    return {
        name: value
        for name, (value, _) in part.kind.assumes(part).items()
        if name not in part.figures and part.kind.parameter(name) is not None
    }


def _figure(parameter: Parameter, value: float, origin: str, place: Place | None = None) -> Figure:
    figure = Figure(value, show(value, parameter.quantity), parameter.quantity, origin=origin)
    return figure if place is None else replace(figure, place=place)


def with_values(circuit: Circuit, varied: list[Varied], values: Mapping[Key, float]) -> Circuit:
    """Give a circuit as if its text gave these values, SI."""
    parts = dict(circuit.parts)
    for name in {v.part for v in varied if v.figure}:
        own = {v.name: values[v.key] for v in varied if v.part == name and v.figure}
        parts[name] = with_figures(parts[name], own)
    steps = [_step_with(step, varied, values) for step in circuit.steps]
    oil = values.get((OIL_NAME, "temperature")) if OIL_NAME not in circuit.parts else None
    return replace(
        circuit, parts=parts, steps=steps, oil_degC=circuit.oil_degC if oil is None else oil
    )


def _step_with(step: Step, varied: list[Varied], values: Mapping[Key, float]) -> Step:
    orders = dict(step.orders)
    for v in varied:
        if not v.ordered or v.part not in orders:
            continue
        known, value = orders[v.part], values[v.key]
        orders[v.part] = _ordered(known, v, value)
    oil = values.get((OIL_NAME, "temperature"))
    return replace(step, orders=orders, oil_degC=None if oil is not None else step.oil_degC)


def _ordered(known: Orders, varied: Varied, value: float) -> Orders:
    if varied.name in known.figures:
        figure = replace(known.figures[varied.name], value=value)
        return replace(known, figures=known.figures | {varied.name: figure})
    moved = varied.name == "opening" and known.position
    return replace(known, opening=value) if moved else known


# ---- what follows a varied figure ---------------------------------------------------------


class _Read(dict[str, Figure]):
    """Figures of a part that note which of them are looked at."""

    def __init__(self, figures: dict[str, Figure]) -> None:
        super().__init__(figures)
        self.seen: set[str] = set()

    def __getitem__(self, name: str) -> Figure:
        self.seen.add(name)
        return super().__getitem__(name)

    def get(self, name: str, default: Any = None) -> Any:
        self.seen.add(name)
        return super().get(name, default)


def assumed_from(
    part: Part, varied: list[Varied], values: Mapping[Key, Array]
) -> tuple[dict[Key, Array], Misfit | None]:
    """What a part assumes from its varied figures, per variation; {} if nothing does.

    An assumption that only some of the values bring is a misfit.
    """
    own = [v for v in varied if v.part == part.name and v.figure]
    if part.kind.assumes is None or not own:
        return {}, None
    first = _before_assumptions(part, {v.name: float(values[v.key][0]) for v in own})
    watched = _Read(first.figures)
    part.kind.assumes(replace(first, figures=watched))
    read = [v for v in own if v.name in watched.seen]
    if not read:
        return {}, None
    rows, back = np.unique(
        np.array([values[v.key] for v in read]), axis=1, return_inverse=True
    )  # fmt: skip
    found = []
    for row in rows.T.tolist():
        own_figures = {
            v.name: replace(first.figures[v.name], value=x) for v, x in zip(read, row, strict=True)
        }
        found.append(_assumed(replace(first, figures=first.figures | own_figures)))
    if any(row.keys() != found[0].keys() for row in found):
        return {}, Misfit(
            read[0],
            f"{read[0].text} decides, within these values, what else {part.name} has",
            "vary it below and above that value in runs of their own",
        )
    columns = {name: np.array([row[name] for row in found]) for name in found[0]}
    return {
        (part.name, name): column[back.ravel()]
        for name, column in columns.items()
        if np.ptp(column) > 0.0
    }, None


# ---- what cannot be -----------------------------------------------------------------------


def mistakes(part: Part, varied: list[Varied], values: Mapping[Key, Array]) -> Misfit | None:
    """Give what cannot be among the values of a part's figures, None if all can.

    What a kind calls a mistake compares figures; it is looked for at the corners of their
    ranges first, and value by value only where a corner has one.
    """
    own = [v for v in varied if v.part == part.name and v.figure]
    if part.kind.mistakes is None or not own:
        return None
    ends = [sorted({float(values[v.key].min()), float(values[v.key].max())}) for v in own]
    if 2 ** len(own) <= CORNERS and not any(_wrong(part, own, c) for c in product(*ends)):
        return None
    for row in zip(*(values[v.key].tolist() for v in own), strict=True):
        found = _wrong(part, own, row)
        if found is not None:
            return found
    return None


def _wrong(part: Part, own: list[Varied], row: tuple[float, ...]) -> Misfit | None:
    fitted = with_figures(part, {v.name: x for v, x in zip(own, row, strict=True)})
    assert part.kind.mistakes is not None
    for name, message, remedy in part.kind.mistakes(fitted):
        guilty = next((v for v in own if v.name == name), own[0])
        return Misfit(guilty, message, remedy)
    return None


# ---- what shapes the equations ------------------------------------------------------------


def shaping(
    circuit: Circuit,
    steps: list[Step],
    varied: list[Varied],
    changes: Mapping[Key, Array],
) -> Misfit | None:
    """Find a figure that does more than enter the equations as a number.

    At the ends of every range the elements of the varied circuit are compared with those of
    a circuit that has the values written in.
    """
    ends = sorted({int(f(changes[v.key])) for v in varied for f in (np.argmin, np.argmax)})
    few = {key: np.asarray(row)[ends] for key, row in changes.items()}
    together = build(Case(circuit, steps, few, variations=len(ends)))
    names = [step.name for step in steps]
    for place, number in enumerate(ends):
        one = with_values(circuit, varied, {v.key: float(changes[v.key][number]) for v in varied})
        alone_steps = [step for step in one.steps if step.name in names] or steps
        alone = build(Case(one, alone_steps))
        columns = np.arange(len(steps)) * len(ends) + place
        guilty = next(_differing(together, alone, columns), None)
        if guilty is not None:
            blamed = next((v for v in varied if v.part == guilty), varied[0])
            return Misfit(
                blamed,
                f"{blamed.text} decides how {guilty} is built, it cannot be varied",
                "write the values into texts of their own",
            )
    return None


def same(one: Array, other: Array) -> bool:
    """Whether figures are the same but for rounding."""
    same = one == other
    return bool(same.all()) or np.allclose(one, other, rtol=1e-9, atol=0, equal_nan=True)


NUMERICAL = ("stiffness",)
"""Coefficients that only steer the solver, set from all variants together."""


def _differing(together: System, alone: System, columns: Ints) -> Iterator[str]:
    """Name parts whose elements are not the same."""
    if len(together.elements) != len(alone.elements):
        names = [e.part for e in alone.elements], [e.part for e in together.elements]
        yield next(p for p in (*names[0], *names[1]) if names[0].count(p) != names[1].count(p))
        return
    for one, other in zip(together.elements, alone.elements, strict=True):
        alike = one.law == other.law and one.terminals == other.terminals
        alike = alike and one.coefficients.keys() == other.coefficients.keys()
        if not alike or not all(
            same(c[..., columns], other.coefficients[name])
            for name, c in one.coefficients.items()
            if name not in NUMERICAL
        ):
            yield other.part
    for own, theirs in zip(together.unknowns, alone.unknowns, strict=True):
        if not np.array_equal(own.pinned[columns], theirs.pinned) or not np.allclose(
            np.where(theirs.pinned, own.pin[columns], 0.0),
            np.where(theirs.pinned, theirs.pin, 0.0),
            rtol=1e-9,
        ):
            yield theirs.name
