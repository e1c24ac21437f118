"""Faults that a machine may have, as figures of its model that grow from sound to worst."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from circuitcheck.circuit.model import Circuit
from circuitcheck.components._parts import Part
from circuitcheck.laws.smoothing import Array
from circuitcheck.review import leaks

SIZES = 12
"""Sizes of a fault that are solved, the sound one among them; between them it is bridged."""

TIMES, PLUS = "times", "plus"


@dataclass(frozen=True)
class Form:
    """A fault as kinds of parts have it: ``figure`` goes from its own value to the worst.

    ``how``: `TIMES` the sound figure, or `PLUS` so much [SI]. ``least``: where it begins, for
    faults that are there or not. ``words`` say it, with {size} in the quantity ``shows``: a
    quantity of the unit table, "times", "share" or "" for none. ``order``: what a step says in
    place of the figure, where that has another name.
    """

    kinds: tuple[str, ...]
    figure: str
    how: str
    worst: float
    words: str
    shows: str = ""
    least: float | None = None
    default: float | None = None
    order: str = ""


PRESSURE_VALVES = ("counterbalance", "sequence", "reducing valve", "unloading valve", "brake valve")
RELIEFS = ("relief", "port relief", "crossport relief")

FORMS = (
    Form(("pump", "motor"), "wear", TIMES, 3.2, "worn: its gaps are {size} times as wide",
         "times"),
    Form(RELIEFS, "set", TIMES, 0.02, "set low or held open: opens at {size}", "pressure"),
    Form(("pump",), "compensator", TIMES, 0.2, "cut-off set low: {size}", "pressure"),
    Form(("pump",), "compensator", TIMES, 1.5, "cut-off set high or stuck: {size}", "pressure"),
    Form(("pump",), "margin", TIMES, 0.2, "margin set low: {size}", "pressure"),
    Form(("pump",), "margin", TIMES, 2.5, "margin set high: {size}", "pressure"),
    Form(("filter", "strainer"), "clogged", TIMES, 80.0, "plugged: {size} times its clean drop",
         "times", default=1.0),
    Form(("cylinder",), "seal leak", PLUS, 5e-4, "piston seal leaks {size} at 100 bar", "flow"),
    Form(("valve",), "leakage", PLUS, 3e-4, "spool leaks {size} more over each shut edge at "
         "100 bar", "flow"),
    Form(("valve",), "flow", TIMES, 0.12, "spool opens {size} of its way only", "share"),
    Form(("electric motor", "engine"), "speed", TIMES, 0.45, "turns slowly: {size}", "rotation",
         order="at"),
    Form(("pump",), "displacement", TIMES, 0.4, "does not fill (air, starved inlet): {size} of "
         "its displacement", "share"),
    Form(("pump",), "displacement", TIMES, 0.01, "delivers nothing (wrong rotation, sheared "
         "shaft)", "", least=0.03),
    Form(RELIEFS, "set", TIMES, 1.6, "set high: {size}", "pressure"),
    Form(PRESSURE_VALVES, "set", TIMES, 0.1, "set low or held open: {size}", "pressure"),
    Form(PRESSURE_VALVES, "set", TIMES, 1.7, "set high or stuck: {size}", "pressure"),
    Form(("compensator",), "set", TIMES, 0.15, "margin set low or stuck shut: {size}", "pressure"),
    Form(("compensator",), "set", TIMES, 6.0, "margin set high or stuck open: {size}", "pressure"),
    Form(("section",), "flow", TIMES, 0.12, "spool opens {size} of its way only", "share"),
    Form(("section",), "spring", TIMES, 0.15, "compensator sticks shut or its spring is weak: "
         "{size}", "pressure"),
    Form(("section",), "spring", TIMES, 6.0, "compensator sticks open: as a spring of {size}",
         "pressure"),
    Form(("section",), "limit", TIMES, 0.15, "load-sensing limit set low: {size}", "pressure"),
    Form(("throttle", "throttle-check", "flow control", "orifice"), "flow", TIMES, 0.1,
         "shut or dirty: {size} of its flow", "share"),
    Form(("throttle", "throttle-check", "flow control"), "flow", TIMES, 3.0,
         "open too far: {size} times its flow", "times"),
    Form(("orifice",), "diameter", TIMES, 0.15, "dirty: {size}", "length"),
    Form(("orifice",), "diameter", TIMES, 3.0, "too large or lost: {size}", "length"),
    Form(("line",), "bore", TIMES, 0.18, "too narrow, kinked or blocked: bore {size}", "length"),
)  # fmt: skip

OIL = (
    Form((), "temperature", PLUS, -40.0, "is colder than read: {size}", "temperature"),
    Form((), "temperature", PLUS, 40.0, "is hotter than read: {size}", "temperature"),
)

AT = 1e7
"""Pressure at which a leak is told [Pa]."""

CHECKS = ("check", "pilot check", "counterbalance", "anti-cavitation")
"""Kinds that may leak against their shut direction, over the ports of `leaks.across`."""


@dataclass(frozen=True)
class Fault:
    """One fault of one part.

    ``figures`` [SI] are the values of (``owner``, ``figure``) for its sizes, from sound to
    worst; of one that is there or not, all are faulty. ``how`` it grows (`TIMES`, `PLUS`);
    ``order`` is what a step may say in place of the figure.
    ``circuit`` is another circuit where the fault adds a way for the oil, else None.
    ``beside``: what the figure means ("at 100 bar"), where the part does not say it itself.
    """

    part: str
    owner: str
    figure: str
    figures: Array
    words: str
    shows: str
    sound: float
    how: str = TIMES
    order: str = ""
    circuit: Circuit | None = None
    beside: Mapping[str, float] = field(default_factory=dict)

    @property
    def name(self) -> str:
        """Part and fault in words, the size left open."""
        return f"{self.part} {self.words}".replace("{size}", "...")

    def grown(self, healthy: Array, size: float) -> Array:
        """Give a figure that is ``healthy`` in each step as it is with the fault [SI]."""
        return healthy + (size - self.sound) if self.how == PLUS else healthy * size / self.sound


def faults(circuit: Circuit, degC: float) -> list[Fault]:
    """List the single faults that the parts of a circuit can have; ``degC`` of the oil."""
    found = [fault for part in circuit.parts.values() for fault in _of(part)]
    for form in OIL:
        found.append(_fault("the oil", "oil", form, degC))
    return [*found, *_ways(circuit)]


def _of(part: Part) -> Iterator[Fault]:
    for form in FORMS:
        if part.kind.word in form.kinds:
            sound = part.figure(form.figure)
            if sound is None and form.how == PLUS:
                sound = 0.0
            sound = form.default if sound is None else sound
            if sound is not None and (form.how == PLUS or sound):
                fault = _fault(part.name, part.name, form, sound)
                at = f"{form.figure} pressure"
                beside = {at: AT} if "at 100 bar" in form.words and not part.given(at) else {}
                yield replace(fault, beside=beside)


def _fault(name: str, owner: str, form: Form, sound: float) -> Fault:
    if form.how == PLUS:
        way = np.linspace(0.0, 1.0, SIZES) ** (1.0 if owner == "oil" else 2.0)
        figures = sound + form.worst * way
    else:
        figures = sound * np.geomspace(form.least or 1.0, form.worst, SIZES)
    order = form.order or form.figure
    return Fault(name, owner, form.figure, figures, form.words, form.shows, sound, form.how, order)


def _ways(circuit: Circuit) -> Iterator[Fault]:
    """Faults that give the oil a way it should not have, or take one away."""
    yield from _holes(circuit)
    for part in circuit.parts.values():
        if _senses(part):
            blocked = leaks.blocked(circuit, part.name, "X")
            if blocked is not None:
                small = np.geomspace(3e-3, 5e-5, SIZES)
                words = "sense line blocked down to a hole of {size}"
                yield _way(part, leaks.NAME, blocked, small, words)
        for port in ("L", "L1"):
            joined = leaks.drain_into_return(circuit, part, port)
            if joined is not None:
                there = np.full(2, leaks.WIDE)
                words = "drain is joined to the return line"
                yield _way(part, leaks.NAME, joined, there, words)


def _holes(circuit: Circuit) -> Iterator[Fault]:
    """Leaks, each through a hole of its own in one circuit that has them all."""
    found: list[tuple[Part, leaks.Hole, str]] = []
    for part in circuit.parts.values():
        if part.kind.word in CHECKS and (hole := leaks.across(circuit, part)) is not None:
            found.append((part, hole, "leaks while shut, as through a hole of {size}"))
        if _senses(part) and (hole := leaks.to_tank(circuit, part.name, "X")) is not None:
            found.append((part, hole, "sense line leaks, as through a hole of {size}"))
    named = {f"{leaks.NAME} {number}": one for number, one in enumerate(found, 1)}
    holed = leaks.with_holes(circuit, {name: hole for name, (_, hole, _) in named.items()})
    bores = np.concatenate(([leaks.NONE], np.geomspace(2e-4, 4e-3, SIZES - 1)))
    for name, (part, _, words) in named.items():
        yield _way(part, name, holed, bores, words)


def _senses(part: Part) -> bool:
    return part.kind.word == "pump" and part.choices.get("control") == "load sensing"


def _way(part: Part, owner: str, circuit: Circuit, bores: Array, words: str) -> Fault:
    sound = float(bores[0])
    return Fault(part.name, owner, "diameter", bores, words, "length", sound, circuit=circuit)
