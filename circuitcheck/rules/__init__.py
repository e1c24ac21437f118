"""Rules on circuits and operating points, one module each, found by looking into this folder.

``check_all(circuit, solution)`` runs them, ``explain(slug)`` prints a rule's page,
``catalogue()`` lists them, ``cautions()`` gives what every report must say.
"""

from circuitcheck.rules._catalogue import catalogue, explain
from circuitcheck.rules._cautions import Caution, cautions
from circuitcheck.rules._claims import Judged, computed, tolerance
from circuitcheck.rules._run import Report, check_all

__all__ = [
    "Caution",
    "Judged",
    "Report",
    "catalogue",
    "cautions",
    "check_all",
    "computed",
    "explain",
    "tolerance",
]
