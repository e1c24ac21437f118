"""Readings that cannot all be right.

What is checked
    In every step with two or more readings of flow: do they fit together with what flows
    into and out of every junction and part (no leakage, accumulators at rest)? The flows
    that come nearest to all readings are sought; they miss by more than the tolerances if
    the readings contradict each other. Gauges on one point must show one pressure.

Why it matters on the machine
    A wrong gauge or meter sends the mechanic astray.

What to do
    Swap the gauges or meters and read again, all in one run at one temperature.

Limits of this rule
    Whether one worn part explains all readings is not judged. Leakage counts as flow from
    nowhere, so do not set tolerances too tight. Circuits with more than 1000 ports are not
    judged.

Source
    conservation of volume
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from circuitcheck.basics.findings import Note, Number, Severity
from circuitcheck.circuit.model import Claim
from circuitcheck.rules._balance import balance_rows, flow_at, port_index
from circuitcheck.rules._case import Case
from circuitcheck.rules._claims import tolerance
from circuitcheck.rules._paths import State
from circuitcheck.rules._readings import junction_of
from circuitcheck.rules._rule import Outcome, Rule

MOST_PORTS = 1000
LEAST_TOLERANCE = 1e-7
"""Tolerance of a reading of no flow [m3/s], 0.006 L/min; own choice."""


def check(case: Case) -> Iterator[Outcome]:
    for step in case.circuit.steps:
        readings = [r for r in case.circuit.readings if r.step == step.name]
        yield from _pressures(case, readings)
        flows = [r for r in readings if r.figure.quantity == "flow"]
        if len(flows) < 2:
            continue
        if len(port_index(case)) > MOST_PORTS:
            yield case.not_checked("", f"more than {MOST_PORTS} ports: too many to balance")
        else:
            yield from _flows(case, State(f"step {step.name}", step), flows)


def _flows(case: Case, state: State, readings: list[Claim]) -> Iterator[Outcome]:
    from scipy.linalg import null_space  # slow to load, for readings only

    index = port_index(case)
    known = [(r, flow_at(case, r)) for r in readings]
    placed = [(r, at) for r, at in known if at is not None and at.port in index]
    if len(placed) < 2:
        return
    free = null_space(balance_rows(case, state, index))
    spread = np.array([max(tolerance(r), LEAST_TOLERANCE) for r, _ in placed])
    read = np.array([at.sign * r.figure.value for r, at in placed])
    seen = free[[index[at.port] for _, at in placed], :] / spread[:, None]
    # singular values below 1e-9 are rounding, not freedom
    nearest = np.linalg.lstsq(seen, read / spread, rcond=1e-9)[0]
    missed = np.abs(seen @ nearest - read / spread)
    if np.max(missed) <= 1.0:
        return
    guilty = [r for (r, _), miss in zip(placed, missed, strict=True) if miss > 0.5]
    apart = float(np.sum(missed * spread))
    named = ", ".join(f"{r.subject} {case.flow(r.figure.value)}" for r in guilty)
    yield case.finding(
        f"readings {named} in {state.label} cannot all be right: {case.flow(apart)} appear "
        "from nowhere",
        case.circuit.parts.get(guilty[-1].subject),
        step=guilty[-1].step,
        place=guilty[-1].place,
        numbers=(Number("flow from nowhere", apart, "flow"),),
        notes=tuple(Note(f"{r.subject} was read", r.place) for r in guilty[:-1]),
    )


def _pressures(case: Case, readings: list[Claim]) -> Iterator[Outcome]:
    """Gauges that stand at one point and show different pressures."""
    at: dict[str, Claim] = {}
    for reading in readings:
        junction = junction_of(case, reading) if reading.figure.quantity == "pressure" else None
        if junction is None:
            continue
        other = at.setdefault(junction, reading)
        one, two = other.figure.value, reading.figure.value
        if abs(one - two) > tolerance(other) + tolerance(reading):
            yield case.finding(
                f"readings {other.subject} {case.bar(one)} and {reading.subject} "
                f"{case.bar(two)} in step {reading.step} cannot both be right: they stand at "
                "one point",
                case.circuit.parts.get(reading.subject),
                step=reading.step,
                place=reading.place,
                numbers=(Number("difference", abs(one - two), "pressure"),),
                notes=(Note(f"{other.subject} was read", other.place),),
            )


RULE = Rule("readings-contradict", Severity.WARNING, check)
