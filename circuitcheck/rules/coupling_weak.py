"""Coupling too weak for its drive.

What is checked
    The torque of the coupling against the greater of the drive's rated torque and that of
    any solved step, times a service factor (1.5 for electric motors, 2 for engines).

Why it matters on the machine
    Torque swings about its mean, most of all on engines; a loose coupling wears the shafts.

What to do
    Take a larger coupling; check its fit on the shaft.

Limits of this rule
    Only where the drive says 'coupling'.

Source
    loose-fitting couplings wear the shaft: trade article on commissioning; factors: common
    practice, no source
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.rules import _fit
from circuitcheck.rules._case import Case
from circuitcheck.rules._rule import Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    for drive in case.of_kind(*_fit.DRIVES):
        stands = drive.figure("coupling")
        if stands is None:
            continue
        factor = case.limit("electric" if drive.kind.word == "electric motor" else "diesel")
        power, speed = drive.figure("power"), drive.figure("speed")
        found = [abs(point.parts[drive.name].values["torque"]) for point in case.points]
        if power and speed:
            found.append(power / speed)
        if not found:
            yield case.not_checked(drive.name, "rated power of the drive")
            continue
        torque = max(found)
        if stands < factor.value * torque:
            yield case.finding(
                f"coupling of {drive.name} stands {case.show(stands, 'torque')}; "
                f"{case.show(torque, 'torque')} x {factor.value:g} ({factor.origin}) ask "
                f"{case.show(factor.value * torque, 'torque')}",
                drive,
                numbers=(
                    Number("coupling", stands, "torque"),
                    Number("needed", factor.value * torque, "torque"),
                ),
            )


RULE = Rule("coupling-weak", Severity.WARNING, check)
