"""From a circuit to the operating points of its steps."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from circuitcheck.basics.findings import Finding, Severity
from circuitcheck.circuit.model import Circuit, Step
from circuitcheck.components._parts import Part
from circuitcheck.laws.library import LAWS
from circuitcheck.laws.machines import STILL_ROD
from circuitcheck.laws.net import PRESSURE, ROD, SHAFT, Bools, System, Value
from circuitcheck.laws.smoothing import EXACT, Array
from circuitcheck.laws.view import View
from circuitcheck.solver import structure
from circuitcheck.solver.accounts import Accounts, account
from circuitcheck.solver.equations import Equations
from circuitcheck.solver.newton import Solved, find
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
from circuitcheck.solver.system import Case, Changes, build

STEADY = Step("steady")
"""The step of a circuit that has no cycle: every part at rest."""

SANE = 2000e5
"""Pressure beyond which nothing but leakage limits a pump [Pa]; own choice."""


@dataclass
class Answer:
    """A solved case with everything that the results are made from."""

    case: Case
    system: System
    equations: Equations
    found: Solved
    whole: Array
    balance: Array
    values: dict[int, dict[str, Array]]
    loose: Bools

    def speed(self, owner: str) -> Array:
        """Rod or shaft speed by owner; zero where the owner has none."""
        index = self.index(owner)
        none: Array = np.zeros(self.case.variants)
        return none if index is None else self.whole[index]

    def index(self, owner: str) -> int | None:
        for index, unknown in enumerate(self.system.unknowns):
            if unknown.kind != PRESSURE and unknown.name == owner:
                return index
        return None


def _solve_case(case: Case) -> Answer:
    system = build(case)
    loose = structure.floating(system)
    for index in np.flatnonzero(loose.any(axis=1)):
        system.pin(int(index), 0.0, loose[index])
    equations = Equations(system)
    found = find(equations)
    whole = equations.full(found.x)
    raw = equations.values(whole, EXACT)
    balance = equations.balance(raw, case.variants)
    place = {id(element): i for i, element in enumerate(system.elements)}
    values: dict[int, dict[str, Array]] = {}
    for group, (value, _) in zip(equations.groups, raw, strict=True):
        for e, element in enumerate(group.elements):
            values[place[id(element)]] = {
                name: np.broadcast_to(value[j, e], (case.variants,))
                for j, name in enumerate(group.law.values)
            }
    return Answer(case, system, equations, found, whole, balance, values, loose)


def _drives_motion(case: Case, part: Part) -> Bools:
    """Whether an order gives the part a load that drives the motion."""
    if all(p.name != "load" for p in part.kind.orders):
        return np.zeros(case.variants, dtype=bool)
    driving: Bools = (case.order_of(part)("load", 0.0) < 0.0) | case.said(part)("overrunning")
    return driving


def _directions(case: Case) -> dict[str, Array]:
    """Direction in which a part with a driving load would go if it had no load."""
    parts = [p for p in case.circuit.parts.values() if _drives_motion(case, p).any()]
    if not parts:
        return {}
    unloaded = _solve_case(case)
    return {
        part.name: np.sign(unloaded.speed((part.kind.driven and part.driven_by) or part.name))
        for part in parts
    }


def _stops(answer: Answer) -> dict[str, Bools]:
    """Rods that would run on past an end on which they stand, no order having moved them.

    The way of each step is followed from a retracted start. A rod on which a step orders
    nothing and which stands at an end cannot move beyond it.
    """
    case = answer.case
    found: dict[str, Bools] = {}
    for part in case.circuit.of_kind("cylinder"):
        stroke = part.figure("stroke") or 0.0
        speed = answer.speed(part.name)
        place = 0.0
        stopped = np.zeros(case.variants, dtype=bool)
        for i, orders in enumerate(case.orders(part.name)):
            way = orders.figures.get("travels")
            quiet = way is None and "load" not in orders.figures
            moving = abs(speed[i]) > STILL_ROD
            at_end = (speed[i] < 0.0 and place <= 1e-6) or (
                speed[i] > 0.0 and place >= stroke - 1e-6
            )
            if quiet and moving and at_end:
                stopped[i] = True
            elif moving and way is not None:
                place += np.sign(speed[i]) * way.value
            elif moving and case.steps[i].duration:
                place += speed[i] * (case.steps[i].duration or 0.0)
            place = min(max(place, 0.0), stroke)
        found[part.name] = stopped
    return found


def solve(circuit: Circuit, changes: Changes | None = None) -> Solution:
    """Solve every step of a circuit.

    Parameters
    ----------
    circuit : Circuit
    changes : mapping, optional
        Figures in place of those of the text, {(part, figure): SI value}

    Returns
    -------
    Solution
        A point per step; a step that could not be solved is marked so and named in the
        findings. A circuit without steps is solved once, all parts at rest.
    """
    steps = circuit.steps or [STEADY]
    replaced: Mapping[tuple[str, str], Value] = changes or {}
    case = Case(circuit, steps, replaced, {}, {})
    case = Case(circuit, steps, replaced, _directions(case), {})
    answer = _solve_case(case)
    for _ in range(2):
        stops = _stops(answer)
        new = any(
            (stopped & ~case.stopped.get(name, np.zeros_like(stopped))).any()
            for name, stopped in stops.items()
        )
        if not new:
            break
        merged = {
            name: stopped | case.stopped.get(name, np.zeros_like(stopped))
            for name, stopped in stops.items()
        }
        case = Case(circuit, steps, replaced, case.directions, merged)
        answer = _solve_case(case)
    return _solution(answer)


def _view(answer: Answer, part: Part, reaction: Array) -> View:
    case, system = answer.case, answer.system
    pressures: dict[str, Array] = {}
    flows: dict[str, Array] = {}
    elements: dict[str, dict[str, Array]] = {}
    for index, junction in enumerate(case.circuit.junctions.values()):
        for end in junction.ends:
            if end.part == part.name:
                pressures[end.port] = answer.whole[index]
                flows[end.port] = np.zeros(case.variants)
    for i, element in enumerate(system.elements):
        if element.part != part.name:
            continue
        law = LAWS[element.law]
        elements[element.name] = answer.values[i]
        for stamp in law.stamps:
            letter = element.ports[stamp.terminal]
            if letter in flows:
                flows[letter] = (
                    flows[letter] - stamp.sign * answer.values[i][law.values[stamp.value]]
                )

    def pinned(owner: str) -> Bools:
        index = answer.index(owner)
        if index is None:
            return np.zeros(case.variants, dtype=bool)
        return system.unknowns[index].pinned

    def reacts(owner: str) -> Array:
        index = answer.index(owner)
        return np.zeros(case.variants) if index is None else reaction[index]

    return View(
        variants=case.variants,
        oil=system.oil,
        pressures=pressures,
        flows=flows,
        elements=elements,
        speed_of=answer.speed,
        reaction_of=reacts,
        pinned=pinned,
        value_of=case.value_of(part),
        order_of=case.order_of(part),
        said=case.said(part),
        travel=case.travel(part),
        position=case.positions(part) if part.kind.positions else [""] * case.variants,
        driver=part.driven_by or "",
    )


def _part_states(answer: Answer, reaction: Array, books: Accounts) -> list[dict[str, PartState]]:
    """States of all parts, one mapping per variant."""
    variants = answer.case.variants
    found: list[dict[str, PartState]] = [{} for _ in range(variants)]
    none = np.zeros(variants)
    for part in answer.case.circuit.parts.values():
        view = _view(answer, part, reaction)
        values = part.kind.results(part, view)
        words = part.kind.state(part, view)
        quantities = {m.name: m.quantity for m in part.kind.measures} | {"heat": "power"}
        heat = books.loss.get(part.name, none)
        for i in range(variants):
            numbers = {
                name: float(np.broadcast_to(v, (variants,))[i]) for name, v in values.items()
            }
            found[i][part.name] = PartState(
                name=part.name,
                kind=part.kind.word,
                state=words[i],
                ports={
                    port: PortState(float(view.pressures[port][i]), float(view.flows[port][i]))
                    for port in view.pressures
                },
                values=numbers | {"heat": float(heat[i])},
                quantities=quantities,
                loss=float(heat[i]),
            )
    return found


def _junction_states(answer: Answer, shut: Bools, i: int) -> dict[str, JunctionState]:
    found: dict[str, JunctionState] = {}
    for index, name in enumerate(answer.case.circuit.junctions):
        pressure = float(answer.whole[index, i])
        if answer.loose[index, i]:
            found[name] = JunctionState(float("nan"), INDETERMINATE)
        elif answer.system.unknowns[index].pinned[i]:
            found[name] = JunctionState(pressure, KNOWN)
        else:
            found[name] = JunctionState(pressure, HELD if shut[index, i] else COMPUTED)
    return found


def _worst(answer: Answer, i: int) -> str:
    """Name of the balance that an unsolved step leaves open."""
    r, _ = answer.equations.residual(answer.found.x[:, [i]], EXACT, np.array([i]))
    row = int(np.nanargmax(np.abs(r[:, 0])))
    unknown = answer.system.unknowns[answer.equations.free[row]]
    kind = {PRESSURE: "flows at", ROD: "forces on", SHAFT: "torques on"}[unknown.kind]
    return f"the {kind} {unknown.name}"


def _solution(answer: Answer) -> Solution:
    case, system = answer.case, answer.system
    held = answer.equations.all_pinned
    reaction = np.where(held, -answer.balance, 0.0)
    books = account(system, answer.whole, answer.values, reaction)
    shut = structure.closed(system, answer.whole, answer.values)
    states = _part_states(answer, reaction, books)
    rows = np.array([u.kind == PRESSURE for u in system.unknowns])
    error = books.error
    lost = books.lost
    points: list[OperatingPoint] = []
    findings: list[Finding] = []
    for i, step in enumerate(case.steps):
        open_flows = np.abs(answer.balance[:, i])[rows & ~held[:, i]]
        success = bool(answer.found.solved[i])
        message = "" if success else f"no steady point found; {_worst(answer, i)} do not balance"
        junctions = _junction_states(answer, shut, i)
        points.append(
            OperatingPoint(
                step=step,
                success=success,
                message=message,
                method=answer.found.method[i],
                iterations=int(answer.found.iterations[i]),
                step_norm=float(answer.found.step[i]),
                imbalance=float(np.max(open_flows, initial=0.0)),
                power_error=float(error[i]),
                junctions=junctions,
                parts=states[i],
                shafts={
                    name: ShaftState(
                        float(answer.whole[index, i]),
                        float(reaction[index, i]) + _governed(answer, index, i),
                        (float(reaction[index, i]) + _governed(answer, index, i))
                        * float(answer.whole[index, i]),
                    )
                    for name, index in system.shafts.items()
                },
                totals=Totals(float(books.input[i]), float(books.useful[i]), float(lost[i])),
                oil_degC=float(system.oil.degC[i]),
                nu=float(system.oil.nu[i]),
                rho=float(system.oil.rho[i]),
                duration=_duration(step, states[i]),
            )
        )
        if not success:
            findings.append(
                Finding(
                    slug="not-solved",
                    severity=Severity.ERROR,
                    message=f"step {step.name}: {message}",
                    place=step.place,
                    step=step.name,
                    remedy="look at the settings of the parts there; two may both regulate",
                )
            )
        findings += _unlimited(answer, step, i)
    return Solution(case.circuit, points, findings)


def _governed(answer: Answer, shaft: int, i: int) -> float:
    """Torque that a governor gives to a shaft."""
    return sum(
        float(answer.values[k]["torque"][i])
        for k, element in enumerate(answer.system.elements)
        if element.law == "slip" and element.terminals[0] == shaft
    )


def _duration(step: Step, states: Mapping[str, PartState]) -> float | None:
    """Duration of a step: as said, else the longest of its ways."""
    if step.duration is not None:
        return step.duration
    times = [
        state.values["time"]
        for name, state in states.items()
        if "time" in state.values
        and "travels" in (step.orders[name].figures if name in step.orders else {})
    ]
    return max(times) if times and np.isfinite(times).all() else None


def _unlimited(answer: Answer, step: Step, i: int) -> list[Finding]:
    """Say where only leakage limits a pressure."""
    names = list(answer.case.circuit.junctions)
    high = answer.whole[: len(names), i]
    if not len(high) or not np.max(high) > SANE:
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
