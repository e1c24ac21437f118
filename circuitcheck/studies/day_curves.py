"""Curves of a duty cycle: power over time, heat over temperature, warming."""

from __future__ import annotations

import numpy as np

from circuitcheck.laws.smoothing import Array
from circuitcheck.studies.chart import STEPPED, Axis, Chart, Curve, Level, Mark, NoCurveError
from circuitcheck.studies.duty import Duty


def power_chart(duty: Duty) -> Chart:
    """Give input, useful power and loss over the time of a cycle, with the means."""
    trace = duty.trace
    ends = np.concatenate([[0.0], np.cumsum(trace.time)])

    def held(row: tuple[float, ...]) -> Array:
        return np.array([*row, row[-1]])

    curves = tuple(
        Curve(name, ends, held(row), STEPPED)
        for name, row in (("input", trace.input), ("useful", trace.useful), ("loss", trace.loss))
    )
    begins: list[Mark] = []
    for name, start in zip(trace.steps, ends, strict=False):
        if not begins or begins[-1].name != name:
            begins.append(Mark(name, float(start), float("nan")))
    time = np.array(trace.time)
    levels = [
        Level("mean input", float(np.array(trace.input) @ time / time.sum()), "y"),
        Level("mean loss", float(np.array(trace.loss) @ time / time.sum()), "y"),
    ]
    return Chart(
        title="Power over the cycle",
        x=Axis("time", "time"),
        y=Axis("power", "power"),
        curves=curves,
        marks=tuple(begins),
        levels=tuple(levels),
    )


def heat_chart(duty: Duty) -> Chart:
    """Give the heat that the oil gets, and that is taken from it, over its temperature."""
    rows = duty.heat.balance
    known = rows.known
    if known.sum() < 2:
        raise NoCurveError("the heat is not known at any temperature")
    degC = rows.degC[known]
    curves = [Curve("heat made", degC, rows.made[known])]
    curves += [Curve(f"taken by {name}", degC, row[known]) for name, row in rows.taken.items()]
    if len(rows.taken) > 1:
        curves.append(Curve("taken in all", degC, rows.shed[known]))
    marks, levels = [], []
    if duty.heat.degC is not None:
        made, _ = rows.at(duty.heat.degC)
        marks.append(Mark("", duty.heat.degC, made))
        levels.append(Level("settles", duty.heat.degC))
    return Chart(
        title="Heat of the oil over its temperature",
        x=Axis("oil temperature", "temperature"),
        y=Axis("mean heat", "power"),
        curves=tuple(curves),
        marks=tuple(marks),
        levels=tuple(levels),
    )


def warming_chart(duty: Duty) -> Chart:
    """Give the oil temperature over the time from a cold start."""
    warming = duty.warming
    if warming is None:
        raise NoCurveError("the oil does not settle, or the volume of a tank is not given")
    marks = [
        Mark(f"{share * 100:.0f} % of the rise", warming.share(share),
             warming.after(warming.share(share)))
        for share in (0.5, 0.9)
    ]  # fmt: skip
    return Chart(
        title="Warming of the oil from the cold, the cycle running",
        x=Axis("time", "time"),
        y=Axis("oil temperature", "temperature"),
        curves=(Curve("oil", warming.time, warming.degC),),
        marks=tuple(marks),
        levels=(Level("settles", warming.settles, "y"),),
    )
