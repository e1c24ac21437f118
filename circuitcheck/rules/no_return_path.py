"""Oil that cannot leave an actuator which a step asks to move.

What is checked
    In every step, for every double-acting cylinder or motor with a load or a way of which
    one side gets oil: can oil from the other side reach a tank in that valve state, or, in
    regeneration, the side that fills? A way over a relief valve counts.

Why it matters on the machine
    Hydraulic lock; in a cylinder pushed on the cap side, rod pressure multiplied by the area
    ratio.

What to do
    Open the path: check the positions of the step, pilot-operated checks and check valves
    on the way back.

Limits of this rule
    Only whether there is a way is judged. A pilot-operated check counts as open where its
    pilot line is supplied, whatever pressure it needs. An actuator that moves in the solved
    step is passed.

Source
    trade article on pressure intensification; graph logic
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Severity
from circuitcheck.rules._blocked import where, without_return
from circuitcheck.rules._case import Case
from circuitcheck.rules._rule import Outcome, Rule


def check(case: Case) -> Iterator[Outcome]:
    for blocked in without_return(case):
        yield case.finding(
            f"in step {blocked.step.name}, oil leaving {blocked.part.name} port {blocked.port} "
            f"cannot reach the tank: {where(case, blocked, backward=False)}",
            blocked.part,
            port=blocked.port,
            step=blocked.step.name,
        )


RULE = Rule(
    "no-return-path",
    Severity.ERROR,
    check,
    explains=(
        "force-short",
        "torque-short",
        "rod-side-over-rating",
        "rod-side-can-lock",
        "relief-open-in-work",
    ),
)
