"""Heat of a duty cycle in sentences: where the oil settles, how fast, what would hold it."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from circuitcheck.basics.quantities import System, show
from circuitcheck.studies.duty import Duty
from circuitcheck.studies.warming import Needed, Warming


def heat_lines(duty: Duty, units: System) -> Iterator[str]:
    """Say where the oil settles, what takes its heat, how long it takes, what would hold it."""

    def power(value: float) -> str:
        return show(value, "power", units)

    settles = duty.heat.degC
    if settles is not None:
        yield f"The oil settles at {show(settles, 'temperature', units)}."
    else:
        yield "The oil does not settle."
    if not np.isnan(duty.made):
        shed = ", ".join(f"{name} {power(heat)}" for name, heat in duty.taken.items())
        yield (
            f"At {show(duty.degC, 'temperature', units)} it gets {power(duty.made)} on "
            f"average; taken by {shed or 'nothing'}."
        )
    for name, area in duty.estimated.items():
        yield (
            f"Walls of {name} are estimated: {show(area, 'area', {'area': 'm2'})}, five sides of "
            "a cube of its oil. Give 'walls' for a sure figure."
        )
    if duty.warming is not None:
        yield from _warming_lines(duty.warming, units)
    if duty.needed is not None:
        yield from _needed_lines(duty.needed, units)


def _warming_lines(warming: Warming, units: System) -> Iterator[str]:
    start = show(float(warming.degC[0]), "temperature", units)
    half, most = (_span(warming.share(share)) for share in (0.5, 0.9))
    yield (
        f"From {start} with the cycle running: half of the rise in {half}, 90 % of it in {most} "
        f"({show(warming.capacity / 1e3, 'ratio')} kJ/K; oil of the tank, metal as given)."
    )


def _needed_lines(needed: Needed, units: System) -> Iterator[str]:
    held = show(needed.degC, "temperature", units)
    if needed.missing <= 0.0:
        yield (
            f"To hold {held}: {show(needed.made, 'power', units)} have to go; walls and coolers "
            f"could take {show(-needed.missing, 'power', units)} more."
        )
        return
    over = show(needed.degC - needed.ambient, "temperature_difference", units)
    yield (
        f"To hold {held}: {show(needed.made, 'power', units)} have to go, "
        f"{show(needed.missing, 'power', units)} of it are taken by nothing yet. That is a "
        f"further cooler of {show(needed.missing, 'power', units)} at {over} over ambient"
        + (
            "."
            if needed.walls is None or needed.volume is None
            else f", or {show(needed.walls, 'area', {'area': 'm2'})} of tank walls: a cube of "
            f"{show(needed.volume, 'volume', units)} of oil."
        )
    )


def _span(seconds: float) -> str:
    """Give a time as people say it: 40 s, 12 min, 3.5 h."""
    if seconds < 120.0:
        return f"{seconds:.0f} s"
    return f"{seconds / 60.0:.0f} min" if seconds < 7200.0 else f"{seconds / 3600.0:.1f} h"
