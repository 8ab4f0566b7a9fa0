"""A layout whose field follows every swap: what each fabric would cost in each cell.

The field H gives the gain of a swap at once and is cheap to keep:

    gain(i, j) = H[i, g] - H[i, f] + H[j, f] - H[j, g]
                 + sum_k W_k[i, j] (2 S_k[f, g] - S_k[f, f] - S_k[g, g])

for f in cell i and g in cell j. A negative gain makes the layout better.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from placement.top.arrange.objective import Objective
    from placement.top.reach.task import Ints
    from placement.top.request import Floats

_OFFERED = 100
"""Swaps looked at, at most, when the best are asked for."""


class Walk:
    """A layout, its energy and its field, kept up to date while cells are swapped."""

    def __init__(self, objective: Objective, layout: Ints) -> None:
        self.pairs = objective.pairs
        self.similarity = objective.similarity
        own = np.einsum("kff->kf", objective.similarity)
        self.mixing = 2 * objective.similarity - own[:, :, None] - own[:, None, :]
        self.layout = layout.copy()
        self.here = np.arange(len(layout))
        self.field = np.ascontiguousarray(objective.field(layout).T)
        self.now = self.field[self.layout, self.here]
        self.energy = objective.energy(layout)
        self._between = np.zeros(len(layout))

    def between(self, cell: int) -> tuple[Ints | slice, Floats]:
        """Return a cell's partners and the last term of the gain with each."""
        partners, weights = self.pairs.around(cell)
        mixing = self.mixing[:, self.layout[cell]][:, self.layout[partners]]
        return partners, np.einsum("kj,kj->j", weights, mixing)

    def gains(self, cell: int, others: Ints | None = None) -> Floats:
        """Return the gain of a swap with other cells, or with every cell, in their order."""
        others = self.here if others is None else others
        own, theirs = self.layout[cell], self.layout[others]
        gains: Floats = self.field[own, others] - self.now[others]
        gains += self.field[theirs, cell]
        gains -= self.now[cell]
        partners, between = self.between(cell)
        self._between[partners] = between
        gains += self._between[others]
        self._between[partners] = 0.0
        gains[theirs == own] = 0.0
        return gains

    def swap(self, one: int, other: int, gain: float) -> None:
        """Exchange the fabrics of two cells, knowing the gain."""
        layout = self.layout
        first, second = layout[one], layout[other]
        change = (self.similarity[:, :, second] - self.similarity[:, :, first]).T
        if self.pairs.dense:
            self.field += change @ (self.pairs.values[:, one] - self.pairs.values[:, other])
        else:
            for cell, sign in ((one, 1.0), (other, -1.0)):
                partners, weights = self.pairs.around(cell)
                self.field[:, partners] += (sign * change) @ weights
        layout[one], layout[other] = second, first
        self.now = self.field[layout, self.here]
        self.energy += gain


def promising(walk: Walk) -> list[tuple[float, int, int]]:
    """Return the swaps that make a layout better: gain and two cells, best first.

    At most 100, and at most the best partner of each cell on a large top.
    """
    count = len(walk.layout)
    if walk.pairs.dense:
        mixing = walk.mixing[:, walk.layout][:, :, walk.layout]
        table = walk.field[walk.layout] - walk.now
        table = table + table.T + np.einsum("kij,kij->ij", walk.pairs.values, mixing)
        one, other = np.nonzero(np.triu(table < 0, 1))
        gains = table[one, other]
    else:
        rows = [walk.gains(cell) for cell in range(count)]
        one, other = np.arange(count), np.array([row.argmin() for row in rows])
        gains = np.array([row.min() for row in rows])
    order = np.lexsort((other, one, gains))[:_OFFERED]
    return [(float(gains[k]), int(one[k]), int(other[k])) for k in order if gains[k] < 0]
