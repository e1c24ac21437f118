"""What may be off on a sound machine: settings, drives, efficiencies, the oil, meters."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

import numpy as np

from circuitcheck.basics.places import Place
from circuitcheck.basics.quantities import System, figure_text, read_unit, show
from circuitcheck.basics.refusal import CircuitError
from circuitcheck.basics.tables import read_toml
from circuitcheck.circuit.desk import Desk
from circuitcheck.circuit.figures import usual_units
from circuitcheck.circuit.model import Circuit, Step
from circuitcheck.circuit.varied import OIL_NAME, Varied, find_varied, words_of
from circuitcheck.components._parts import Part
from circuitcheck.fluid.oil import Oil
from circuitcheck.laws.smoothing import Array
from circuitcheck.solver.solve import STEADY
from circuitcheck.studies.trials import Trials

TEMPERATURE, VISCOSITY = "oil temperature", "oil viscosity"
FILE = "off"
"""Name under which findings speak of what a person says may be off."""

_AMOUNT = re.compile(r"(\d+\.?\d*|\.\d+)\s*(.*)")
_INSIDE = 1e-9


@dataclass(frozen=True)
class Doubt:
    """A figure that may be ``off`` from its ``value`` by so much at most, to both sides [SI].

    ``figure`` is None for the viscosity of the oil, whose value is 1 and ``off`` a share.
    ``wish``: a person named it, so that it cannot be left out quietly. ``share``: it is off by
    a share of its value, which steps may order each in their way; None where it is not.
    """

    name: str
    figure: Varied | None
    value: float
    off: float
    source: str
    wish: bool = False
    share: float | None = None

    @property
    def quantity(self) -> str:
        return "share" if self.figure is None else self.figure.quantity

    def said(self, units: System) -> str:
        """Give by how much it may be off, in words."""
        if self.name == TEMPERATURE:
            return f"{figure_text(self.off)} K"
        if self.figure is None:
            return f"{figure_text(100.0 * self.off)} %"
        if self.figure.ordered and self.share is not None:
            return f"{figure_text(100.0 * self.share)} % of what the step orders"
        if not self.value or self.figure.ordered:
            return show(self.off, self.quantity, units)
        share = f"{figure_text(100.0 * abs(self.off / self.value))} %"
        return f"{share} of {show(self.value, self.quantity, units)}"

    def acts_in(self, step: Step) -> bool:
        """Whether the figure says anything in a step: an order not given there does not."""
        figure = self.figure
        if figure is None or figure.figure or not figure.ordered:
            return True
        orders = step.orders.get(figure.part)
        return orders is not None and (figure.name in orders.figures or figure.name == "opening")

    def in_step(self, circuit: Circuit, step: Step) -> Doubt:
        """Give the doubt as it stands in a step, which may order the figure or warm the oil."""
        if self.name == TEMPERATURE:
            return replace(self, value=step_degC(circuit, step))
        orders = step.orders.get(self.figure.part) if self.figure is not None else None
        if self.figure is None or not self.figure.ordered or orders is None:
            return self
        if self.figure.name == "opening":
            value = orders.opening
        elif self.figure.name in orders.figures:
            value = orders.figures[self.figure.name].value
        else:
            return self
        off = self.off if self.share is None else self.share * abs(value)
        return replace(self, value=value, off=off)

    def values(self, dice: Array) -> Array:
        """Give values for numbers around 0, at 1 off by all it may be; within what it can be."""
        values = self.value + self.off * dice
        if self.figure is None:
            return values
        least, most = self.figure.parameter.limits
        room = _INSIDE * max(abs(self.value), abs(self.off))
        return np.clip(values, least + room, most - room)


def step_degC(circuit: Circuit, step: Step) -> float:
    """Give the temperature of the oil in a step."""
    return circuit.oil_degC if step.oil_degC is None else step.oil_degC


def doubts_of(
    circuit: Circuit, said: Mapping[str, str], only: bool = False
) -> list[Doubt]:  # fmt: skip
    """Give everything that may be off: the usual, what the text says of it, and what a person
    says ("R1 set": "3 %"); the later takes the place of the earlier.

    ``only`` takes the last alone. Raises `CircuitError` with what is wrong in it.
    """
    usual = {} if only else {doubt.name: doubt for doubt in (*_usual(circuit), *_given(circuit))}
    named = {doubt.name: doubt for doubt in _said(circuit, said)}
    return [doubt for doubt in (usual | named).values() if doubt.off > 0.0]


def _given(circuit: Circuit) -> Iterator[Doubt]:
    """Give what the chapter ``tolerances`` of the text says."""
    for row in circuit.tolerances:
        source = f"line {row.place.line} of the text"
        if row.figure is None:
            yield Doubt(VISCOSITY, None, 1.0, row.tolerance, source, True)
            continue
        value = float(Trials(circuit, [row.figure]).present()[0])
        off = row.tolerance * abs(value) if row.share else row.tolerance
        if off == off:
            share = row.tolerance if row.share else None
            yield Doubt(row.figure.text, row.figure, value, off, source, True, share)


def _usual(circuit: Circuit) -> Iterator[Doubt]:
    table = read_toml("spread.toml")
    for row in table.values():
        for part in circuit.parts.values() if "names" in row else ():
            if part.kind.word in row.get("kinds", (part.kind.word,)):
                yield from _of_part(part, row["names"], float(row["value"]), row["source"])
    warm, thick = table["temperature"], table["viscosity"]
    yield Doubt(
        TEMPERATURE, _figure(circuit, TEMPERATURE), circuit.oil_degC, float(warm["value"]),
        warm["source"],
    )  # fmt: skip
    yield Doubt(VISCOSITY, None, 1.0, float(thick["value"]), thick["source"])


def _of_part(part: Part, names: list[str], share: float, source: str) -> Iterator[Doubt]:
    for name in names:
        value, own = part.figure(name), part.kind.parameter(name)
        if value and own is not None and part.given(name) and own.quantity != "ratio":
            figure = Varied(part.name, own, figure=True, ordered=False)
            yield Doubt(figure.text, figure, value, abs(value) * share, source)


def _figure(circuit: Circuit, name: str) -> Varied | None:
    steps = circuit.steps or [STEADY]
    return find_varied(Desk({}, set()), circuit, steps, words_of(name, "", 1))


# ---- what a person says -------------------------------------------------------------------


def _said(circuit: Circuit, rows: Mapping[str, str]) -> list[Doubt]:
    desk, found = Desk({}, set()), []
    source = "\n".join(f"{name} = {amount}" for name, amount in rows.items())
    for line, (name, amount) in enumerate(rows.items(), 1):
        start = len(name) + 4
        place = Place(FILE, line, start, line, start + len(amount))
        doubt = _one(desk, circuit, name, amount, line, place)
        found += [] if doubt is None else [doubt]
    if desk.errors:
        raise CircuitError(tuple(desk.findings), source)
    return found


def _one(
    desk: Desk, circuit: Circuit, name: str, amount: str, line: int, place: Place
) -> Doubt | None:
    if name == VISCOSITY:
        off, _ = _off(desk, "share", amount, place)
        return None if off is None else Doubt(name, None, 1.0, off, "as said", True)
    words = words_of(name, FILE, line)
    if not words:
        desk.error("vary-name", place, "which figure?", "name it by its part:  R1 set = 3 %")
        return None
    figure = find_varied(desk, circuit, circuit.steps or [STEADY], words)
    if figure is None:
        return None
    value = float(Trials(circuit, [figure]).present()[0])
    if value != value:
        at = words[0].place.upto(words[-1].place)
        desk.error("vary-name", at, f"the text gives {figure.text} no value",
                   "what has no value cannot be off")  # fmt: skip
        return None
    off, of_value = _off(desk, figure.quantity, amount, place)
    if off is None:
        return None
    size = off * abs(value) if of_value else off
    share = off if of_value else None
    return Doubt(figure.text, figure, value, size, "as said", True, share)


def _off(desk: Desk, quantity: str, amount: str, place: Place) -> tuple[float | None, bool]:
    """Read how much something may be off, SI, and whether that is a share of its value."""
    read = _AMOUNT.fullmatch(amount.strip())
    unit = read_unit(read[2]) if read and read[2] else None
    number = float(read[1]) if read else 0.0
    if read and unit is not None and unit.quantity == "share":
        return number * unit.factor, quantity != "share"
    fits = {quantity, "temperature_difference"} if quantity == "temperature" else {quantity}
    if read and unit is not None and unit.quantity in fits and unit.canonical != "SUS":
        return number * unit.factor, False
    if read and not read[2] and quantity in ("ratio", "count"):
        return number, False
    like = "K" if quantity == "temperature" else usual_units(quantity).split(" or ")[0]
    desk.error("tolerance", place, f"'{amount}' does not say by how much it may be off",
               f"write a share or a figure:  5 %{f'  or  5 {like}' if like else ''}")  # fmt: skip
    return None, False


# ---- the oil -------------------------------------------------------------------------------

_DEGREES = np.linspace(-60.0, 200.0, 5201)


def as_warm_as(oil: Oil, degC: Array, share: Array) -> Array:
    """Give the temperature at which an oil is as thick as ``share`` times what it is at ``degC``.

    A variation has the oil's temperature; so an oil that is thicker than its grade enters as a
    colder one. Its density is then up to 0.3 % off, for 10 % of viscosity.
    """
    known = np.log(oil.nu(_DEGREES))
    thick = np.log(oil.nu(degC) * share)
    found: Array = np.interp(-thick, -known, _DEGREES)
    return found


def meter_class(part: Part) -> float:
    """Give the class of a meter as a share of its range, or of what it shows."""
    own = part.figure("class")
    return float(read_toml("spread.toml")["meter"]["value"]) if own is None else own


def is_oil(doubt: Doubt) -> bool:
    """Whether a doubt speaks of the oil."""
    return doubt.figure is None or doubt.figure.part == OIL_NAME
