"""Where the equations of a system have figures: found once, for all answers of its shape."""

from __future__ import annotations

from functools import cached_property
from typing import Any

import numpy as np
import scipy.sparse as sp

from circuitcheck.laws.smoothing import Array
from circuitcheck.solver.elimination import Plan, plan_for
from circuitcheck.solver.factors import Ordering
from circuitcheck.solver.groups import Group, Ints


class Pattern:
    """Pattern of the Jacobian, and the matrices that add flows up to balances, slopes to entries.

    Attributes
    ----------
    n : int
        Number of free unknowns
    rows, columns : ndarray, shape (entries,)
        Pattern of the Jacobian among free unknowns, diagonal included
    diagonal : ndarray, shape (n,)
        Where the diagonal is among the entries
    flows, slopes : int
        Rows of all flows, and of all slopes with a last one of ones
    to_unknowns, to_free, to_entries : sparse matrices
        From flows in SI to all balances in SI and to the scaled free ones, and from slopes to
        scaled entries
    """

    def __init__(
        self,
        groups: list[Group],
        place: Ints,
        n: int,
        scale: Array,
        row_scale: Array,
        pressure_rows: np.ndarray[Any, np.dtype[np.bool_]],
    ) -> None:
        self.n, self._pressure_rows = n, pressure_rows
        total = len(place)
        self.flows = sum(group.flows for group in groups)
        self.slopes = 1 + sum(group.slopes for group in groups)  # the last row is ones
        flow_row, flow_at, sign = [], [], []
        free_row, free_at, share = [], [], []
        key, source, weight = [np.arange(n) * (n + 1)], [], []
        for group in groups:
            index = group.first_flow + np.arange(group.count)
            slopes = list(group.sources(self.slopes - 1))
            for stamp in group.law.stamps:
                balance = group.terminals[stamp.terminal]
                flow_row.append(balance)
                flow_at.append(stamp.value * group.count + index)
                sign.append(np.full(group.count, stamp.sign))
                row = place[balance]
                inner = row < n
                free_row.append(row[inner])
                free_at.append(flow_at[-1][inner])
                share.append(stamp.sign / row_scale[balance[inner]])
                for slope, rows, factor in slopes:
                    if slope.value != stamp.value:
                        continue
                    unknown = group.terminals[slope.terminal]
                    column = place[unknown]
                    good = inner & (column < n) & (factor != 0.0)
                    key.append((row * n + column)[good])
                    source.append(rows[good])
                    scaled = stamp.sign * factor * scale[unknown] / row_scale[balance]
                    weight.append(scaled[good])
        pattern = np.unique(np.concatenate(key))
        self.rows, self.columns = np.divmod(pattern, max(n, 1))
        self.diagonal: Ints = np.searchsorted(pattern, np.arange(n) * (n + 1))
        self.entries: int = len(pattern)
        self.to_unknowns = _matrix(sign, flow_row, flow_at, (total, self.flows))
        self.to_free = _matrix(share, free_row, free_at, (n, self.flows))
        at = [np.searchsorted(pattern, k) for k in key[1:]]
        self.to_entries = _matrix(weight, at, source, (self.entries, self.slopes))

    @cached_property
    def row_starts(self) -> Ints:
        """Where the entries of each row begin."""
        return np.searchsorted(self.rows, np.arange(self.n))

    @cached_property
    def plan(self) -> Plan:
        """Order in which the unknowns are eliminated."""
        return plan_for(self.n, self.rows, self.columns, ~self._pressure_rows)

    @cached_property
    def ordering(self) -> Ordering:
        """The same for a large circuit."""
        return Ordering(self.n, self.rows, self.columns)


def decides(groups: list[Group], place: Ints, n: int, scale: Array, row_scale: Array) -> list[Any]:
    """Give all that a pattern is made from, to be compared with that of another system."""
    found: list[Any] = [n, place.tobytes(), scale.tobytes(), row_scale.tobytes()]
    for group in groups:
        fixed = [s.times for s in group.law.slopes if s.times and s not in group.more]
        found += [group.law.word, group.terminals.tobytes(), tuple(group.more)]
        found += [group.coefficients[name].tobytes() for name in fixed]
    return found


def _matrix(figures: list[Array], rows: list[Ints], columns: list[Ints], shape: Any) -> Any:
    """A sparse matrix from its figures and their places, in pieces."""
    if not figures:
        return sp.csr_matrix(shape)
    places = np.concatenate(rows), np.concatenate(columns)
    return sp.csr_matrix((np.concatenate(figures), places), shape=shape)
