"""Curves as pictures of a page, where matplotlib is installed."""

from __future__ import annotations

import re
from html import escape
from importlib.util import find_spec
from typing import TYPE_CHECKING

from circuitcheck.reports.page_blocks import Picture

if TYPE_CHECKING:
    from circuitcheck.basics.quantities import System
    from circuitcheck.studies.chart import Chart
    from circuitcheck.studies.duty import Duty

_METADATA = re.compile(r"\s*<metadata>.*?</metadata>", re.DOTALL)
_STYLE = re.compile(r"\s*<defs>\s*<style[^>]*>\s*\*\{([^}]*)\}\s*</style>\s*</defs>")


def can_plot() -> bool:
    """Whether matplotlib is installed; without it a page has its tables only."""
    return find_spec("matplotlib") is not None


def plotted(drawn: Chart | Duty, units: System, caption: str) -> Picture:
    """Draw curves, or the energy flows of a duty cycle, for a page; needs matplotlib."""
    from circuitcheck.reports.plots import picture

    return Picture(_own(picture(drawn, units).decode(), caption), caption)


def _own(svg: str, title: str) -> str:
    """Give a picture whose style holds for itself alone, with its title to be read aloud.

    In a page the rule ``*{...}`` would hold for the schematics too; its properties are
    inherited, so that they may as well stand at the root.
    """
    svg = _METADATA.sub("", svg, count=1)
    style = _STYLE.search(svg)
    said = style[1] if style else ""
    svg = _STYLE.sub("", svg, count=1)
    start = svg.index("<svg")
    end = svg.index(">", start)
    return f'{svg[:end]} style="{said}"><title>{escape(title)}</title>{svg[end + 1 :]}'
