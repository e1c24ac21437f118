"""Residual and Jacobian of some variants at once, in arrays that are used again and again."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from circuitcheck.laws.smoothing import Array, Smoothing
from circuitcheck.solver.groups import Ints, spread

if TYPE_CHECKING:
    from circuitcheck.solver.equations import Equations


class Chosen:
    """The equations with the figures of some variants, one a place.

    A place can be given to another variant when its own is finished, so that thousands of
    variants pass through arrays of a fixed size.
    """

    def __init__(self, equations: Equations, which: Ints) -> None:
        self.equations = equations
        self.whole = len(which) == equations.variants and bool(
            (which == np.arange(equations.variants)).all()
        )
        self.stay = equations.stay if self.whole else equations.stay[:, which]
        self.stays = bool(equations.stay.any())
        self.slow = None if equations.slow is None else equations.slow[:, which]
        self.anchor = None if equations.slow is None else equations.anchor[:, which]
        self.varying = equations.figures if self.whole else equations.figures.take(which, axis=1)
        self._make_room(equations.pins[equations.held[:, None], which])

    def _make_room(self, held: Array) -> None:
        """Make the arrays that every evaluation fills; ``held`` are the known values."""
        full, many = self.equations, held.shape[1]
        self.figures = spread(full.groups, self.varying)
        self.unknowns = np.empty((len(full.scale), many))
        self.unknowns[full.n :] = held
        self.scale = full.scale[full.free, None]
        self.flows = np.empty((full.pattern.flows, many))
        self.slopes = np.empty((full.pattern.slopes, many))
        self.slopes[-1] = 1.0
        self.room = []
        for group in full.groups:
            flows = self.flows[group.first_flow :][: group.flows]
            slopes = self.slopes[group.first_slope :][: group.slopes]
            taken = group.law.rows * group.count
            self.room.append(
                (
                    group.at,
                    flows.reshape(group.law.used, group.count, many),
                    slopes[:taken].reshape(group.law.rows, group.count, many),
                    slopes[taken:].reshape(len(group.more), group.count, many),
                )
            )

    def refill(self, places: Ints, which: Ints) -> None:
        """Give the places to other variants."""
        full = self.equations
        if self.whole:
            raise ValueError("the figures of all variants are shared, they cannot be refilled")
        self.unknowns[full.n :, places] = full.pins[full.held[:, None], which]
        self.stay[:, places] = full.stay[:, which]
        if self.slow is not None and self.anchor is not None and full.slow is not None:
            self.slow[:, places] = full.slow[:, which]
            self.anchor[:, places] = full.anchor[:, which]
        self.varying[:, places] = full.figures.take(which, axis=1)

    def keep(self, places: Ints) -> None:
        """Give up all places but these."""
        held = self.unknowns[self.equations.n :, places]
        self.stay = self.stay[:, places]
        if self.slow is not None and self.anchor is not None:
            self.slow, self.anchor = self.slow[:, places], self.anchor[:, places]
        self.varying = self.varying.take(places, axis=1)
        self.whole = False
        self._make_room(held)

    def evaluate(self, x: Array, s: Smoothing) -> None:
        """Fill ``flows`` and ``slopes`` at the scaled free unknowns x, (n, places)."""
        full = self.equations
        np.multiply(x, self.scale, out=self.unknowns[: full.n])
        for group, figures, room in zip(full.groups, self.figures, self.room, strict=True):
            terminals, flows, slopes, more = room
            group.law.fill(self.unknowns[terminals], figures, s, flows, slopes)
            for own, slope in zip(more, group.more, strict=True):
                if slope.row is None:
                    own[...] = figures[slope.times]
                else:
                    np.multiply(slopes[slope.row], figures[slope.times], out=own)

    def residual(self, x: Array, s: Smoothing) -> tuple[Array, Array]:
        """Give the scaled residual (n, places) and Jacobian entries (entries, places)."""
        full = self.equations
        self.evaluate(x, s)
        r: Array = full.pattern.to_free @ self.flows
        entries: Array = full.pattern.to_entries @ self.slopes
        if self.slow is not None and self.anchor is not None:
            r -= self.slow * (x - self.anchor)
            entries[full.pattern.diagonal] -= self.slow
        if self.stays:
            r[self.stay] = 0.0
            entries[self.stay[full.pattern.rows]] = 0.0
            entries[full.pattern.diagonal] += self.stay
        return r, entries
