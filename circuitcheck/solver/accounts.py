"""Where the power goes: what each element takes up, what the shafts bring, what is useful."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from circuitcheck.laws.library import LAWS, STORES
from circuitcheck.laws.net import System
from circuitcheck.laws.smoothing import Array


@dataclass
class Accounts:
    """Power in every variant [W], shape (variants,); ``loss`` by part name."""

    input: Array
    useful: Array
    loss: dict[str, Array]

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
    values: dict[int, dict[str, Array]],
    reaction: Array,
    heaters: Mapping[str, Array],
) -> Accounts:
    """Add up power over a solved point. Lifting oil in a line counts as useful.

    ``reaction`` is what each pinned unknown is given by whatever holds it, (unknowns,
    variants), zero elsewhere: the torque of a drive, the flow of a tank. ``heaters``: power
    that heaters bring in, by part; it is wholly heat of the oil.
    """
    brought = np.sum(reaction * whole, axis=0)
    useful = np.zeros(system.variants)
    loss: dict[str, Array] = {}
    for i, element in enumerate(system.elements):
        law = LAWS[element.law]
        taken = np.zeros(system.variants)
        for stamp in law.stamps:
            value = values[i][law.values[stamp.value]]
            taken -= stamp.sign * value * whole[element.terminals[stamp.terminal]]
        if element.law in ("slip", "void", *STORES):
            brought = brought - taken
            continue
        if element.law == "load":
            share = element.coefficients.get("useful", np.ones(system.variants))
            at_load = np.where(taken >= 0.0, taken * share, taken / share)
            useful += at_load
            taken = taken - at_load
        if element.law == "pipe":
            # what lifts oil is not lost; a line that runs down gives it back
            lift = element.coefficients["head"] * values[i]["flow"]
            useful += lift
            taken = taken - lift
        loss[element.part] = loss.get(element.part, np.zeros(system.variants)) + taken
    for part, power in heaters.items():
        brought = brought + power
        loss[part] = loss.get(part, np.zeros(system.variants)) + power
    return Accounts(brought, useful, loss)
