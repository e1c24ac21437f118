"""Through-drive that hands on too much torque.

What is checked
    For every pump with pumps behind it: the sum of their torques against its own 'through
    limit', in every solved step (an error) and with all of them at full stroke and their
    highest pressures at once (a warning).

Why it matters on the machine
    Torques add along the string, and the smallest section shears.

What to do
    Put the largest pump first, lower the settings behind, or drive them from another shaft.

Limits of this rule
    Only where 'through limit' is given.

Source
    torques are additive in tandem: service manual, maker withheld
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.components._parts import Part
from circuitcheck.rules import _fit
from circuitcheck.rules._case import Case
from circuitcheck.rules._rule import Outcome, Rule
from circuitcheck.solver.operating import OperatingPoint


def check(case: Case) -> Iterator[Outcome]:
    for pump in case.of_kind("pump"):
        rear = _fit.behind(case, pump)
        if not rear:
            continue
        limit = pump.figure("through limit")
        if limit is None:
            yield case.not_checked(pump.name, "torque that its through-drive stands")
            continue
        names = " and ".join(other.name for other in rear)
        steps = [(sum(abs(_own(p, other)) for other in rear), p.step.name) for p in case.points]
        worst, step = max(steps, default=(0.0, ""))
        torques = [_fit.highest_torque(case, other) for other in rear]
        peak = sum(torque for torque in torques if torque is not None)
        if max(worst, peak) <= limit:
            continue
        over = worst > limit
        torque, where = (worst, f"in step {step}") if over else (peak, "at their highest pressures")
        yield case.finding(
            f"the through-drive of {pump.name} hands {case.show(torque, 'torque')} on to {names} "
            f"{where}; it stands {case.show(limit, 'torque')} (limit from {pump.name})",
            pump,
            severity=Severity.ERROR if over else Severity.WARNING,
            step=step if over else "",
            numbers=(Number("torque", torque, "torque"), Number("limit", limit, "torque")),
        )


def _own(point: OperatingPoint, pump: Part) -> float:
    return point.parts[pump.name].values["torque"]


RULE = Rule("through-drive-torque-over", Severity.ERROR, check)
