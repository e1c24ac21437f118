"""Rod that may buckle when it pushes.

What is checked
    For every cylinder with a length pin to pin: the greatest push of all solved steps,
    against the buckling load of a bar of the rod's diameter and that length (Euler; Johnson
    for short ones). An error below a safety of 2.5, a warning below 3.5.

Why it matters on the machine
    It bends without warning, under load.

What to do
    A thicker rod, a shorter stroke, a stiffer mounting, a stop tube. For proof use the
    method of ISO/TS 13725, with the stiffness of tube and rod, off-axis load and weight.

Limits of this rule
    The whole length counts as rod, which is on the safe side; side load, own weight and play
    of bearings are left out, which is not. A mounting that is not given is taken as pinned at
    both ends.

Source
    Euler and Johnson, textbook; ISO/TS 13725:2021 (scope read) leaves the factor to the user;
    factors 3 to 5 seen, over 4 advised on a dealer's page
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.components._buckling import LENGTH_FACTOR, buckling_load
from circuitcheck.rules._case import Case
from circuitcheck.rules._rule import Needs, Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    warn, error = case.limit("warn_below"), case.limit("error_below")
    for cylinder in case.of_kind("cylinder"):
        rod, length = cylinder.figure("rod"), cylinder.figure("length")
        point = max(case.points, key=lambda p: p.parts[cylinder.name].values["force"])
        push = point.parts[cylinder.name].values["force"]
        if push <= 0.0:
            continue
        if rod is None or length is None:
            missing = "rod diameter" if rod is None else "length pin to pin, rod out ('length')"
            yield case.not_checked(cylinder.name, missing)
            continue
        mounting = cylinder.choices.get("mounting")
        factor = LENGTH_FACTOR[mounting or "pinned both ends"]
        load = float(buckling_load(np.asarray(rod), np.asarray(factor * length)))
        safety = load / push
        if safety >= warn.value:
            continue
        wrong = safety < error.value
        asked = error if wrong else warn
        said = "" if mounting else " (mounting not given: pinned at both ends)"
        yield case.finding(
            f"{cylinder.name} pushes {case.show(push, 'force')} in step {point.step.name} over "
            f"{case.show(length, 'length')} extended{said}; buckling load "
            f"{case.show(load, 'force')}, safety {safety:.2f} (asked {asked.value:g}, "
            f"{asked.origin})",
            cylinder,
            severity=Severity.ERROR if wrong else Severity.WARNING,
            step=point.step.name,
            numbers=_numbers(push, load, safety),
        )


def _numbers(push: float, load: float, safety: float) -> tuple[Number, ...]:
    return (
        Number("push", push, "force"),
        Number("buckling load", load, "force"),
        Number("safety", safety, "ratio"),
    )


RULE = Rule("rod-buckling", Severity.ERROR, check, Needs.NUMBERS)
