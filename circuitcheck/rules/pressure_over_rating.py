"""Part that sees more pressure than it is rated for.

What is checked
    The highest pressure of all solved steps at every port of every part, against its highest
    working pressure; a valve's tank port against its own. A warning from 90 % of the rating.
    The worst port and step of a part are reported.

Why it matters on the machine
    Seals, housings and hoses fail, at once or after some thousand cycles.

What to do
    Lower the setting, reduce the area ratio that multiplies the pressure, or take a part of
    higher rating.

Limits of this rule
    Steady pressures only: peaks at valve shifts are higher. Closed volumes whose pressure
    only leakage decides are left out. The rod side of cylinders is the matter of
    rod-side-over-rating. Parts without a rating are listed as not checked where they see
    more than 10 bar.

Source
    all components within their specification: university notes on safe design after
    ISO 4413; ISO 4413:1998 clause 10.2 (clause list read)
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case
from circuitcheck.rules._ratings import rating, unrated
from circuitcheck.rules._rule import Needs, Outcome, Rule
from circuitcheck.solver.operating import COMPUTED


def check(case: Case) -> Iterator[Outcome]:
    warn, listed = case.limit("warn_share").value, case.limit("listed_above").value
    without: list[str] = []
    for part in case.circuit.parts.values():
        over: list[tuple[float, str, tuple[float, str], float]] = []
        for port, junction in case.network.joints[part.name].items():
            worst = _worst(case, junction)
            if worst is None or (part.kind.word == "cylinder" and port == "rod"):
                continue
            rated = rating(part, port)
            if rated is None:
                if worst[0] > listed:
                    without.append(part.name)
            elif worst[0] > warn * rated:
                over.append((worst[0] / rated, port, worst, rated))
        if over:
            _, port, worst, rated = max(over)
            yield _finding(case, part, port, worst, rated)
    yield from unrated(case, without)


def _worst(case: Case, junction: str) -> tuple[float, str] | None:
    """Highest computed pressure at a junction and its step."""
    found = [
        (point.junctions[junction].pressure, point.step.name)
        for point in case.points
        if point.junctions[junction].status == COMPUTED
    ]
    return max(found) if found else None


def _finding(case: Case, part: Part, port: str, worst: tuple[float, str], rated: float) -> Outcome:
    pressure, step = worst
    where = f"{part.name} port {port}" if len(part.ports) > 1 else part.name
    return case.finding(
        f"{where} sees {case.bar(pressure)} in step {step} "
        f"({'range' if part.kind.word == 'gauge' else 'rated'} {case.bar(rated)}, "
        f"limit from {part.name})",
        part,
        severity=Severity.ERROR if pressure > rated else Severity.WARNING,
        port=port,
        step=step,
        numbers=(
            Number("pressure", pressure, "pressure"),
            Number("rating", rated, "pressure"),
        ),
    )


RULE = Rule("pressure-over-rating", Severity.ERROR, check, Needs.NUMBERS)
