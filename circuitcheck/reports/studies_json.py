"""Sizes, spreads and variants for programs: SI, units in the keys, as in `json_format.md`."""

from __future__ import annotations

import json
import math
from collections.abc import Sequence
from typing import Any

from circuitcheck.reports.result_json import finding_data, key
from circuitcheck.review.comparison import Comparison
from circuitcheck.studies.bands import Band
from circuitcheck.studies.binding import Missed
from circuitcheck.studies.doubts import Doubt
from circuitcheck.studies.side_by_side import SideBySide
from circuitcheck.studies.sizing import Attempt, Sized
from circuitcheck.studies.spread import Spread
from circuitcheck.studies.targets import Target

SIZE, SPREAD, VARIANTS = "circuitcheck-size", "circuitcheck-spread", "circuitcheck-variants"
VERSION = 1

Json = dict[str, Any]


def dump_sizing(found: Sized, other: Comparison | None, file: str, version: str) -> str:
    """Give a sizing; ``other`` is what else changes with the size that is chosen."""
    at = (i for i, attempt in enumerate(found.standard) if attempt is found.chosen)
    return _text(
        SIZE,
        version,
        {
            "file": file,
            "feasible": found.feasible,
            "figures": [
                {
                    "figure": figure.text,
                    key("least", figure.quantity): _number(low),
                    key("most", figure.quantity): _number(high),
                    "sizes": series.source,
                }
                for figure, (low, high), series in zip(
                    found.figures, found.ranges, found.series, strict=True
                )
            ],
            "targets": [_target(target) for target in found.targets],
            "present": _attempt(found, found.present),
            "exact": _attempt(found, found.exact),
            "standard": [_attempt(found, attempt) for attempt in found.standard],
            "chosen": next(at, None),
            "within": [
                {
                    key("least", found.figures[0].quantity): _number(low),
                    key("most", found.figures[0].quantity): _number(high),
                }
                for low, high in found.within
            ],
            "in_the_way": {
                "missed": [_missed(missed) for missed in found.binding.missed],
                "at_end_of_range": [figure for figure, _ in found.binding.ends],
                "barred": found.binding.barred,
            },
            "changes": None if other is None else _compared(other),
        },
    )


def dump_spread(found: Spread, file: str, version: str) -> str:
    """Give a spread: bands of results, what carries them, what may be off."""
    return _text(
        SPREAD,
        version,
        {
            "file": file,
            "runs": found.runs,
            "seed": found.seed,
            "draws": "normal" if found.bell else "even",
            "unsolved": found.unsolved,
            "bands": [_band(band) for band in found.bands],
            "off": [_doubt(doubt) for doubt in found.doubts],
            "left_out": list(found.left_out),
        },
    )


def dump_variants(
    found: SideBySide,
    titles: Sequence[str],
    compared: Sequence[Comparison],
    files: Sequence[str],
    version: str,
) -> str:
    """Give circuits side by side, each compared with the first."""
    return _text(
        VARIANTS,
        version,
        {
            "files": list(files),
            "circuits": [
                {"name": name, "title": title}
                for name, title in zip(found.names, titles, strict=True)
            ],
            "steps_only_in": {step: list(names) for step, names in found.only_in.items()},
            "results": [
                {
                    "result": row.name,
                    "step": row.step,
                    key("values", row.quantity): [_number(value) for value in row.values],
                }
                for row in found.rows
            ],
            "compared": [
                {"name": name, "against": found.names[0]} | _compared(one)
                for name, one in zip(found.names[1:], compared, strict=True)
            ],
        },
    )


def _text(form: str, version: str, data: Json) -> str:
    head = {
        "format": form,
        "version": VERSION,
        "program": {"name": "circuitcheck", "version": version},
    }
    return json.dumps(head | data, indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def _number(value: float) -> float | None:
    return float(value) if math.isfinite(value) else None


def _width(quantity: str) -> str:
    """Quantity of a difference: between two temperatures there are kelvins."""
    return "temperature_difference" if quantity == "temperature" else quantity


def _of(target: Target) -> Json:
    return {"result": target.name, "step": "cycle" if target.over_cycle else target.step}


def _target(target: Target) -> Json:
    quantity = target.claim.figure.quantity
    return _of(target) | {
        "mode": target.claim.mode,
        key("aim", quantity): _number(target.aim),
        key("least", quantity): _number(target.low),
        key("most", quantity): _number(target.high),
    }


def _attempt(found: Sized, attempt: Attempt) -> Json:
    ordered = [size.text for size in attempt.sizes]
    sizes: Sequence[str | None] = ordered or [None] * len(found.figures)
    return {
        "name": attempt.name,
        "meets": attempt.good,
        "values": [
            {"figure": figure.text, key("value", figure.quantity): _number(value), "size": size}
            for figure, value, size in zip(
                found.figures, attempt.values.tolist(), sizes, strict=True
            )
        ],
        "results": [
            _of(target) | {key("value", target.claim.figure.quantity): _number(value), "meets": met}
            for target, value, met in zip(
                found.targets, attempt.results.tolist(), attempt.meets, strict=True
            )
        ],
    }


def _missed(missed: Missed) -> Json:
    return _of(missed.target) | {
        key("best", missed.target.claim.figure.quantity): _number(missed.result),
        "moves_with_the_figures": not missed.deaf,
        "limits": list(missed.limits),
        "levers": [
            {"figure": lever.figure, "percent_per_percent": _number(lever.share)}
            for lever in missed.levers
        ],
    }


def _band(band: Band) -> Json:
    figures = {
        "text": band.text, "mean": band.mean, "low": band.low, "high": band.high,
        "least": band.least, "most": band.most,
    }  # fmt: skip
    width = _width(band.quantity)
    return (
        {"result": band.name, "step": band.step}
        | {key(name, band.quantity): _number(value) for name, value in figures.items()}
        | {
            key("deviation", width): _number(band.deviation),
            key("deviation_by_slopes", width): _number(band.linear),
            "straight_1": _number(band.straight),
            "solved": band.solved,
            "carried_by": [
                {"name": s.name, "runs_1": _number(s.runs), "slopes_1": _number(s.slopes)}
                for s in band.shares
            ],
        }
    )


def _doubt(doubt: Doubt) -> Json:
    return {
        "figure": doubt.name,
        key("value", doubt.quantity): _number(doubt.value),
        key("off", _width(doubt.quantity)): _number(doubt.off),
        "source": doubt.source,
    }


def _compared(one: Comparison) -> Json:
    return {
        "changes": [
            {
                "sort": change.sort,
                "name": change.name,
                "what": change.what,
                "before": change.before,
                "after": change.after,
            }
            for change in one.changes
        ],
        "moves": [
            {
                "step": move.step,
                "component": move.name,
                "what": move.what,
                key("before", move.quantity): _number(move.before),
                key("after", move.quantity): _number(move.after),
            }
            for move in one.moves
        ],
        "gained": [finding_data(finding) for finding in one.gained],
        "lost": [finding_data(finding) for finding in one.lost],
    }
