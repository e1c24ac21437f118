"""The duty cycle of a circuit: energy, loads and heat, with the oil as warm as it gets."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from circuitcheck.basics.limits import limit
from circuitcheck.basics.shown import Shown
from circuitcheck.circuit.model import Circuit
from circuitcheck.solver.answer import Answer
from circuitcheck.solver.results import solution
from circuitcheck.solver.told import told
from circuitcheck.studies.cycle import Cycle, NoDutyError, cycle_of
from circuitcheck.studies.energy import DRIVE, LOAD, LOSS, STORE, Flows, books_of, flows
from circuitcheck.studies.heat import HOTTEST, Equilibrium, equilibrium, sinks_of, with_surroundings
from circuitcheck.studies.laps import Lap, lap, sharpened
from circuitcheck.studies.loads import (
    DriveDuty,
    StoreDuty,
    Stroke,
    TankDuty,
    drives,
    rods_left,
    stores,
    strokes,
    tanks,
)
from circuitcheck.studies.warming import Needed, Warming, needed, warming

SWITCHES = 0.5
"""Oil that settles this near to the setting of a heater is held by it [K]; own choice."""


@dataclass(frozen=True)
class StepDuty:
    """Mean powers of a step [W] and its time [s]; ``stored``: into stores, below zero out."""

    name: str
    time: float
    input: float
    useful: float
    loss: float
    stored: float


@dataclass(frozen=True)
class Trace:
    """Powers over the time of one cycle [W], a row for each piece; ``time`` is its length [s]."""

    steps: tuple[str, ...]
    time: tuple[float, ...]
    input: tuple[float, ...]
    useful: tuple[float, ...]
    loss: tuple[float, ...]


@dataclass(frozen=True)
class Duty(Shown):
    """The duty cycle of a circuit, all figures SI and at ``degC`` of the oil.

    ``origin`` says why at that temperature: "settles", "asked" or "text". ``remarks`` are
    what a reader has to know, whole sentences. ``estimated``: walls [m2] of tanks that have
    none in the text. ``needed`` speaks of the temperature that is to be held.
    """

    circuit: Circuit
    degC: float
    nu: float
    origin: str
    time: float
    pieces: int
    steps: tuple[StepDuty, ...]
    trace: Trace
    flows: Flows
    drives: tuple[DriveDuty, ...]
    strokes: tuple[Stroke, ...]
    stores: tuple[StoreDuty, ...]
    tanks: tuple[TankDuty, ...]
    heat: Equilibrium
    made: float
    taken: dict[str, float]
    warming: Warming | None
    needed: Needed | None
    estimated: dict[str, float]
    remarks: tuple[str, ...]


def duty(
    circuit: Circuit,
    *,
    hold: float | None = None,
    oil: float | None = None,
    metal: float = 0.0,
    pieces: int = 0,
    steps: Answer | None = None,
) -> Duty:
    """Follow the duty cycle of a circuit, over and over, until nothing changes any more.

    Parameters
    ----------
    circuit
    hold
        Oil temperature for which cooler and tank are sized [degC]; that of the text if left
        out
    oil
        Oil temperature of all figures [degC]; where the oil settles if left out, or that of
        the text where it does not settle
    metal
        Steel that warms with the oil [kg]
    pieces
        Pieces in which every step is followed; 0: four where there are stores, else one
    steps
        The solved steps of the circuit, to begin with, where they are known

    Raises
    ------
    NoDutyError
        If there are no steps with a time, or one cannot be solved.
    """
    whole, estimated = with_surroundings(circuit)
    near = lap(cycle_of(whole, pieces), [circuit.oil_degC], steps=steps)
    _see_that_solved(near)
    if near.cycle.stores and near.repeats.all():
        near = sharpened(near)
    cycle = near.cycle
    held = circuit.oil_degC if hold is None else hold
    heat = equilibrium(near, also=(held, circuit.oil_degC))
    origin, degC = _temperature(circuit, heat, oil)
    found = lap(cycle, [degC], near)
    _see_that_solved(found)
    books, points = books_of(found), solution(found.answer)
    made, taken = heat.balance.at(degC) if _within(heat, degC) else (np.nan, {})
    return Duty(
        circuit=circuit,
        degC=degC,
        nu=float(found.answer.system.oil.nu[0]),
        origin=origin,
        time=float(np.sum(found.time)),
        pieces=len(cycle.steps),
        steps=tuple(_steps(cycle, found)),
        trace=_trace(found),
        flows=flows(found, books),
        drives=tuple(drives(found, books, points)),
        strokes=tuple(strokes(found)),
        stores=tuple(stores(found, points)),
        tanks=tuple(tanks(found, points)),
        heat=heat,
        made=made,
        taken=taken,
        warming=warming(circuit, heat, metal),
        needed=needed(whole, heat, held),
        estimated={part.name: part.figures["walls"].value for part in estimated},
        remarks=tuple(_remarks(whole, found, heat)),
    )


def _temperature(circuit: Circuit, heat: Equilibrium, asked: float | None) -> tuple[str, float]:
    if asked is not None:
        return "asked", asked
    if heat.degC is not None:
        return "settles", heat.degC
    return "text", circuit.oil_degC


def _within(heat: Equilibrium, degC: float) -> bool:
    known = heat.balance.degC[heat.balance.known]
    return len(known) > 1 and bool(known[0] <= degC <= known[-1])


def _see_that_solved(found: Lap) -> None:
    solved = found.answer.found.solved
    if not found.settled.all():
        raise NoDutyError("what one step leaves to the next does not settle; see 'solve'", True)
    for step, good, time in zip(found.cycle.steps, solved, found.time[:, 0], strict=True):
        if not good:
            raise NoDutyError(f"step {step.name} has no operating point; see 'solve'", True)
        if not time > 0.0:
            movers = [n for n, orders in step.orders.items() if "travels" in orders.figures]
            raise NoDutyError(
                f"{', '.join(movers)} stands still in step {step.name}, where it should travel: "
                "the step has no end; see 'solve'",
                True,
            )
    hanging = [part for part, where in told(found.answer).hanging.items() if where.any()]
    if hanging:
        raise NoDutyError(
            f"nothing decides the pressures at {', '.join(hanging)}: their power and heat are "
            "not known; see 'solve'",
            True,
        )


def _steps(cycle: Cycle, found: Lap) -> list[StepDuty]:
    books, time = books_of(found), found.time[:, 0]
    rows = []
    for number, step in enumerate(cycle.circuit.steps):
        part = flows(found, books, frozenset({number}))
        sums = dict.fromkeys((DRIVE, LOAD, STORE, LOSS), 0.0)
        for sign, way in ((1.0, part.into), (-1.0, part.out)):
            for flow in way:
                sums[flow.kind if flow.kind in sums else DRIVE] += sign * flow.power
        lasts = float(np.sum(time[np.array(cycle.owner) == number]))
        rows.append(StepDuty(step.name, lasts, sums[DRIVE], -sums[LOAD], -sums[LOSS], -sums[STORE]))
    return rows


def _trace(found: Lap) -> Trace:
    books = books_of(found)
    stores = {part.name for part in found.cycle.stores}
    given = np.zeros_like(books.input)
    for name, power in books.given.items():
        if name not in stores:
            given = given + power
    return Trace(
        tuple(step.name for step in found.cycle.steps),
        *(tuple(float(v) for v in row)
          for row in (found.time[:, 0], given, books.useful, books.lost)),
    )  # fmt: skip


def _remarks(circuit: Circuit, found: Lap, heat: Equilibrium) -> list[str]:
    """What a reader has to know before he trusts the figures."""
    said = []
    if not found.repeats.all():
        gains = ", ".join(f"{n} {g[0] * 1e3:+.3g} L" for n, g in found.gains.items())
        left = gains or "a valve that latches is left otherwise than it was found"
        said.append(f"The cycle does not come to rest: each ends otherwise than it began ({left}).")
    for name, way in rods_left(found).items():
        out = "further out" if way > 0.0 else "further in"
        said.append(
            f"{name} ends the cycle {abs(way) * 1e3:.3g} mm {out} than it began; the figures "
            "are those of the cycle as written."
        )
    if not sinks_of(circuit):
        said.append("Nothing takes heat: give the tank a volume or walls, or a cooler its heat.")
    unknown = heat.balance.degC[~heat.balance.known]
    if len(unknown) and heat.degC is None:
        said.append(f"The cycle could not be followed at {unknown[0]:.0f} °C.")
    elif heat.degC is None and sinks_of(circuit):
        said.append(f"The oil does not settle below {HOTTEST:.0f} °C: it only gets hotter.")
    if heat.runs_away is not None:
        said.append(
            f"Above about {heat.runs_away:.0f} °C more heat is made than taken again: once "
            "there, the oil runs away."
        )
    for heater in circuit.of_kind("heater"):
        setting = heater.figure("set")
        if setting is not None and heat.degC is not None and abs(heat.degC - setting) < SWITCHES:
            said.append(
                f"{heater.name} holds the oil there, on and off in turn; the figures are those "
                "of one of the two."
            )
    fluid = circuit.oil.fluid["hottest"].value
    usual = limit("oil-too-hot", "mobile" if circuit.of_kind("engine") else "stationary").value
    if heat.degC is not None and heat.degC > min(usual, fluid):
        said.append(f"The oil settles above the usual {min(usual, fluid):.0f} °C.")
    if any(step.oil_degC is not None for step in circuit.steps):
        said.append("Temperatures that steps order are left out: the oil of a cycle has one.")
    return said
