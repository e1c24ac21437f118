"""The pressure ladder: ratings, settings and working pressures of a circuit, low to high."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from circuitcheck.basics.findings import Finding
from circuitcheck.circuit.model import Circuit
from circuitcheck.components._parts import Part
from circuitcheck.solver.operating import Solution

WORKING, SETTING, RATING = "working", "setting", "rating"

SETTINGS: dict[str, tuple[str, ...]] = {
    "accumulator": ("precharge",),
    "brake": ("release",),
    "brake valve": ("set", "relief"),
    "bypass flow control": ("limit",),
    "counterbalance": ("set",),
    "crossport relief": ("set",),
    "port relief": ("set",),
    "pressure switch": ("set",),
    "pump": ("margin", "compensator", "charge begin"),
    "reducing valve": ("set",),
    "relief": ("vented", "set"),
    "section": ("limit", "limit A", "limit B"),
    "sequence": ("set",),
    "unloading valve": ("shuts", "set"),
    "valve": ("pilot", "kick-out"),
}
"""Figures at which a part begins to act, by kind; differences such as a check's cracking
pressure and a filter's bypass are no rungs of a ladder."""

RATINGS = ("rated", "tank rated", "case limit")

WORK_KINDS = ("cylinder", "telescopic cylinder", "motor", "rotary actuator")

OVER = frozenset(
    (
        "pressure-over-rating", "rod-side-over-rating", "hose-or-tube-over-rating",
        "case-pressure-high", "motor-seal-over-pressure",
    )
)  # fmt: skip
"""Rules that say that a rating stands too low."""

ORDER = frozenset(
    (
        "relief-below-compensator", "relief-gap-small", "relief-open-in-work",
        "relief-over-lowest-rating", "ls-limits-out-of-order", "counterbalance-set-low",
        "margin-too-small", "sequence-order-uncertain", "reducing-valve-starved",
        "po-check-cannot-open", "brake-release-out-of-order", "pilot-supply-missing",
        "relief-adjustable-over-rating", "precharge-outside",
    )
)  # fmt: skip
"""Rules that say that a setting stands in the wrong order, or too near to another."""


@dataclass(frozen=True)
class Rung:
    """One pressure [Pa, gauge]: what it is, of whom (several where they are equal), in
    which step it is reached, and the slugs that say that it stands wrong."""

    pressure: float
    sort: str
    what: str
    of: tuple[str, ...]
    step: str = ""
    wrong: tuple[str, ...] = ()


def ladder(circuit: Circuit, solution: Solution, findings: Iterable[Finding]) -> list[Rung]:
    """Give all rungs from low to high; at one pressure, working before setting before rating.

    Working pressures are the highest over the solved steps at the outlets of pumps, at the
    ports of actuators and at gauges. ``findings`` mark the rungs that stand wrong.
    """
    wrong = _wrong(findings)
    rungs = [*_settings(circuit, wrong), *_ratings(circuit, wrong)]
    rungs += _working(circuit, solution)
    order = (WORKING, SETTING, RATING)
    return sorted(rungs, key=lambda rung: (rung.pressure, order.index(rung.sort)))


def _wrong(findings: Iterable[Finding]) -> dict[str, list[str]]:
    """Slugs of the rules on order, by the part that they name."""
    found: dict[str, list[str]] = {}
    for finding in findings:
        if finding.slug in ORDER | OVER:
            found.setdefault(finding.component, []).append(finding.slug)
        for part, slugs in _wrong(finding.consequences).items():
            found.setdefault(part, []).extend(slugs)
    return found


def _settings(circuit: Circuit, wrong: dict[str, list[str]]) -> Iterable[Rung]:
    for part in circuit.parts.values():
        for name in SETTINGS.get(part.kind.word, ()):
            value = part.figure(name)
            if value is not None and part.given(name):
                told = dict.fromkeys(wrong.get(part.name, ()))
                slugs = tuple(slug for slug in told if slug in ORDER)
                yield Rung(value, SETTING, name, (part.name,), wrong=slugs)


def _ratings(circuit: Circuit, wrong: dict[str, list[str]]) -> Iterable[Rung]:
    alike: dict[tuple[float, str], list[Part]] = {}
    for part in circuit.parts.values():
        for name in RATINGS:
            value = part.figure(name)
            if value is not None:
                alike.setdefault((value, name), []).append(part)
    for (value, name), parts in alike.items():
        slugs = [slug for part in parts for slug in wrong.get(part.name, ()) if slug in OVER]
        names = tuple(part.name for part in parts)
        yield Rung(value, RATING, name, names, wrong=tuple(dict.fromkeys(slugs)))


def _working(circuit: Circuit, solution: Solution) -> Iterable[Rung]:
    points = [point for point in solution.points if point.success]
    told: dict[str, str] = {}
    for part in circuit.parts.values():
        for port in _ports(part):
            junction = circuit.junction_of(part.name, port)
            if junction is not None:
                told.setdefault(junction.name, f"{part.name} {port}".strip())
    for junction_name, name in told.items():
        reached = [(p.junctions[junction_name].pressure, p.step.name) for p in points]
        known = [pair for pair in reached if pair[0] == pair[0]]  # NaN is not decided
        if known:
            pressure, step = max(known)
            yield Rung(pressure, WORKING, "highest", (name,), step)


def _ports(part: Part) -> list[str]:
    letters = [port.letter for port in part.ports]
    if part.kind.word == "pump":
        return [letter for letter in letters if letter in ("P", "A", "B")]
    if part.kind.word in WORK_KINDS:
        return [letter for letter in letters if letter not in ("D", "L", "drain", "case")]
    return letters if part.kind.word == "gauge" else []
