"""Draws where the energy of a cycle goes: bands as wide as their power, from left to right.

Drives come in on the left, what is useful leaves on the right; what is lost turns off
downwards on the way. Widths are to one scale, so they can be compared with a ruler.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import PathPatch
from matplotlib.path import Path

from circuitcheck.basics.quantities import System, show
from circuitcheck.laws.smoothing import Array
from circuitcheck.reports.plots.style import canvas
from circuitcheck.studies.duty import Duty
from circuitcheck.studies.energy import BACK, LOAD, LOSS, STORE, Flow

TITLE = "Where the energy of a cycle goes"
MOST = 7
"""Bands of losses; what is smaller goes together."""

SMALL = 0.01
"""Share under which a loss gets no band of its own; own choice."""

TRUNK, USEFUL, LOST, OTHER, EDGE = "#cdd9e8", "#23527c", "#d99a5b", "#9aa5ad", "#333333"
RADIUS, GAP, HEAD, DEEP = 0.12, 0.74, 0.12, 0.55
"""Inner radius of a turn, space between bands, size of arrow heads, depth; height of all 1."""

WIDTH, ROW, CLEAR = 7.2, 0.44, 0.08
"""Width of the picture [in]; least distance of names beside each other, and of bands."""

LEFT, RIGHT, ABOVE, BELOW = 1.55, 1.75, 0.35, 1.65
"""Room for names around the bands."""

Words = Callable[[Flow], str]


def drawn(duty: Duty, units: System) -> Figure:
    """Draw the flows of a duty cycle; powers are means over it."""
    flows, brought = duty.flows, duty.flows.brought
    title = f"{TITLE}: means over {show(duty.time, 'time', units)}"
    losses = _gathered([flow for flow in flows.out if flow.kind == LOSS], brought)
    kept = [flow for flow in flows.out if flow.kind != LOSS]
    end = 0.35 + sum(flow.power / max(brought, 1e-9) + GAP for flow in losses)
    rows = max(len(flows.into), len(kept))
    above = ABOVE + 0.5 * ROW * max(rows - 2, 0)
    wide, high = LEFT + end + 0.6 + RIGHT, 1.0 + above + DEEP + BELOW
    figure, axes = canvas(title, (WIDTH, WIDTH * high / wide + 0.35))
    axes.set_axis_off()
    axes.set_aspect("equal")
    axes.set_xlim(-LEFT, end + 0.6 + RIGHT)
    axes.set_ylim(-DEEP - BELOW, 1.0 + above)
    if brought <= 0.0:
        axes.text(0.0, 0.0, "nothing drives this circuit")
        return figure

    def words(flow: Flow) -> str:
        share = flow.power / brought
        percent = f"{100.0 * share:.0f} %" if share >= 0.01 else "< 1 %"
        return f"{_of(flow, duty)}\n{show(flow.power, 'power', units, 2)}\n{percent}"

    _losses(axes, losses, brought, words)
    _ends(axes, kept, end, brought, words)
    _sources(axes, flows.into, brought, words)
    return figure


def _of(flow: Flow, duty: Duty) -> str:
    if flow.kind == LOAD:
        driving = flow in duty.flows.into
        return f"load on {flow.part}" if driving else f"useful at {flow.part}"
    if flow.kind == STORE:
        return f"of {flow.part}" if flow in duty.flows.into else f"left in {flow.part}"
    if flow.kind == BACK:
        return f"back to {flow.part}"
    part = duty.circuit.parts.get(flow.part)
    if part is None:
        return flow.part
    return flow.part if part.kind.word in ("line", "electric motor", "engine") else (
        f"{flow.part} {part.kind.word}"
    )  # fmt: skip


def _gathered(losses: list[Flow], brought: float) -> list[Flow]:
    """The greatest losses, the others together in the last band."""
    big = [flow for flow in losses if flow.power >= SMALL * brought][:MOST]
    rest = losses[len(big) :]
    if not rest:
        return big
    return [*big, Flow(LOSS, f"{len(rest)} others", sum(flow.power for flow in rest))]


def _losses(axes: Axes, losses: Sequence[Flow], brought: float, words: Words) -> None:
    """Draw the trunk with the bands that turn off it."""
    low, x = 0.0, 0.35
    corners = [(0.0, 0.0)]
    for flow in losses:
        wide = flow.power / brought
        corners += [(x, low), (x, low + wide)]
        _patch(axes, _turned(x, low, wide), LOST)
        name, amounts = words(flow).split("\n", 1)
        told = "\n".join([*name.split(" "), amounts])
        middle = x + RADIUS + 0.5 * wide
        axes.text(middle, -DEEP - HEAD - 0.08, told, ha="center", va="top", fontsize=7.0)
        low += wide
        x += wide + GAP
    corners += [(x, low), (x, 1.0), (0.0, 1.0)]
    _patch(axes, Path(np.array([*corners, corners[0]]), closed=True), TRUNK)


def _turned(x: float, low: float, wide: float) -> Path:
    """A band that leaves the lower edge of the trunk and turns down, with an arrow head."""
    turn = np.linspace(0.5 * np.pi, 0.0, 24)
    middle = np.array([x, low - RADIUS])
    round_ = np.stack([np.cos(turn), np.sin(turn)], axis=1)
    outer = middle + (RADIUS + wide) * round_
    inner = middle + RADIUS * round_
    left, right, head = x + RADIUS, x + RADIUS + wide, min(HEAD, 0.04 + wide)
    tip = [
        (right, -DEEP), (right + 0.35 * head, -DEEP), (0.5 * (left + right), -DEEP - head),
        (left - 0.35 * head, -DEEP), (left, -DEEP),
    ]  # fmt: skip
    return _closed(np.concatenate([outer, np.array(tip), inner[::-1]]))


def _ends(axes: Axes, kept: Sequence[Flow], x: float, brought: float, words: Words) -> None:
    """Draw what leaves at the end of the trunk: useful power, and what goes back or stays."""
    widths = [flow.power / brought for flow in reversed(kept)]
    lows = 1.0 - sum(widths) + np.cumsum([0.0, *widths])[:-1]
    far = x + 0.45
    for flow, low, wide, shift in zip(
        reversed(kept), lows, widths, _apart(lows, widths), strict=True
    ):
        head = min(HEAD, 0.04 + wide)
        upper, lower = _bent(x, low + wide, far, shift), _bent(x, low, far, shift)
        top, bottom = low + wide + shift, low + shift
        tip = [(far, top + 0.35 * head), (far + head, 0.5 * (top + bottom)),
               (far, bottom - 0.35 * head)]  # fmt: skip
        path = _closed(np.concatenate([upper, np.array(tip), lower[::-1]]))
        _patch(axes, path, USEFUL if flow.kind == LOAD else OTHER)
        told = words(flow).replace("\n", ": ", 1).replace("\n", ", ").replace(": ", "\n", 1)
        axes.text(far + head + 0.08, 0.5 * (top + bottom), told, va="center", fontsize=8.0,
                  fontweight="bold")  # fmt: skip


def _sources(axes: Axes, into: Sequence[Flow], brought: float, words: Words) -> None:
    """Draw what comes in on the left, the greatest on top."""
    widths = [flow.power / brought for flow in reversed(into)]
    lows = np.cumsum([0.0, *widths])[:-1]
    for flow, low, wide, shift in zip(
        reversed(into), lows, widths, _apart(lows, widths), strict=True
    ):
        upper = _bent(0.0, low + wide, -0.45, shift)[::-1]
        lower = _bent(0.0, low, -0.45, shift)
        _patch(axes, _closed(np.concatenate([upper, lower])), TRUNK)
        told = words(flow).replace("\n", ": ", 1).replace("\n", ", ").replace(": ", "\n", 1)
        axes.text(-0.52, low + 0.5 * wide + shift, told, ha="right", va="center",
                  fontsize=8.0, fontweight="bold")  # fmt: skip


def _apart(lows: Array, widths: Sequence[float]) -> list[float]:
    """How far bands move so that their names stand clear of each other, the lowest first."""
    middles = lows + 0.5 * np.array(widths)
    placed: list[float] = []
    for i, middle in enumerate(middles):
        room = max(ROW, 0.5 * (widths[i - 1] + widths[i]) + CLEAR) if i else 0.0
        placed.append(max(float(middle), placed[-1] + room) if placed else float(middle))
    back = 0.5 * (placed[-1] - float(middles[-1])) if placed else 0.0
    return [place - back - float(middle) for place, middle in zip(placed, middles, strict=True)]


def _bent(x: float, y: float, far: float, shift: float) -> Array:
    """An edge that goes from x to far and moves by ``shift`` on the way, smoothly."""
    share = np.linspace(0.0, 1.0, 24)
    rise = shift * share * share * (3.0 - 2.0 * share)
    return np.stack([x + (far - x) * share, y + rise], axis=1)


def _closed(points: Array) -> Path:
    return Path(np.concatenate([points, points[:1]]), closed=True)


def _patch(axes: Axes, path: Path, tone: str) -> None:
    axes.add_patch(PathPatch(path, facecolor=tone, edgecolor=EDGE, linewidth=0.6))
