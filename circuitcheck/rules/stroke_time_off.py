"""Stroke time read that differs from the one expected.

What is checked
    Readings of the time of a cylinder in a step with a way, against the computed time: more
    than 5 % or 0.3 s apart, whichever is more.

Why it matters on the machine
    Seconds are the cheapest flow meter: a slow stroke shows the flow that is missing.

What to do
    Compare functions that share a path; what is slow in all of them is the pump or the
    relief, what is slow in one is its valve or cylinder.

Limits of this rule
    Starting and stopping are not in the computed time.

Source
    record cycle times as a baseline: workshop page; speed = flow / area, textbook
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.rules._case import Case
from circuitcheck.rules._claims import Judged, judged_readings
from circuitcheck.rules._rule import Needs, Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    for verdict in judged_readings(case):
        claim = verdict.claim
        part = case.circuit.parts.get(claim.subject)
        if claim.what != "time" or part is None or part.kind.word != "cylinder":
            continue
        if verdict.value is None:
            yield case.not_checked(part.name, f"way of the step {claim.step} ('travels')")
            continue
        apart = max(case.limit("share").value * verdict.value, case.limit("time").value)
        if abs(claim.figure.value - verdict.value) > apart:
            yield _finding(case, verdict, verdict.value)


def _finding(case: Case, verdict: Judged, expected: float) -> Outcome:
    part, read = case.circuit.parts[verdict.claim.subject], verdict.claim.figure.value
    point = case.point(verdict.step)
    way, lacks = "stroke", ""
    if point is not None and read > 0.0:
        values = point.parts[part.name].values
        way = "out" if values["speed"] > 0.0 else "in"
        flow = values["flow"] * (1.0 - expected / read)
        word = "missing" if flow > 0.0 else "too much"
        lacks = f": {case.flow(abs(flow))} {word} at the cap end"
    return case.finding(
        f"{part.name} {way} takes {case.show(read, 'time')} in step {verdict.step}, expected "
        f"{case.show(expected, 'time')}{lacks}",
        part,
        step=verdict.step,
        place=verdict.claim.place,
        numbers=(Number("time read", read, "time"), Number("expected", expected, "time")),
    )


RULE = Rule("stroke-time-off", Severity.WARNING, check, Needs.NUMBERS)
