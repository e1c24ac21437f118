"""Table of the controls of variable pumps: stroke, droop, and what hysteresis leaves open."""

from __future__ import annotations

import math
from collections.abc import Iterable

from circuitcheck.basics.quantities import System
from circuitcheck.reports.figures import bare, percent, valued
from circuitcheck.reports.tables import Column, Table, figures, table
from circuitcheck.solver.operating import PartState

ALIKE = 1e-9
"""Flows [m3/s] that are one; own choice."""


def controls_table(states: Iterable[PartState], units: System) -> Table:
    """Pumps that a control by pressure holds, and those of which the stroke is uncertain."""
    shown = [state for state in states if _is_held(state) or _is_open(state)]
    notes = ["Droop: setting at no flow less what the control holds now; band: full to no stroke."]
    if any(_is_open(state) for state in shown):
        notes.append("Flow: hysteresis leaves it open between the two.")
    return table(
        "Controls of pumps",
        (
            Column("Part"),
            Column("Held"),
            Column("Stroke", "", True),
            figures("Droop", "pressure", units),
            figures("Band", "pressure", units),
            figures("Flow", "flow", units),
        ),
        (
            (
                state.name,
                state.state,
                percent(abs(state.values["stroke"])),
                valued(state, "droop", units),
                valued(state, "control band", units),
                _flows(state, units),
            )
            for state in shown
        ),
        notes,
    )


def _is_held(state: PartState) -> bool:
    return not math.isnan(state.values.get("droop", math.nan))


def _is_open(state: PartState) -> bool:
    return state.values.get("flow falling", 0.0) - state.values.get("flow rising", 0.0) > ALIKE


def _flows(state: PartState, units: System) -> str:
    if not _is_open(state):
        return valued(state, "flow", units)
    ends = (state.values["flow rising"], state.values["flow falling"])
    return " to ".join(bare(end, "flow", units) for end in ends)
