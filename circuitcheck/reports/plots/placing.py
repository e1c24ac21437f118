"""Puts names beside lines and points so that they lie on nothing else."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.text import Text

from circuitcheck.laws.smoothing import Array
from circuitcheck.reports.plots.style import PAPER

NEAR, FAR = 6.0, 20.0
"""Distances of a name from its place [points]; own choice."""

WAYS = tuple((np.cos(a), np.sin(a)) for a in np.arange(0.0, 2.0 * np.pi, np.pi / 8.0))
ACROSS, ON_LINE, OUTSIDE, DOUBTFUL, AT_EDGE = 40.0, 1.0, 200.0, 12.0, 3.0
"""What it costs to lie on another name, on a point of a line, outside of the axes; to stand
where lines run together, or at the edge of the axes."""

TOGETHER, EDGE = 9.0, 14.0
"""Lines this near to each other run together, what is this near to it is at the edge [points]."""

PLACES = 40
"""Places along a line at which its name may stand."""

Box = tuple[float, float, float, float]


@dataclass(frozen=True)
class Name:
    """A text and the places it may belong to, in figures of the axes, (places, 2).

    ``line``: number of the line that it names, None for a point or a setting; without places
    of its own it may stand anywhere along it.
    """

    text: str
    places: Array
    ink: str
    bold: bool = False
    line: int | None = None


def put(axes: Axes, names: Sequence[Name], lines: Sequence[Array], taken: Sequence[Array]) -> None:
    """Write names; ``lines`` and ``taken`` (marks) are figures of the axes, (points, 2)."""
    figure: Any = axes.figure
    figure.draw_without_rendering()
    figure.set_layout_engine("none")
    renderer = figure.canvas.get_renderer()
    scale = figure.dpi / 72.0
    dots = [axes.transData.transform(_finite(line)) for line in lines]
    dense = [_dense(row) for row in dots]
    drawn = np.concatenate([*dense, np.zeros((0, 2))])
    frame = axes.get_window_extent(renderer)
    boxes: list[Box] = []
    for row in taken:
        for x, y in axes.transData.transform(row):
            boxes.append((x - 4.0 * scale, y - 4.0 * scale, x + 4.0 * scale, y + 4.0 * scale))
    for name in names:
        weight = "bold" if name.bold else "normal"
        text = axes.text(0, 0, name.text, fontsize=8.0, color=name.ink, fontweight=weight)
        extent = text.get_window_extent(renderer)
        width, height = extent.width, extent.height
        if len(name.places):
            anchors = axes.transData.transform(name.places)
        else:
            anchors = _spread(dense[name.line or 0], frame)
        best, cost, chosen = None, np.inf, anchors[0]
        for anchor in anchors:
            base = 0.0 if name.line is None else _doubt(anchor, name.line, dense, frame, scale)
            for away in (NEAR, FAR):
                for dx, dy in WAYS:
                    x = anchor[0] + away * scale * dx - width * 0.5 * (1.0 - dx)
                    y = anchor[1] + away * scale * dy - height * 0.5 * (1.0 - dy)
                    box = (x, y, x + width, y + height)
                    now = base + _cost(box, drawn, boxes, frame) + (1.5 if away == FAR else 0.0)
                    if now < cost:
                        best, cost, chosen = box, now, anchor
        assert best is not None
        boxes.append(best)
        _settle(axes, text, best, chosen, name, scale)


def _settle(axes: Axes, text: Text, box: Box, anchor: Array, name: Name, scale: float) -> None:
    """Move a text to its place, with a thin line to what it names where it stands far off."""
    place = axes.transData.inverted().transform((box[0], box[1]))
    text.set_position((float(place[0]), float(place[1])))
    text.set_verticalalignment("bottom")
    text.set_bbox({"facecolor": PAPER, "edgecolor": "none", "alpha": 0.75, "pad": 0.8})
    text.set_zorder(6)
    nearest = (
        float(np.clip(anchor[0], box[0], box[2])), float(np.clip(anchor[1], box[1], box[3]))
    )  # fmt: skip
    gap = np.hypot(nearest[0] - anchor[0], nearest[1] - anchor[1])
    if gap > 0.6 * FAR * scale:
        ends = axes.transData.inverted().transform(np.array([anchor, nearest]))
        axes.plot(ends[:, 0], ends[:, 1], color=name.ink, linewidth=0.6, zorder=5)


def _spread(line: Array, frame: Any) -> Array:
    """Places along a line, evenly spread over what of it is within the axes."""
    inside = (line[:, 0] >= frame.x0) & (line[:, 0] <= frame.x1)
    inside &= (line[:, 1] >= frame.y0) & (line[:, 1] <= frame.y1)
    seen = line[inside] if inside.any() else np.array([[frame.x0, frame.y0]])
    found: Array = seen[np.unique(np.linspace(0, len(seen) - 1, PLACES).astype(int))]
    return found


def _doubt(anchor: Array, line: int, dense: Sequence[Array], frame: Any, scale: float) -> float:
    """What it costs to name a line at a place where others are near, or at the edge."""
    others = [row for i, row in enumerate(dense) if i != line and len(row)]
    apart = min((float(np.min(np.hypot(*(row - anchor).T))) for row in others), default=np.inf)
    cost = DOUBTFUL if apart < TOGETHER * scale else 0.0
    to_edge = min(anchor[0] - frame.x0, frame.x1 - anchor[0], anchor[1] - frame.y0)
    return cost + (AT_EDGE if to_edge < EDGE * scale else 0.0)


def _cost(box: Box, drawn: Array, boxes: list[Box], frame: Any) -> float:
    left, bottom, right, top = box
    cost = 0.0
    if left < frame.x0 or right > frame.x1 or bottom < frame.y0 or top > frame.y1:
        cost += OUTSIDE
    inside = (
        (drawn[:, 0] > left - 2) & (drawn[:, 0] < right + 2)
        & (drawn[:, 1] > bottom - 1) & (drawn[:, 1] < top + 1)
    )  # fmt: skip
    cost += ON_LINE * float(np.sum(inside))
    for other in boxes:
        if left < other[2] and right > other[0] and bottom < other[3] and top > other[1]:
            cost += ACROSS
    return cost


def _finite(line: Array) -> Array:
    found: Array = line[np.isfinite(line).all(axis=1)]
    return found


def _dense(line: Array) -> Array:
    """Points on a line, one about every four dots."""
    if len(line) < 2:
        return line
    steps = np.hypot(*np.diff(line, axis=0).T)
    way = np.concatenate([[0.0], np.cumsum(steps)])
    at = np.arange(0.0, way[-1], 4.0)
    return np.stack([np.interp(at, way, line[:, 0]), np.interp(at, way, line[:, 1])], axis=1)
