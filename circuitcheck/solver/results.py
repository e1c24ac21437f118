"""From a solved case to operating points: ports, states, named results, power."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from functools import cached_property
from typing import TypeVar

import numpy as np

from circuitcheck.basics.findings import Finding, Severity
from circuitcheck.circuit.model import Step
from circuitcheck.components._parts import Part
from circuitcheck.laws.measured import UNITS
from circuitcheck.laws.net import PRESSURE, Bools
from circuitcheck.laws.smoothing import Array
from circuitcheck.laws.view import View
from circuitcheck.solver import ill_posed, structure
from circuitcheck.solver.accounts import Accounts, account
from circuitcheck.solver.answer import Answer
from circuitcheck.solver.operating import (
    COMPUTED,
    HELD,
    INDETERMINATE,
    KNOWN,
    JunctionState,
    OperatingPoint,
    PartState,
    PortState,
    ShaftState,
    Solution,
    Totals,
)
from circuitcheck.solver.reservoir import outside, passing, port_flows
from circuitcheck.solver.told import told

T = TypeVar("T")

SANE = 2000e5
"""Pressure beyond which nothing but leakage limits a pump [Pa]; own choice."""


class Lazy(Mapping[str, T]):
    """A mapping that is made when something in it is asked for."""

    def __init__(self, make: Callable[[], Mapping[str, T]]) -> None:
        self._make = make

    @cached_property
    def _made(self) -> Mapping[str, T]:
        return self._make()

    def __getitem__(self, name: str) -> T:
        return self._made[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._made)

    def __len__(self) -> int:
        return len(self._made)


def view_of(answer: Answer, part: Part) -> View:
    """Give what a part may ask of the solved case."""
    case = answer.case
    ports = answer.ports_of.get(part.name, {})
    elements = {answer.system.elements[i].name: i for i in answer.elements_of.get(part.name, [])}
    return View(
        variants=case.variants,
        oil=answer.system.oil,
        pressures={port: answer.pressure(index) for port, index in ports.items()},
        flows=Lazy(lambda: port_flows(answer, part.name)),
        elements=Lazy(lambda: {name: answer.values[i] for name, i in elements.items()}),
        speed_of=answer.speed,
        reaction_of=answer.held_by,
        pinned=answer.pinned,
        value_of=case.value_of(part),
        order_of=case.order_of(part),
        said=case.said(part),
        travel=case.travel(part),
        position=case.positions(part) if part.kind.positions else [""] * case.variants,
        driver=part.driven_by or "",
        torque_behind_of=lambda: _torque_behind(answer, part),
        latched=case.latched(part.name),
        place=case.place(part.name),
        stored=case.stored(part.name),
        duration=case.durations,
        arriving=lambda port: passing(answer, part, port)[0],
        leaving=lambda port: passing(answer, part, port)[1],
        outside=lambda: outside(answer),
        variations=case.variations,
        latched_first=case.begins.latched.get(part.name, np.False_),
    )


def _torque_behind(answer: Answer, part: Part) -> Array:
    """Torque that all behind a part on its shaft take, in the order of the text."""
    total: Array = np.zeros(answer.case.variants)
    if not part.driven_by:
        return total
    names = answer.driven_by[part.driven_by]
    for name in names[names.index(part.name) + 1 :]:
        for i in answer.elements_of.get(name, []):
            law = answer.system.elements[i].law
            if law in (*UNITS, "coupling"):
                total = total + answer.values[i]["torque in" if law == "coupling" else "torque"]
    return total


def _part_states(answer: Answer, books: Accounts) -> list[dict[str, PartState]]:
    """States of all parts, one mapping per variant."""
    variants = answer.case.variants
    found: list[dict[str, PartState]] = [{} for _ in range(variants)]
    none, never = np.zeros(variants), np.zeros(variants, dtype=bool)
    for part in answer.case.circuit.parts.values():
        view = view_of(answer, part)
        values = {
            name: np.broadcast_to(value, (variants,))
            for name, value in part.kind.results(part, view).items()
        }
        words, hangs = part.kind.state(part, view), answer.hanging.get(part.name, never)
        quantities = {m.name: m.quantity for m in part.kind.measures} | {"heat": "power"}
        heat = books.loss.get(part.name, none)
        for i in range(variants):
            found[i][part.name] = PartState(
                name=part.name,
                kind=part.kind.word,
                state=INDETERMINATE if hangs[i] else words[i],
                ports={
                    port: PortState(float(view.pressures[port][i]), float(view.flows[port][i]))
                    for port in view.pressures
                },
                values={n: float(v[i]) for n, v in values.items()} | {"heat": float(heat[i])},
                quantities=quantities,
                loss=float(heat[i]),
            )
    return found


def heat_from_outside(answer: Answer) -> tuple[dict[str, Array], Array]:
    """Power of each heater, and what coolers and walls take out of the oil, together [W]."""
    heaters: dict[str, Array] = {}
    cooled = np.zeros(answer.case.variants)
    for part in answer.case.circuit.parts.values():
        if part.kind.warms is not None:
            given = part.kind.warms(part, view_of(answer, part))
            heaters[part.name] = np.maximum(given, 0.0)
            cooled = cooled + np.maximum(-given, 0.0)
    return heaters, cooled


def _junction_states(answer: Answer, shut: Bools, i: int) -> dict[str, JunctionState]:
    found: dict[str, JunctionState] = {}
    for index, name in enumerate(answer.case.circuit.junctions):
        pressure = float(answer.pressure(index)[i])
        if math.isnan(pressure):
            found[name] = JunctionState(math.nan, INDETERMINATE)
        elif answer.system.unknowns[index].pinned[i]:
            found[name] = JunctionState(pressure, KNOWN)
        else:
            found[name] = JunctionState(pressure, HELD if shut[index, i] else COMPUTED)
    return found


def _shaft_states(answer: Answer) -> list[dict[str, ShaftState]]:
    """Speed of each shaft and the torque that its drive gives it, per variant."""
    given = {name: answer.held_by(name).copy() for name in answer.system.shafts}
    names = {index: name for name, index in answer.system.shafts.items()}
    for i, element in enumerate(answer.system.elements):
        if element.law == "slip":
            given[names[element.terminals[0]]] += answer.values[i]["torque"]
    return [
        {
            name: ShaftState(
                float(answer.speed(name)[v]),
                float(given[name][v]),
                float(given[name][v] * answer.speed(name)[v]),
            )
            for name in answer.system.shafts
        }
        for v in range(answer.case.variants)
    ]


def _duration(step: Step, states: Mapping[str, PartState]) -> float | None:
    """Duration of a step: as said, else the longest of its ways."""
    if step.duration is not None:
        return step.duration
    times = [
        states[name].values["time"]
        for name, orders in step.orders.items()
        if "travels" in orders.figures and name in states and "time" in states[name].values
    ]
    return max(times) if times and np.isfinite(times).all() else None


def solution(answer: Answer) -> Solution:
    """Give the operating points of a solved case, with findings on what is not sound."""
    whole_answer, answer = answer, told(answer)
    case, system = answer.case, answer.system
    heaters, cooled = heat_from_outside(answer)
    books = account(system, answer.whole, answer.values, answer.reaction, heaters)
    shut = structure.closed(system, whole_answer.whole, whole_answer.values)
    states, shafts = _part_states(answer, books), _shaft_states(answer)
    flows = np.array([u.kind == PRESSURE for u in system.unknowns], dtype=bool)
    checked = flows[:, None] & ~answer.equations.all_pinned
    imbalance = np.max(np.where(checked, np.abs(answer.balance), 0.0), axis=0, initial=0.0)
    error, lost = books.error, books.lost
    barred = ill_posed.barred(answer.contradictions, case.variants)
    result = Solution(case.circuit, [], answer=whole_answer)
    for i, step in enumerate(case.steps):
        success, message = bool(answer.found.solved[i]), ""
        if barred[i]:
            message = "it has no steady point, whatever the figures"
        elif not success:
            message = f"no steady point found; {answer.worst(i)} do not balance"
        point = OperatingPoint(
            step=step,
            success=success,
            message=message,
            method=answer.found.method[i],
            iterations=int(answer.found.iterations[i]),
            step_norm=float(answer.found.step[i]),
            imbalance=float(imbalance[i]),
            power_error=float(error[i]),
            junctions=_junction_states(answer, shut, i),
            parts=states[i],
            shafts=shafts[i],
            totals=Totals(
                float(books.input[i]), float(books.useful[i]), float(lost[i]), float(cooled[i])
            ),
            oil_degC=float(system.oil.degC[i]),
            nu=float(system.oil.nu[i]),
            rho=float(system.oil.rho[i]),
            duration=_duration(step, states[i]),
            units=case.circuit.units,
        )
        result.points.append(point)
        if not barred[i]:
            result.findings += _not_sound(answer, point, i)
    ill = (*answer.undecided, *answer.contradictions)
    result.findings += ill_posed.findings(case.circuit, case.steps, list(ill))
    result.findings += _cautions(answer, result)
    return result


def _cautions(answer: Answer, result: Solution) -> list[Finding]:
    """What the parts themselves say against their figures, in the steps that are solved."""
    found: list[Finding] = []
    for part in answer.case.circuit.parts.values():
        if part.kind.cautions is None:
            continue
        rows = part.kind.cautions(part, view_of(answer, part))
        found += [
            Finding(
                slug=caution.slug,
                severity=Severity.WARNING,
                message=f"step {point.step.name}: {caution.message}",
                place=part.place,
                component=part.name,
                step=point.step.name,
                remedy=caution.remedy,
            )
            for point, cautions in zip(result.points, rows, strict=True)
            for caution in cautions
            if point.success
        ]
    return found


def _not_sound(answer: Answer, point: OperatingPoint, i: int) -> list[Finding]:
    """Findings on a step that is not solved, or whose pressure nothing limits."""
    step = point.step
    if not point.success:
        return [
            Finding(
                slug="not-solved",
                severity=Severity.ERROR,
                message=f"step {step.name}: {point.message}",
                place=step.place,
                step=step.name,
                remedy="look at the settings of the parts there; two may both regulate",
            )
        ]
    names = list(answer.case.circuit.junctions)
    high = np.nan_to_num(answer.whole[: len(names), i])
    if not len(high) or np.max(high) <= SANE:
        return []
    name = names[int(np.argmax(high))]
    return [
        Finding(
            slug="nothing-limits-pressure",
            severity=Severity.ERROR,
            message=f"step {step.name}: nothing but leakage limits the pressure at {name} "
            f"({np.max(high) / 1e5:.0f} bar by the numbers)",
            place=answer.case.circuit.junctions[name].place,
            step=step.name,
            remedy="a relief valve belongs there, or a path that is shut should be open",
        )
    ]
