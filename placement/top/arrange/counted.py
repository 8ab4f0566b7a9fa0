"""What is counted in a layout as it stands, and kept up to date while cells are swapped.

The field of an objective knows sums over pairs of cells. Whether a pair of fabrics has
met before, and how far the counts on a line are from fair shares, are no such sums; they
are counted here, each with what a swap would change, in whole numbers.

References
----------
A. Hedayat, A complete solution to the existence and nonexistence of Knut Vik designs and
orthogonal Knut Vik designs, Journal of Combinatorial Theory A 22 (1977), 331-337: a square
is even in rows, columns and all diagonals at once only where its side divides by neither
2 nor 3. What rounding forces elsewhere is not counted against a layout.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from placement.top.arrange.geometry import OUTSIDE

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


class Evenness:
    """How far counts on lines are from fair shares, kept up to date while cells are swapped.

    Lines are the rows, columns, diagonals and quadrants of two or more cells. Everything
    is counted in n-ths of a cell, which are whole numbers.
    """

    def __init__(self, where: Ground, copies: Ints, layout: Ints) -> None:
        self.cells = where.count
        self.lines, lengths = _numbered(where)
        shares = np.outer(lengths, copies)
        self.shares = np.vstack([shares, np.zeros((1, len(copies)), dtype=np.int64)])
        """Fair shares, the last line being none, shape (lines + 1, K)."""
        self.forced = _forced(shares, lengths, self.cells)
        """What rounding forces."""
        none = len(lengths)
        same = (self.lines[:, :, None] == self.lines[:, None, :]) & (self.lines < none)[:, :, None]
        self.same = same.astype(np.float64)
        """Whether two cells share a line of a family, shape (5, n, n)."""
        kinds = len(copies)
        keys = (self.lines * kinds + layout).ravel()
        counts = np.bincount(keys, minlength=(none + 1) * kinds).reshape(none + 1, kinds)
        self.short = self.shares - self.cells * counts
        """How much more of each fabric a line should hold, shape (lines + 1, K)."""
        self.one_more, self.both = self._changes(self.short)
        self.one_more[-1] = self.both[-1] = 0.0
        self.off = float(np.abs(self.short[:-1]).sum())
        """How far all counts are off together."""
        self._layout, self._stale = layout, list(range(kinds))
        self._laying = np.zeros((kinds, self.cells))
        self._twice = np.full(self.lines.shape, -1.0)
        self._shared = np.zeros((self.cells, self.cells))

    @property
    def over(self) -> float:
        """How far counts are off above what rounding forces, as a part of that."""
        return max(0.0, self.off - self.forced) / max(self.forced, float(self.cells))

    def _changes(self, short: Ints) -> tuple[Floats, Floats]:
        """Return what one more costs a line, and one more and one less together."""
        off = np.abs(short)
        more = np.abs(short - self.cells) - off
        less = np.abs(short + self.cells) - off
        return more.astype(np.float64), (more + less).astype(np.float64)

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
        fabrics = np.array([layout[other], layout[one]])
        # On a line that both lie on nothing changes; all others differ from one another.
        here, there = self.lines[:, one], self.lines[:, other]
        differ = here != there
        lines = np.concatenate([here[differ], there[differ]])
        moved = np.repeat([self.cells, -self.cells], np.count_nonzero(differ))
        inside = lines < len(self.short) - 1
        lines, moved = lines[inside, None], moved[inside, None]
        before = self.short[lines, fabrics]
        after = before + moved * [1, -1]
        self.short[lines, fabrics] = after
        self.off += float((np.abs(after) - np.abs(before)).sum())
        self.one_more[lines, fabrics], self.both[lines, fabrics] = self._changes(after)
        self._layout = layout
        self._stale += fabrics.tolist()


def _numbered(where: Ground) -> tuple[Ints, Ints]:
    """Return each cell's line in each family, numbered through, and the lines' lengths.

    Lines of one cell, and the middle between quadrants, are the number after the last.
    """
    numbers = np.full(where.lines.shape, OUTSIDE, dtype=np.int64)
    found: list[Ints] = []
    for family, (labels, lengths) in enumerate(zip(where.lines, where.lengths(), strict=True)):
        inside = lengths > 1
        names, first, place = np.unique(labels[inside], return_index=True, return_inverse=True)
        numbers[family, inside] = place + sum(map(len, found))
        found.append(lengths[inside][first] if len(names) else np.empty(0, dtype=np.int64))
    every = np.concatenate(found)
    return np.where(numbers == OUTSIDE, len(every), numbers), every


def _forced(shares: Ints, lengths: Ints, cells: int) -> float:
    """Return how far the best whole counts are from fair shares, in n-ths of a cell."""
    parts = shares % cells
    spare = lengths - (shares - parts).sum(axis=1) // cells
    up = np.arange(shares.shape[1]) < spare[:, None]
    ordered = -np.sort(-parts, axis=1)
    return float(np.where(up, cells - ordered, ordered).sum())
