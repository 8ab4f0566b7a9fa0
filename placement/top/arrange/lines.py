"""How far counts on rows, columns, diagonals and quadrants are from fair shares.

Kept up to date while cells are swapped, with what a swap would change. Everything is
counted in n-ths of a cell, which are whole numbers.

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
    from placement.top.reach.task import Ints
    from placement.top.request import Floats


class Lines:
    """Counts on the lines of two or more cells, as a layout stands."""

    def __init__(self, where: Ground, copies: Ints, layout: Ints) -> None:
        self.cells = where.count
        self.lines, lengths = _numbered(where)
        shares = np.outer(lengths, copies)
        self.shares = np.vstack([shares, np.zeros((1, len(copies)), dtype=np.int64)])
        """Fair shares, the last line being none, shape (lines + 1, K)."""
        self.forced = _forced(shares, lengths, self.cells)
        """What rounding forces."""
        none, kinds = len(lengths), len(copies)
        keys = (self.lines * kinds + layout).ravel()
        counts = np.bincount(keys, minlength=(none + 1) * kinds).reshape(none + 1, kinds)
        self.short = self.shares - self.cells * counts
        """How much more of each fabric a line should hold, shape (lines + 1, K)."""
        self.one_more, self.both = self._changes(self.short)
        self.one_more[-1] = self.both[-1] = 0.0
        self.off = float(np.abs(self.short[:-1]).sum())
        """How far all counts are off together."""

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

    def gains(self, cell: int, others: Ints, layout: Ints) -> Floats:
        """Return how much further off all are if a cell is swapped with each of others."""
        own, theirs = layout[cell], layout[others]
        here, there = self.lines[:, cell, None], self.lines[:, others]
        more, both = self.one_more.ravel(), self.both.ravel()
        start = there * len(self.both[0])
        laid, lifted = more[start + own], both[start + theirs]
        change = laid + lifted - more[start + theirs]
        # On a line that both lie on nothing changes.
        change -= (there == here) * (lifted + self.both[here, own])
        laying = self.one_more[here[:, 0]].sum(axis=0)
        lifting = self.both[here, own].sum() - laying[own]
        return np.asarray(change.sum(axis=0) + laying[theirs] + lifting)

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
