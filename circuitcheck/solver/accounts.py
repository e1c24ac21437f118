"""Where the power goes: what each element takes up, what the shafts bring, what is useful."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from circuitcheck.laws.library import LAWS, STORES
from circuitcheck.laws.net import System
from circuitcheck.laws.smoothing import Array


@dataclass
class Accounts:
    """Power in every variant [W], shape (variants,); ``loss`` by part name.

    ``given``: what makes up the input, by the owner of the shaft, the tank or the store, below
    zero where it takes power; ``loads``: what makes up the useful power, by part.
    """

    input: Array
    useful: Array
    loss: dict[str, Array]
    given: dict[str, Array] = field(default_factory=dict)
    loads: dict[str, Array] = field(default_factory=dict)

    @property
    def lost(self) -> Array:
        total = np.zeros_like(self.input)
        for taken in self.loss.values():
            total += taken
        return total

    @property
    def error(self) -> Array:
        """Share of the power brought in that is not accounted for."""
        brought = np.maximum(np.maximum(np.abs(self.input), np.abs(self.useful)), 1.0)
        return np.abs(self.input - self.useful - self.lost) / brought


def account(
    system: System,
    whole: Array,
    values: Mapping[int, Mapping[str, Array]],
    reaction: Array,
    heaters: Mapping[str, Array],
) -> Accounts:
    """Add up power over a solved point. Lifting oil in a line counts as useful.

    ``reaction`` is what each pinned unknown is given by whatever holds it, (unknowns,
    variants), zero elsewhere: the torque of a drive, the flow of a tank. ``heaters``: power
    that heaters bring in, by part; it is wholly heat of the oil.
    """
    held = reaction * whole
    brought = np.sum(held, axis=0)
    given = {system.unknowns[i].name: held[i] for i in np.flatnonzero(np.any(held, axis=1))}
    useful = np.zeros(system.variants)
    loss: dict[str, Array] = {}
    loads: dict[str, Array] = {}
    for i, element in enumerate(system.elements):
        law = LAWS[element.law]
        taken = np.zeros(system.variants)
        for stamp in law.stamps:
            value = values[i][law.values[stamp.value]]
            taken -= stamp.sign * value * whole[element.terminals[stamp.terminal]]
        if element.law in ("slip", "void", *STORES):
            brought = brought - taken
            _add(given, element.part, -taken)
            continue
        if element.law == "load":
            share = element.coefficients.get("useful", np.ones(system.variants))
            at_load = np.where(taken >= 0.0, taken * share, taken / share)
            useful += at_load
            _add(loads, element.part, at_load)
            taken = taken - at_load
        if element.law == "pipe":
            # what lifts oil is not lost; a line that runs down gives it back
            lift = element.coefficients["head"] * values[i]["flow"]
            useful += lift
            _add(loads, element.part, lift)
            taken = taken - lift
        _add(loss, element.part, taken)
    for part, power in heaters.items():
        brought = brought + power
        _add(given, part, power)
        _add(loss, part, power)
    return Accounts(brought, useful, loss, given, loads)


def _add(sums: dict[str, Array], name: str, power: Array) -> None:
    sums[name] = sums[name] + power if name in sums else power
