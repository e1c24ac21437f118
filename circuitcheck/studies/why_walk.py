"""The walk through one step, with all its parts."""

from __future__ import annotations

from circuitcheck.studies.why_flows import Flows
from circuitcheck.studies.why_motions import Motions
from circuitcheck.studies.why_pressures import Pressures


class Walk(Flows, Pressures, Motions):
    """Walks from results of a solved step to what sets them."""
