"""How all pictures look: dark inks that differ in greyscale, dashes, fonts, files."""

from __future__ import annotations

import io
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import matplotlib as mpl
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from circuitcheck.basics.quantities import System, number_in, unit_label
from circuitcheck.laws.smoothing import Array
from circuitcheck.studies.chart import Axis

INKS = ("#0b3c6f", "#b34700", "#1b7837", "#6a3d9a", "#8c1d40", "#4d4d4d")
DASHES: tuple[str | tuple[int, tuple[float, ...]], ...] = (
    "solid", (0, (6.0, 2.0)), (0, (2.0, 1.5)), (0, (8.0, 2.0, 2.0, 2.0)), (0, (1.0, 1.0)),
    (0, (10.0, 3.0)),
)  # fmt: skip
QUIET, PAPER = "#8a8a8a", "#ffffff"
SIZE, DPI = (7.2, 4.6), 160
"""Width and height [in], dots an inch of a PNG; own choice: half a sheet of A4."""

RC: dict[Any, Any] = {
    "font.family": "sans-serif",
    "font.sans-serif": ["DejaVu Sans"],
    "font.size": 9.0,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.edgecolor": "#333333",
    "axes.titlesize": 11.0,
    "axes.titleweight": "bold",
    "axes.titlelocation": "left",
    "axes.grid": True,
    "grid.color": "#dddddd",
    "grid.linewidth": 0.6,
    "axes.axisbelow": True,
    "lines.linewidth": 1.8,
    "legend.frameon": False,
    "text.parse_math": False,  # a $ in a name is a dollar, no formula
    "svg.fonttype": "path",
    "svg.hashsalt": "circuitcheck",
    "pdf.compression": 6,
    "figure.facecolor": PAPER,
}


@contextmanager
def ours() -> Iterator[None]:
    """Draw in our style, whatever else the program has set.

    What the library says of letters that its font lacks, or of very long names, is not for
    those who read the answer: they see it in the picture.
    """
    with mpl.rc_context(), warnings.catch_warnings():
        warnings.simplefilter("ignore", UserWarning)
        mpl.rcdefaults()
        mpl.rcParams.update(RC)
        yield


def canvas(title: str, size: tuple[float, float] = SIZE) -> tuple[Figure, Axes]:
    """Give an empty picture with its title."""
    figure = Figure(figsize=size, layout="constrained")
    FigureCanvasAgg(figure)
    axes = figure.add_subplot()
    axes.set_title(title, pad=12.0)
    return figure, axes


def footnote(figure: Figure, notes: tuple[str, ...]) -> None:
    """Write what a reader has to know under the picture."""
    if notes:
        figure.supxlabel("\n".join(notes), x=0.01, ha="left", fontsize=7.0, color="#555555")


def saved(figure: Figure, form: str, title: str) -> bytes:
    """Give a picture as a file; no date in it, so that the same data give the same bytes."""
    target = io.BytesIO()
    metadata: Any = {
        "svg": {"Title": title, "Date": None, "Creator": "circuitcheck"},
        "pdf": {"Title": title, "CreationDate": None, "Creator": "circuitcheck"},
        "png": {"Title": title, "Software": None},
    }[form]
    figure.savefig(
        target, format=form, dpi=DPI, metadata=metadata, bbox_inches="tight", pad_inches=0.12
    )
    return target.getvalue()


def label(axis: Axis, units: System) -> str:
    """Give the words at an axis: what it is, and its unit."""
    unit = unit_label(axis.quantity, units)
    name = axis.name[:1].upper() + axis.name[1:]
    return f"{name} [{unit}]" if unit else name


def numbers(values: Array, quantity: str, units: System) -> Array:
    """Give an array in the unit shown; the units are all straight lines over SI."""
    zero, one = number_in(0.0, quantity, units), number_in(1.0, quantity, units)
    found: Array = zero + (one - zero) * values
    return found
