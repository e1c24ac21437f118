"""Chapters of the report on the duty cycle and on the curves of the pumps."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.reports.duty_heat_text import heat_lines
from circuitcheck.reports.duty_text import rests_on, tables
from circuitcheck.reports.page_blocks import Block, Head, Items, Material, Tabled, Words
from circuitcheck.reports.page_plots import can_plot, plotted
from circuitcheck.studies.chart import NoCurveError
from circuitcheck.studies.day_curves import power_chart
from circuitcheck.studies.pump_curves import pump_chart


def duty_cycle(m: Material) -> Iterator[Block]:
    """Where the energy of a cycle goes, what drives bear, how warm the oil gets."""
    duty = m.duty
    if duty is None:
        return
    if isinstance(duty, str):
        yield Words(f"The duty cycle was not followed: {duty}.")
        return
    yield Words(rests_on(duty, m.units))
    for remark in duty.remarks:
        yield Words(remark, "strong")
    if can_plot():
        yield plotted(duty, m.units, "Where the energy of a cycle goes; bands to one scale.")
        yield plotted(power_chart(duty), m.units, "Power over the time of a cycle.")
    for made in tables(duty, m.units):
        yield Tabled(made)
    yield Head("Heat of the oil")
    yield Items(tuple(("", line) for line in heat_lines(duty, m.units)))


def curves(m: Material) -> Iterator[Block]:
    """Characteristics of the pumps with the operating points on them."""
    if m.result.solution is None or not can_plot():
        return
    for pump in m.circuit.of_kind("pump"):
        try:
            chart = pump_chart(m.result.solution, pump.name, loaded=False)
        except NoCurveError as problem:
            yield Words(f"No curve of {pump.name}: {problem}.")
        else:
            yield plotted(chart, m.units, f"{chart.title}, with the steps of the cycle.")
