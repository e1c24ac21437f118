"""Clutch: joins a pump to its drive or lets it stand; slips at its torque limit."""

from __future__ import annotations

import numpy as np

from circuitcheck.components import _transmission
from circuitcheck.components._drives import SHAFT_SCALE
from circuitcheck.components._parts import (
    Choice,
    Figures,
    Kind,
    Parameter,
    Part,
    Result,
    fixed_ports,
)
from circuitcheck.laws.machines import STILL_SHAFT
from circuitcheck.laws.net import Bools, Net
from circuitcheck.laws.smoothing import Array
from circuitcheck.laws.transmissions import UNLIMITED
from circuitcheck.laws.view import View

NEARLY = 0.99
"""Share of the torque limit from which a clutch may slip: the corner there is rounded."""


def engaged(part: Part, of: Net | View) -> Bools:
    """Where it is engaged: as a step says, else as it rests."""
    if part.says("open at rest"):
        return of.said("engaged")
    return ~of.said("open")


def _limit(of: Net | View) -> Array:
    limit = of.value_of("torque limit")
    return np.broadcast_to(np.asarray(UNLIMITED if limit is None else limit), (of.variants,))


def equations(part: Part, net: Net) -> None:
    if not part.driven_by:
        return
    first, second = net.shaft(SHAFT_SCALE), net.own_shaft(SHAFT_SCALE)
    net.gear("coupling", first, second, 1.0, 1.0, _limit(net), engaged(part, net).astype(float))


def results(part: Part, view: View) -> dict[str, Figures]:
    found = _transmission.results(part, view)
    slip = found["input speed"] - found["speed"]
    # below its limit the speeds differ by what the solver's stiffness leaves, and no more
    grips = engaged(part, view) & (np.abs(found["torque"]) < NEARLY * _limit(view))
    found["slip"] = np.where(grips, 0.0, slip)
    return found


def state(part: Part, view: View) -> list[str]:
    closed, found = engaged(part, view), results(part, view)
    slips = np.abs(found["slip"]) > STILL_SHAFT
    return view.words(lambda i: "open" if not closed[i] else "slips" if slips[i] else "engaged")


KINDS = (
    Kind(
        word="clutch",
        text="Clutch between a drive and what it turns; a step says 'engaged' or 'open'.",
        ports=fixed_ports(),
        parameters=(
            Parameter("torque limit", "torque", "Nm", "torque at which it slips", least=0.1),
        ),
        choices=(Choice("rest", ("engaged at rest", "open at rest"), default="engaged at rest"),),
        poses=("engaged", "open"),
        driven=True,
        drives=True,
        equations=equations,
        results=results,
        state=state,
        measures=(
            *_transmission.MEASURES,
            Result("slip", "rotation", "driving speed over driven speed"),
        ),
        law_text=(
            "closed: w2 = w1, M2 = M1, as long as |M| is within the limit",
            "beyond it, it slips at its limit; open: M = 0",
        ),
        sources=("carries torque up to its limit, then slips at it; textbook form, from memory",),
    ),
)
