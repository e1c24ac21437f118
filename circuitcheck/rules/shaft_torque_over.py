"""Pump or motor shaft that carries too much torque.

What is checked
    The torque of every pump at full stroke and the highest pressure that its control or
    relief lets stand, with that of the pumps behind it, and the greatest torque of every
    pump and motor in any solved step, against its own shaft limit: an error above it, a
    warning above 80 %.

Why it matters on the machine
    The peak, not the duty, shears a shaft.

What to do
    A larger shaft, or a lower cut-off.

Limits of this rule
    Only where 'shaft limit' is given; all pumps of a string are taken at their highest
    pressure at once. Shocks are not counted.

Source
    M = V dp/(2 pi), textbook; the code of a shaft does not prove its torque: SAE J744
    (summary page); 80 %: common practice, no source
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.rules import _fit
from circuitcheck.rules._case import Case
from circuitcheck.rules._rule import Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    share = case.limit("warn_share").value
    for part in case.of_kind("pump", "motor"):
        limit = part.figure("shaft limit")
        if limit is None:
            continue
        carried = [part, *(_fit.behind(case, part) if part.kind.word == "pump" else ())]
        found = [
            (
                abs(sum(p.parts[unit.name].values["torque"] for unit in carried)),
                f"in step {p.step.name}",
            )
            for p in case.points
        ]
        if part.kind.word == "pump":
            string = [_fit.highest_torque(case, pump) for pump in carried]
            known = [torque for torque in string if torque is not None]
            if len(known) == len(string):
                found.append((sum(known), "at the highest pressure"))
        if not found:
            continue
        torque, where = max(found)
        if torque > share * limit:
            yield case.finding(
                f"shaft of {part.name} carries {case.show(torque, 'torque')} {where}; it stands "
                f"{case.show(limit, 'torque')} (limit from {part.name})",
                part,
                severity=Severity.ERROR if torque > limit else Severity.WARNING,
                numbers=(Number("torque", torque, "torque"), Number("limit", limit, "torque")),
            )


RULE = Rule("shaft-torque-over", Severity.ERROR, check)
