"""What every meter should show in every step, with a band from what may be off when sound."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from circuitcheck.basics.tables import read_toml
from circuitcheck.circuit.model import Circuit
from circuitcheck.circuit.subjects import Subject
from circuitcheck.components._parts import Part
from circuitcheck.laws.smoothing import Array
from circuitcheck.review.ladder import SETTINGS
from circuitcheck.review.meters import DRIVES, fitted
from circuitcheck.solver.answer import Answer
from circuitcheck.solver.asked import Results
from circuitcheck.solver.operating import Solution
from circuitcheck.solver.settling import settle
from circuitcheck.solver.solve import STEADY
from circuitcheck.solver.system import Case


@dataclass(frozen=True)
class Expected:
    """A reading of one meter in one step [SI]: value and band; NaN where nothing decides it.

    ``meter`` is the part to read, ``fits`` false where none is fitted and a gauge is to be
    put at the port. ``why`` is what widens the band most.
    """

    meter: str
    fits: bool
    what: str
    quantity: str
    step: str
    oil_degC: float
    value: float
    low: float
    high: float
    why: str


@dataclass(frozen=True)
class Source:
    """Something that may be off: its name, and its figure [SI] in each step, low and high."""

    name: str
    key: tuple[str, str]
    low: Array
    high: Array


def bands() -> dict[str, dict[str, float | str]]:
    """Give how far things may be off: "value" [share, K or bare], "text", "source", by name."""
    spread = read_toml("spread.toml")
    found: dict[str, dict[str, float | str]] = {}
    for name, row in read_toml("start_up.toml")["band"].items():
        figure = spread[row["as"]] if "as" in row else row
        value = figure["value"]
        text = row["text"].format(value=value, percent=100.0 * value)
        found[name] = {"value": value, "text": text, "source": figure["source"]}
    return found


def _off(name: str) -> float:
    return float(bands()[name]["value"])


def expected(circuit: Circuit, solution: Solution) -> list[Expected]:
    """Give the readings of all meters, step by step.

    Every source of doubt is put into the model low and high, one at a time; what they move a
    reading by is added as squares, and so is the class of the meter.
    """
    meters = fitted(circuit)
    sources = list(_sources(circuit, solution))
    base = _read(solution, meters)
    lows, highs = _moved(circuit, sources, meters, solution.answer)
    found = []
    for s, point in enumerate(solution.points):
        for m, (part, what, quantity) in enumerate(meters):
            value = base[s, m]
            shifts = np.nan_to_num(np.array([lows[:, s, m] - value, highs[:, s, m] - value]))
            own = _class(part, value)
            down = float(np.hypot(np.sqrt(np.sum(np.minimum(shifts, 0.0).min(0) ** 2)), own))
            up = float(np.hypot(np.sqrt(np.sum(np.maximum(shifts, 0.0).max(0) ** 2)), own))
            low = value - down
            if part.kind.word == "gauge" and value >= 0.0:
                low = max(low, 0.0)  # its scale begins there
            names = [*(source.name for source in sources), "class of the meter"]
            widest = names[int(np.argmax([*np.abs(shifts).max(0), own]))]
            fits = part.kind.word != "pump"
            found.append(
                Expected(
                    part.name if fits else f"{part.name} P",
                    fits,
                    what,
                    quantity,
                    point.step.name,
                    point.oil_degC,
                    value,
                    low,
                    value + up,
                    widest,
                )
            )
    return found


def _sources(circuit: Circuit, solution: Solution) -> Iterator[Source]:
    share, speed = _off("setting"), _off("drive")
    for part in circuit.parts.values():
        for name in SETTINGS.get(part.kind.word, ()):
            if part.figure(name) is not None and part.given(name):
                yield _around(solution, part, name, share)
        if part.kind.word in DRIVES and part.figure("speed") is not None:
            yield _around(solution, part, "speed", speed)
    degC = np.array([point.oil_degC for point in solution.points])
    off = _off("oil")
    yield Source("oil temperature", ("oil", "temperature"), degC - off, degC + off)


def _around(solution: Solution, part: Part, name: str, share: float) -> Source:
    """A figure off by a share of what it is in each step: as ordered there, else as it is."""
    ordered = (p.step.orders[part.name].figures.get(name) if part.name in p.step.orders else None
               for p in solution.points)  # fmt: skip
    usual = part.figure(name)
    values = np.array([usual if figure is None else figure.value for figure in ordered])
    return Source(
        f"{part.name} {name}", (part.name, name), values * (1.0 - share), values * (1.0 + share)
    )


def _moved(
    circuit: Circuit,
    sources: list[Source],
    meters: list[tuple[Part, str, str]],
    middle: Answer | None,
) -> tuple[Array, Array]:
    """Readings with each source low, and high: shapes (sources, steps, meters).

    All are solved together, from the points with all of them in the ``middle`` where these
    are known: variation 2 k has source k low, the next one has it high.
    """
    steps = circuit.steps or [STEADY]
    changes = {}
    for k, source in enumerate(sources):
        usual = 0.5 * (source.low + source.high)
        rows = np.repeat(usual[:, None], 2 * len(sources), axis=1)
        rows[:, 2 * k], rows[:, 2 * k + 1] = source.low, source.high
        changes[source.key] = rows.ravel()
        owner = circuit.parts.get(source.key[0])
        cracks = owner.figure("cracks") if owner is not None else None
        at = owner.figure(source.key[1]) if owner is not None else None
        if cracks is not None and at is not None and source.key[1] == "set":
            # turned to another setting, a relief keeps its share
            changes[source.key[0], "cracks"] = rows.ravel() * (cracks / at)
    case = Case(circuit, steps, changes, variations=2 * len(sources))
    start = None if middle is None else np.repeat(middle.whole, case.variations, axis=1)
    settled = settle(case, start=start)
    good = case.by_step(settled.answer.found.solved) & ~settled.changing
    results = Results(settled.answer)
    shown = np.full((len(meters), len(steps), case.variations), np.nan)
    for m, (part, what, quantity) in enumerate(meters):
        every = results.of(Subject(part.name, "", what, quantity))
        shown[m] = case.by_step(np.broadcast_to(every, (case.variants,)))
    shown = np.where(good, shown, np.nan).transpose(2, 1, 0)
    return shown[0::2], shown[1::2]


def _read(solution: Solution, meters: list[tuple[Part, str, str]]) -> Array:
    """Readings of all steps and meters, NaN in steps that were not solved."""
    shown = np.full((len(solution.points), len(meters)), np.nan)
    for s, point in enumerate(solution.points):
        for m, (part, what, _) in enumerate(meters):
            if point.success:
                shown[s, m] = point.parts[part.name].values.get(what, np.nan)
    return shown


def _class(part: Part, value: float) -> float:
    """Error of a meter [SI]: of a gauge a share of its range, else of what it shows."""
    share = part.figure("class") or 0.016
    if part.kind.word == "flowmeter":
        return share * abs(value)
    scale = part.figure("range") if part.kind.word == "gauge" else None
    return share * (abs(value) * _off("gauge_range") if scale is None else scale)
