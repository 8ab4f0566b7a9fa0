"""What is counted in a layout as it stands, and kept up to date while cells are swapped.

The field of an objective knows sums over pairs of cells. Whether a pair of fabrics has
met before, and how far the counts on a line are from fair shares, are no such sums; they
are counted here, each with what a swap would change, in whole numbers.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from placement.top.arrange.lines import Lines

if TYPE_CHECKING:
    from placement.top.arrange.geometry import Ground
    from placement.top.arrange.objective import Objective
    from placement.top.reach.task import Ints
    from placement.top.request import Floats


class Meetings:
    """How often each pair of fabrics touches, kept up to date while cells are swapped."""

    shared = None
    """Swaps are counted about right: pairs that both cells meet are not told apart."""

    def __init__(self, objective: Objective, layout: Ints) -> None:
        self.touching = objective.touching()
        self.lies = lying(objective.fabrics, layout)
        self.around = np.asarray(self.lies @ self.touching)
        """Cells of each fabric that each cell touches, shape (K, n)."""
        self.contacts = float(self.around.sum()) / 2
        self._count(layout)

    def _count(self, layout: Ints) -> None:
        met = self.lies @ self.around.T
        diagonal = met.diagonal() / 2
        met.flat[:: len(met) + 1] = diagonal
        self._met, self._layout = met, layout
        known = np.count_nonzero(met) + np.count_nonzero(diagonal)
        self.repeats = self.contacts - known / 2

    @property
    def laying(self) -> Floats:
        """Contacts that would repeat a pair if a fabric were laid in a cell, shape (K, n)."""
        return np.asarray((self._met > 0).astype(np.float64) @ self.around)

    @property
    def lifting(self) -> Floats:
        """Contacts of each cell that repeat a pair now, shape (n,)."""
        again = (self._met > 1).astype(np.float64)
        return np.asarray(np.einsum("kn,kn->n", again[:, self._layout], self.around))

    def swap(self, one: int, other: int, layout: Ints) -> None:
        """Follow a swap; the layout is the one after it."""
        change = self.touching[one] - self.touching[other]
        here, there = layout[one], layout[other]
        self.around[here] += change
        self.around[there] -= change
        self.lies[[there, here], one] = 0, 1
        self.lies[[here, there], other] = 0, 1
        self._count(layout)


def lying(fabrics: int, layout: Ints) -> Floats:
    """Return 1 where a fabric lies in a cell, else 0, shape (K, n)."""
    lies = np.zeros((fabrics, len(layout)))
    lies[layout, np.arange(len(layout))] = 1
    return lies


class Evenness(Lines):
    """The same counts with what every swap of two cells would change, for a table of swaps."""

    def __init__(self, where: Ground, copies: Ints, layout: Ints) -> None:
        super().__init__(where, copies, layout)
        none, kinds = len(self.shares) - 1, len(copies)
        same = (self.lines[:, :, None] == self.lines[:, None, :]) & (self.lines < none)[:, :, None]
        self.same = same.astype(np.float64)
        """Whether two cells share a line of a family, shape (5, n, n)."""
        self._layout, self._stale = layout, list(range(kinds))
        self._laying = np.zeros((kinds, self.cells))
        self._twice = np.full(self.lines.shape, -1.0)
        self._shared = np.zeros((self.cells, self.cells))

    @property
    def laying(self) -> Floats:
        """How much further off they are if a fabric is laid in a cell, shape (K, n)."""
        if self._stale:
            stale = np.unique(self._stale)
            self._laying[stale] = self.one_more[:, stale][self.lines].sum(axis=0).T
            self._stale = []
        return self._laying

    @property
    def lifting(self) -> Floats:
        """How much nearer they are if a cell's fabric is lifted, shape (n,)."""
        own = self.laying[self._layout, np.arange(self.cells)]
        return np.asarray(own - self.both[self.lines, self._layout].sum(axis=0))

    @property
    def shared(self) -> Floats:
        """What one cell of a swap gets too much for lines that it shares with the other."""
        twice = self.both[self.lines, self._layout]
        (changed,) = (twice != self._twice).any(axis=0).nonzero()
        self._shared[changed] = np.einsum("fi,fij->ij", twice[:, changed], self.same[:, changed])
        self._twice = twice
        return self._shared

    def swap(self, one: int, other: int, layout: Ints) -> None:
        """Follow a swap; the layout is the one after it."""
        super().swap(one, other, layout)
        self._layout = layout
        self._stale += [int(layout[other]), int(layout[one])]
