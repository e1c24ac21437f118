"""Rules on circuits and operating points, one module each, found by looking into this folder.

``check_all(circuit, solution)`` runs them, ``explain(slug)`` prints a rule's page,
``catalogue()`` lists them, ``cautions()`` gives what every report must say.
"""

from circuitcheck.rules._catalogue import catalogue, explain, explained
from circuitcheck.rules._cautions import Caution, cautions
from circuitcheck.rules._claims import SIGNLESS, Judged, tolerance
from circuitcheck.rules._pages import circuits
from circuitcheck.rules._run import Report, check_all
from circuitcheck.rules._told import told

__all__ = [
    "SIGNLESS",
    "Caution",
    "Judged",
    "Report",
    "catalogue",
    "cautions",
    "check_all",
    "circuits",
    "explain",
    "explained",
    "told",
    "tolerance",
]
