"""Switching limit of a directional valve: flow forces that keep its spool from moving.

The oil that a metering edge jets pulls the edge shut: F = 2 C_d A dp cos 69 deg, which with
the law of the orifice goes as q root(dp) (Merritt 1967, from memory). A solenoid or spring
of given force therefore moves the spool up to q root(dp) = constant: one point of the
limit, flow at pressure, gives the curve. Flow forces of valves that regulate (relief,
reducing, compensators) are in their override and bands already.
"""

from __future__ import annotations

import numpy as np

from circuitcheck.components._parts import Caution, Parameter, Part
from circuitcheck.laws._law import BAR, L_MIN
from circuitcheck.laws.smoothing import Array
from circuitcheck.laws.view import View

LIMIT = "switching limit"

PARAMETER = Parameter(
    LIMIT,
    "flow",
    "L/min",
    "greatest flow of a path at which the spool still shifts",
    least=1e-9,
    at=Parameter(
        f"{LIMIT} pressure",
        "pressure",
        "bar",
        "pressure of that limit, over the lowest port",
        default=315.0 * BAR,
        least=BAR,
        source="highest working pressure of the usual sizes; common practice, no source",
    ),
)

LAW_TEXT = (
    "switching limit used = q x root(p) over that of the limit, q the greatest flow of a "
    "path, p the highest port over the lowest"
)


def pressed(part: Part, view: View) -> Array:
    """Highest port over the lowest: what stands over an edge that shuts [Pa]."""
    ports = [view.p(port.letter) for port in part.ports if port.letter in view.pressures]
    if not ports:
        return np.zeros(view.variants)
    return np.asarray(np.max(ports, axis=0) - np.min(ports, axis=0))


def used(part: Part, view: View, flow: Array) -> Array | None:
    """Share of the switching limit that a flow takes; None where no limit is given."""
    limit = view.value_of(LIMIT)
    if limit is None:
        return None
    at = np.asarray(view.value(f"{LIMIT} pressure"))
    share: Array = np.asarray(flow / np.asarray(limit) * np.sqrt(pressed(part, view) / at))
    return share


def cautions(part: Part, view: View, flow: Array) -> list[tuple[Caution, ...]]:
    """Say where the flow forces are greater than what moves the spool."""
    share = used(part, view, flow)
    if share is None:
        return [()] * view.variants
    found: list[tuple[Caution, ...]] = []
    pressure = pressed(part, view)
    for i in range(view.variants):
        if share[i] <= 1.0:
            found.append(())
            continue
        message = (
            f"{part.name} passes {flow[i] / L_MIN:.3g} L/min with {pressure[i] / BAR:.3g} bar "
            f"over its ports; there it shifts only up to {flow[i] / L_MIN / share[i]:.3g} L/min"
        )
        remedy = "take a larger or a pilot operated valve, or shift it before the flow comes"
        found.append((Caution("switching-limit-exceeded", message, remedy),))
    return found
