"""Curves as pictures, drawn by matplotlib (``pip install circuitcheck[plots]``).

matplotlib is loaded when a picture is made. Everything here reads in greyscale: lines differ
in their dashes, points have marks, and names stand beside what they name.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from circuitcheck.basics.quantities import System
    from circuitcheck.studies.chart import Chart, Field
    from circuitcheck.studies.duty import Duty

FORMS = ("svg", "png", "pdf")


class NoPlotsError(Exception):
    """matplotlib is not installed; the message says how to get it."""


def picture(drawn: Chart | Field | Duty, units: System, form: str = "svg") -> bytes:
    """Draw a chart, a field, or the energy flows of a duty cycle.

    Parameters
    ----------
    drawn
        A `Chart` or `Field` of curves; a `Duty` gives its energy flows
    units
        Units of the axes
    form
        "svg", "png" or "pdf"; the same data give the same bytes

    Raises
    ------
    NoPlotsError
        If matplotlib is not installed.
    """
    try:
        import matplotlib  # noqa: F401
    except ImportError as error:
        raise NoPlotsError("pictures need matplotlib: pip install 'circuitcheck[plots]'") from error
    from circuitcheck.reports.plots import charts, fields, flows, style
    from circuitcheck.studies.chart import Chart, Field

    with style.ours():
        if isinstance(drawn, Chart):
            return style.saved(charts.drawn(drawn, units), form, drawn.title)
        if isinstance(drawn, Field):
            return style.saved(fields.drawn(drawn, units), form, drawn.title)
        return style.saved(flows.drawn(drawn, units), form, flows.TITLE)
