"""Two issues of a circuit: parts and steps changed, results that moved, findings that changed."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from circuitcheck.basics.findings import Finding
from circuitcheck.circuit.model import Circuit, Orders, Step
from circuitcheck.components._parts import Part
from circuitcheck.solver.operating import OperatingPoint, Solution

ADDED, REMOVED, CHANGED = "added", "removed", "changed"

TOLD = ("pressure", "flow", "speed", "rotation", "torque", "force", "power", "time")
"""Kinds of quantity of which moves are told."""

HIDDEN = frozenset(
    ("compression", "swelling", "air flow", "stop force", "oil out", "wall pressure")
)
"""Results that only follow others."""

LEAST = {"pressure": 1e4, "flow": 1e-7, "speed": 1e-4, "rotation": 0.05, "power": 1.0, "force": 1.0}
"""Moves that are none [SI]: 0.1 bar, 0.006 L/min ...; own choice."""

LEAST_WEIGHT = 0.002
"""Share of the largest of its kind below which a move is none; own choice."""


@dataclass(frozen=True)
class Change:
    """A part, line, step or heading that changed: what it said before and says now."""

    sort: str
    name: str
    what: str = ""
    before: str = ""
    after: str = ""


@dataclass(frozen=True)
class Move:
    """A result of one part in one step, before and after [SI].

    ``weight``: its size as a share of the largest such quantity of the circuit.
    """

    step: str
    name: str
    what: str
    quantity: str
    before: float
    after: float
    weight: float


@dataclass(frozen=True)
class Comparison:
    """Everything that differs; ``gained`` and ``lost`` findings carry no consequences."""

    changes: tuple[Change, ...]
    moves: tuple[Move, ...]
    gained: tuple[Finding, ...]
    lost: tuple[Finding, ...]


def compare(
    before: tuple[Circuit, Solution, Iterable[Finding]],
    after: tuple[Circuit, Solution, Iterable[Finding]],
) -> Comparison:
    """Compare two issues, each given as circuit, operating points and findings."""
    old, new = list(_flat(before[2])), list(_flat(after[2]))
    had, has = {_key(f) for f in old}, {_key(f) for f in new}
    moves = sorted(_moves(before[1], after[1]), key=lambda move: -move.weight)
    return Comparison(
        (*_changes(before[0], after[0]),),
        tuple(moves),
        tuple(f for f in new if _key(f) not in had),
        tuple(f for f in old if _key(f) not in has),
    )


def _key(finding: Finding) -> tuple[str, ...]:
    return finding.slug, finding.component, finding.port, finding.step


def _flat(findings: Iterable[Finding]) -> Iterator[Finding]:
    for finding in findings:
        yield finding
        yield from _flat(finding.consequences)


def _changes(a: Circuit, b: Circuit) -> Iterator[Change]:
    said_a = {name: _part(part, a) for name, part in a.parts.items()}
    said_b = {name: _part(part, b) for name, part in b.parts.items()}
    yield from _differences(said_a, said_b)
    steps_a = {f"step {step.name}": _step(step) for step in a.steps}
    steps_b = {f"step {step.name}": _step(step) for step in b.steps}
    yield from _differences(steps_a, steps_b)
    whole = ({"oil": a.oil.name, "oil temperature": f"{a.oil_degC:g} degC"},
             {"oil": b.oil.name, "oil temperature": f"{b.oil_degC:g} degC"})  # fmt: skip
    yield from _differences({"circuit": whole[0]}, {"circuit": whole[1]})


def _differences(
    a: Mapping[str, Mapping[str, str]], b: Mapping[str, Mapping[str, str]]
) -> Iterator[Change]:
    for name in dict.fromkeys((*a, *b)):
        if name not in b:
            yield Change(REMOVED, name, before=_short(a[name]))
        elif name not in a:
            yield Change(ADDED, name, after=_short(b[name]))
        else:
            for what in dict.fromkeys((*a[name], *b[name])):
                was, now = a[name].get(what, "-"), b[name].get(what, "-")
                if was != now:
                    yield Change(CHANGED, name, what, was, now)


def _short(said: Mapping[str, str]) -> str:
    return ", ".join(
        text for what, text in said.items() if what in ("kind", "displacement", "set", "bore")
    )


def _part(part: Part, circuit: Circuit) -> dict[str, str]:
    """What is said of a part, by figure; figures that are only assumed are left out."""
    said = {"kind": part.kind.word}
    for name, figure in part.figures.items():
        if part.given(name):
            said[name] = figure.text
    said |= dict(part.choices)
    said |= {group: ", ".join(sorted(phrases)) for group, phrases in part.many.items()}
    if part.driven_by:
        said["driven by"] = part.driven_by
    for port in part.ports:
        junction = circuit.junction_of(part.name, port.letter)
        if junction is not None:
            others = sorted(str(e) for e in junction.ends if e.part != part.name)
            said[f"port {port.letter}"] = ", ".join(others)
    return said


def _step(step: Step) -> dict[str, str]:
    said = {name: _orders(orders) for name, orders in step.orders.items()}
    if step.duration is not None:
        said["duration"] = f"{step.duration:g} s"
    if step.oil_degC is not None:
        said["oil temperature"] = f"{step.oil_degC:g} degC"
    return said


def _orders(orders: Orders) -> str:
    figures = [f"{name} {figure.text}" for name, figure in orders.figures.items()]
    opening = f"{100 * orders.opening:g} %" if orders.opening != 1.0 else ""
    return ", ".join(filter(None, (orders.position, opening, *figures, *sorted(orders.words))))


def _moves(a: Solution, b: Solution) -> Iterator[Move]:
    old = {point.step.name: point for point in a.points if point.success}
    pairs = [
        (old[point.step.name], point)
        for point in b.points
        if point.success and point.step.name in old
    ]
    found = [move for before, after in pairs for move in _of_step(before, after)]
    most: dict[str, float] = {}
    for move in found:
        size = max(abs(move.before), abs(move.after))
        most[move.quantity] = max(size, most.get(move.quantity, 0.0))
    for move in found:
        off = abs(move.after - move.before)
        weight = off / most[move.quantity]
        if off > LEAST.get(move.quantity, 0.0) and weight > LEAST_WEIGHT:
            yield replace(move, weight=weight)


def _of_step(a: OperatingPoint, b: OperatingPoint) -> Iterator[Move]:
    seen: set[tuple[str, float, float]] = set()
    for name, state in b.parts.items():
        was = a.parts.get(name)
        if was is None or was.kind != state.kind:
            continue
        for what, value in state.values.items():
            quantity, before = state.quantities[what], was.values.get(what, math.nan)
            if quantity not in TOLD or what in HIDDEN or not math.isfinite(value - before):
                continue
            key = (quantity, round(before, 9), round(value, 9))
            if key not in seen:  # a gauge and the pump that it stands on show one pressure
                seen.add(key)
                yield Move(b.step.name, name, what, quantity, before, value, 0.0)
