"""Results of the benchmark as tables in Markdown that read at 80 columns."""

from __future__ import annotations

import math

import numpy as np

from circuitcheck.benchmark.measuring import Measured

NONE = "-"


def figure(value: float | None) -> str:
    """Three figures, or a dash where there is none."""
    if value is None or not math.isfinite(value):
        return NONE
    if value == 0.0:
        return "0"
    if 0.01 <= abs(value) < 10000.0:
        return f"{value:.3g}" if abs(value) < 100.0 else f"{value:.0f}"
    if 10000.0 <= abs(value) < 1e7:
        return f"{value:,.0f}"
    return f"{value:.0e}"


def _table(head: list[str], rows: list[list[str]]) -> str:
    """Rows under a head, columns padded."""
    widths = [max(len(row[i]) for row in [head, *rows]) for i in range(len(head))]
    lines = [
        "| " + " | ".join(cell.ljust(w) for cell, w in zip(row, widths, strict=True)) + " |"
        for row in [head, ["-" * w for w in widths], *rows]
    ]
    return "\n".join(lines)


def states(rows: list[Measured]) -> str:
    """Ways on the states of one circuit; the ratio is ours batched over each, per second.

    A way that solves few states is fast at failing: the ratio counts states solved.
    """
    best = rows[0].rate * rows[0].solved
    head = ["way", "ratio", "solved/s", "solved", "iter.", "L/min", "apart", "MB"]
    told = [
        [
            r.way,
            figure(best / (r.rate * r.solved)) if r.solved else NONE,
            figure(r.rate * r.solved),
            f"{100 * r.solved:.3g} %" if r.points else NONE,
            figure(r.iterations),
            figure(r.imbalance),
            figure(r.apart),
            figure(r.memory),
        ]
        for r in rows
    ]
    return _with_trouble(_table(head, told), rows)


def network(rows: list[tuple[int, Measured]]) -> str:
    """Ways on networks by size; the ratio is the time of each over ours at that size."""
    ours = {n: r.seconds for n, r in rows if "warm" in r.more}
    head = ["nodes", "way", "ratio", "s", "warm/cold", "iter.", "L/min", "MB"]
    told = [
        [
            f"{n:,}",
            r.way,
            figure(r.seconds / ours[n]) if r.solved and n in ours else NONE,
            figure(r.seconds),
            figure(r.more["warm"] / r.seconds) if "warm" in r.more else NONE,
            figure(r.iterations),
            figure(r.imbalance),
            figure(r.memory),
        ]
        for n, r in rows
    ]
    return _with_trouble(_table(head, told), [r for _, r in rows])


def growth(rows: list[tuple[int, Measured]]) -> float:
    """Exponent of the time over the number of unknowns, by least squares in logarithms."""
    own = [(r.more["unknowns"], r.seconds) for _, r in rows if "warm" in r.more and r.solved]
    if len(own) < 2:
        return float("nan")
    size, seconds = np.log(np.array(own)).T
    return float(np.polyfit(size, seconds, 1)[0])


def figures(more: dict[str, float]) -> str:
    """Further figures, one a row."""
    return _table(["figure", "value"], [[name, figure(value)] for name, value in more.items()])


def _with_trouble(table: str, rows: list[Measured]) -> str:
    said = dict.fromkeys(f"{r.way}: {r.trouble}" for r in rows if r.trouble)
    return "\n\n".join([table, *said])
