"""What a cycle asks of drives, rods, stores and the tank."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from circuitcheck.components._parts import Part
from circuitcheck.laws.smoothing import Array
from circuitcheck.solver.accounts import Accounts
from circuitcheck.solver.operating import Solution
from circuitcheck.studies.laps import Lap

DRIVES = ("electric motor", "engine", "pump", "hand pump")
"""Kinds that bring power in; a pump where no drive is named."""


@dataclass(frozen=True)
class DriveDuty:
    """Load of a drive: power [W] and torque [N m] as means over time and as peaks.

    ``load``: rms torque over what the duty allows (S1: the rated torque); ``heating``: its
    square, as the heat of the windings of an electric motor grows; ``electrical``: mean power
    from the supply [W]. None where the text does not give what is needed.
    """

    name: str
    mean: float
    rms: float
    peak: float
    peak_step: str
    rated: float | None
    rms_torque: float
    peak_torque: float
    load: float | None
    heating: float | None
    electrical: float | None


@dataclass(frozen=True)
class Stroke:
    """A way that a step orders: ``way`` in SI of ``quantity``, time [s], mean speed."""

    step: str
    part: str
    way: float
    quantity: str
    time: float

    @property
    def speed(self) -> float:
        return self.way / self.time


@dataclass(frozen=True)
class StoreDuty:
    """Oil [m3] in a store over the cycle and the pressures [Pa] it stands at.

    ``turned``: oil that it takes in, and gives, in a cycle; ``gain``: what it holds more at
    the end than at the beginning.
    """

    name: str
    start: float
    least: float
    most: float
    turned: float
    low: float
    high: float
    gain: float


@dataclass(frozen=True)
class TankDuty:
    """Oil [m3] in the tank over the cycle; ``allowed`` least and most, where given.

    ``returning``: mean flow that comes back [m3/s]; ``stays``: time that oil stays [s].
    """

    name: str
    least: float
    most: float
    allowed_least: float | None
    allowed_most: float | None
    returning: float

    @property
    def swing(self) -> float:
        return self.most - self.least

    @property
    def stays(self) -> float:
        return self.least / self.returning if self.returning > 0.0 else np.inf


def drives(found: Lap, books: Accounts, points: Solution) -> Iterator[DriveDuty]:
    """Give the load of every drive, one variation."""
    share = found.time[:, 0] / np.sum(found.time)
    for part in found.cycle.circuit.of_kind(*DRIVES):
        if part.name not in books.given or part.driven_by:
            continue
        power = books.given[part.name]
        states = [point.parts[part.name].values for point in points]
        torque = np.array([values.get("torque", np.nan) for values in states])
        worst = int(np.argmax(power))
        rms_torque = float(np.sqrt(torque**2 @ share))
        load = _load(part, rms_torque)
        taken = np.array([values.get("electrical power", np.nan) for values in states])
        electrical = float(taken @ share)
        yield DriveDuty(
            name=part.name,
            mean=float(power @ share),
            rms=float(np.sqrt(power**2 @ share)),
            peak=float(power[worst]),
            peak_step=points.points[worst].step.name,
            rated=part.figure("power"),
            rms_torque=rms_torque,
            peak_torque=float(np.max(torque)),
            load=load,
            heating=None if load is None else load**2,
            electrical=None if np.isnan(electrical) else electrical,
        )


def _load(part: Part, rms_torque: float) -> float | None:
    """Rms torque over what the duty allows: S1 the rated one, S3 and S6 root(duty factor) of it.

    IEC 60034-1, from memory; engines have no duty.
    """
    power, speed = part.figure("power"), part.figure("speed")
    if power is None or speed is None or part.kind.word != "electric motor":
        return None
    factor = part.figure("duty factor")
    return rms_torque / (power / speed * float(np.sqrt(1.0 if factor is None else factor)))


def strokes(found: Lap) -> Iterator[Stroke]:
    """Give the time of every way that a step orders, one variation."""
    circuit, case = found.cycle.circuit, found.answer.case
    for number, step in enumerate(circuit.steps):
        pieces = [i for i, owner in enumerate(found.cycle.owner) if owner == number]
        for name, orders in step.orders.items():
            way = orders.figures.get("travels")
            if way is None or name not in found.answer.owners:
                continue
            ways = case.order_of(circuit.parts[name])("travels", 0.0)[pieces]
            speeds = np.abs(found.answer.speed(name))[pieces]
            if np.all(speeds > 0.0):
                time = float(np.sum(ways / speeds))
                yield Stroke(step.name, name, way.value, way.quantity, time)


def stores(found: Lap, points: Solution) -> Iterator[StoreDuty]:
    """Follow what every store holds, one variation."""
    for part in found.cycle.stores:
        states = [point.parts[part.name].values for point in points]
        if "oil" not in states[0]:
            continue
        start = float(found.stored[part.name][0])
        held = np.array([start, *(values["oil"] for values in states)])
        pressure = np.array([values["pressure"] for values in states])
        yield StoreDuty(
            name=part.name,
            start=start,
            least=float(held.min()),
            most=float(held.max()),
            turned=float(np.sum(np.maximum(np.diff(held), 0.0))),
            low=float(pressure.min()),
            high=float(pressure.max()),
            gain=float(found.gains[part.name][0]),
        )


def tanks(found: Lap, points: Solution) -> Iterator[TankDuty]:
    """Follow the oil in the tank, where it is known, one variation."""
    share = found.time[:, 0] / np.sum(found.time)
    for part in found.cycle.circuit.of_kind("tank"):
        states = [point.parts[part.name].values for point in points]
        if "oil" not in states[0]:
            continue
        oil = np.array([values["oil"] for values in states])
        returning = np.array([values["return flow"] for values in states])
        # at the beginning stands what stood at the end of the cycle before
        yield TankDuty(
            name=part.name,
            least=float(oil.min()),
            most=float(oil.max()),
            allowed_least=part.figure("least"),
            allowed_most=part.figure("most"),
            returning=float(returning @ share),
        )


def rods_left(found: Lap) -> dict[str, float]:
    """How far rods stand out at the end of the cycle against its beginning [m], where they do."""
    case, left = found.answer.case, {}
    for name, middles in case.history.places.items():
        start = place = found.cycle.circuit.parts[name].figure("at start") or 0.0
        for middle in _column(case.by_step(middles)):
            place = 2.0 * middle - place
        if abs(place - start) > LEFT:
            left[name] = place - start
    return left


LEFT = 1e-3
"""Way of a rod under which it counts as back where it began [m]; own choice."""


def _column(rows: Array) -> list[float]:
    return [float(value) for value in rows[:, 0]]
