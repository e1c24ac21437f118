"""Electric motor; turns pumps at its rated speed."""

from __future__ import annotations

from circuitcheck.components import _drives
from circuitcheck.components._parts import Choice, Kind, fixed_ports

KINDS = (
    Kind(
        word="electric motor",
        text="Electric motor; turns pumps at its rated speed.",
        ports=fixed_ports(),
        parameters=_drives.PARAMETERS,
        choices=(Choice("rotation", ("clockwise", "anticlockwise")),),
        orders=_drives.ORDERS,
        drives=True,
        equations=_drives.equations,
        results=_drives.results,
        state=_drives.state,
        measures=_drives.MEASURES,
        sources=("speed held, or straight droop line; textbook form, from memory",),
    ),
)
