"""Rotary units with measured losses: every point of the grid has a tent of its own."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from circuitcheck.benchmark.analogue.bricks import FORCE, PER_SECOND, SPEED, Bricks, Figures
from circuitcheck.benchmark.analogue.machines import rotary, stroke
from circuitcheck.laws.net import Element


def tents(net: Bricks, z: str, axis: list[float]) -> list[str]:
    """Tent of each point: 1 there, 0 at its neighbours; the outer ones stay 1 outwards."""
    found = []
    for i, at in enumerate(axis):
        rise = f"({z}-{at:.17g})/{at - axis[i - 1]:.17g}+1" if i else "1"
        fall = f"({at:.17g}-{z})/{axis[i + 1] - at:.17g}+1" if i + 1 < len(axis) else "1"
        side = net.value(f"{z}<{at:.17g} ? {rise} : {fall}")
        found.append(net.value(f"{side}>0 ? {side} : 0"))
    return found


def measured(net: Bricks, element: Element, c: Figures) -> None:
    unit = replace(element, law="rotary", terminals=element.terminals[:5])
    rotary(net, unit, c)
    tables = {
        name: table[..., net.variant]
        for name, table in element.coefficients.items()
        if table.ndim > 1
    }
    out, inlet, _, shaft, _, case = (f"n{i}" for i in element.terminals)
    w, share = net.value(f"abs(v({shaft}))"), net.value(f"abs({stroke(net, unit, c)})")
    speeds = tents(net, w, [float(one) / SPEED["shaft"] for one in tables["speeds"]])
    strokes = tents(net, share, [float(one) for one in tables["strokes"]])
    pressures = [float(one) / 1e5 for one in tables["pressures"]]

    def looked_up(name: str, size: float, dp: str) -> str:
        rows = tents(net, net.value(f"abs({dp})"), pressures)
        planes = []
        for p, row in enumerate(rows):
            terms = [
                f"{float(tables[name][p, i, j]) / size:.17g}*{speeds[i]}*{strokes[j]}"
                for i, j in np.ndindex(len(speeds), len(strokes))
            ]
            planes.append(net.value(f"{row}*({'+'.join(terms)})"))
        return net.value("+".join(planes))

    paths = ((out, inlet, "inside"), (out, case, "to_case"), (inlet, case, "back_to_case"))
    for start, end, share_of in paths:
        if c[share_of] > 0.0:
            dp = net.value(f"v({start})-v({end})")
            slip = looked_up("slip", 1.0 / PER_SECOND, dp)
            net.current(start, end, f"{c[share_of]:.17g}*({dp}<0 ? -1 : 1)*{slip}")
    lost = looked_up("torque_lost", FORCE["shaft"], net.value(f"v({out})-v({inlet})"))
    net.current(shaft, "0", f"{lost}*{net.way(shaft, 'shaft')}")


TRANSLATORS: dict[str, Callable[[Bricks, Element, Figures], None]] = {"measured": measured}
