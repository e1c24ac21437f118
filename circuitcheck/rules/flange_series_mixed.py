"""Four-bolt flanges of two series, or over their rating.

What is checked
    Where a line ends on a four-bolt flange: the series (code 61 or 62, ISO 6162-1 and -2)
    and size against those of the port; and the greatest solved pressure against the rating
    of series and size.

Why it matters on the machine
    Heads and bolts of the two series differ though the bores agree; half a joint holds half
    the pressure.

What to do
    Match series and size; code 62 for high pressure.

Limits of this rule
    Ratings by size are from memory, the lowest of the editions seen. Written as code61-1 or
    "code 61 1", the size in inches.

Source
    ISO 6162-1 and -2, SAE J518 (scopes read), table in the shared folder
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Note, Number, Severity
from circuitcheck.rules import _fit
from circuitcheck.rules._case import Case
from circuitcheck.rules._rule import Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    for line, end, part, port in _fit.screwed_pairs(case):
        own, other = _fit.thread(_fit.port_code(line, end)), _fit.thread(_fit.port_code(part, port))
        if own is None or not own.family.startswith("flange"):
            continue
        if other is not None and other.family.startswith("flange") and own != other:
            yield case.finding(
                f"{line.name} ends in {own}, {port or 'the port'} of {part.name} is {other}",
                line,
                notes=(Note(f"{part.name} has {other}", part.place),),
            )
            continue
        stands = _fit.flange_rating(own)
        if stands is None:
            yield case.not_checked(line.name, f"size of its {own.family}")
            continue
        pressures = [(p.parts[line.name].values["pressure"], p.step.name) for p in case.points]
        pressure, step = max(pressures, default=(0.0, ""))
        if pressure > stands:
            yield case.finding(
                f"{own} of {line.name} stands {case.bar(stands)}, step {step} has "
                f"{case.bar(pressure)}",
                line,
                step=step,
                numbers=(Number("pressure", pressure, "pressure"),),
            )


RULE = Rule("flange-series-mixed", Severity.ERROR, check)
