"""How the answers of studies show themselves in a notebook: as the command line prints them.

One function each, called before its answer is given, so that nothing is loaded for nothing.
"""

from __future__ import annotations

from circuitcheck.basics.shown import shows
from circuitcheck.reports.notebook import Written


def why() -> None:
    """Say how the walk to a number is shown."""
    from circuitcheck.reports.why_text import write_why
    from circuitcheck.studies.why import Why

    shows(Why, lambda of: Written(lambda sheet: write_why(sheet, of, of.units)))


def duty() -> None:
    """Say how a duty cycle is shown."""
    from circuitcheck.reports.duty_text import write_duty
    from circuitcheck.studies.duty import Duty

    shows(Duty, lambda of: Written(lambda sheet: write_duty(sheet, of, of.circuit.units)))


def sizing() -> None:
    """Say how sizes that were found are shown."""
    from circuitcheck.reports.sizing_text import write_sizing
    from circuitcheck.studies.sizing import Sized

    shows(Sized, lambda of: Written(lambda sheet: write_sizing(sheet, of, of.circuit.units)))


def spread() -> None:
    """Say how the spread of results is shown."""
    from circuitcheck.reports.spread_text import write_spread
    from circuitcheck.studies.spread import Spread

    shows(Spread, lambda of: Written(lambda sheet: write_spread(sheet, of, of.units)))
