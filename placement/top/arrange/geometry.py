"""Where the cells of a task lie, and which rows, columns, diagonals and quadrants they share.

Positions are in block sides, so cells sharing an edge are 1 apart and cells
sharing a point the square root of 2.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import sqrt
from typing import TYPE_CHECKING

import numpy as np

from placement.top.reach.task import Ints

if TYPE_CHECKING:
    from placement.top.request import Floats
    from placement.top.setting.setting import Setting

OUTSIDE = -1
"""Label of a cell that belongs to no line of a family (the middle, for quadrants)."""


@dataclass(frozen=True, slots=True, eq=False)
class Ground:
    """The n cells that take a fabric, without the holes. Shared: do not change its arrays."""

    rows: Ints
    """Row of each cell from the top (half diagonals on point), shape (n,)."""
    columns: Ints
    """Column of each cell from the left, shape (n,)."""
    step: float
    """Block sides from one row or column to the next."""
    lines: Ints
    """Labels of the row, column, two diagonals and quadrant of each cell, shape (5, n)."""

    @property
    def count(self) -> int:
        """Cells, n."""
        return int(self.rows.shape[0])

    def places(self) -> Floats:
        """Return across and down of each cell in block sides, shape (n, 2)."""
        places = np.column_stack([self.columns, self.rows])
        return np.asarray(places * self.step, dtype=np.float64)

    def squares(self, first: Ints, second: Ints) -> Floats:
        """Return squared distances between cells, in block sides; shapes broadcast."""
        down = self.rows[first] - self.rows[second]
        across = self.columns[first] - self.columns[second]
        exact = (down * down + across * across) * self.step**2
        return np.round(exact, 6).astype(np.float64)

    def widest(self) -> float:
        """Return the distance between opposite corners of the cells, in block sides."""
        return self.step * float(np.hypot(np.ptp(self.rows), np.ptp(self.columns)))

    def lengths(self) -> Ints:
        """Return how many cells lie on each cell's row, column, diagonals and quadrant, (5, n)."""
        return np.stack([_lengths(labels) for labels in self.lines])


def _lengths(labels: Ints) -> Ints:
    inside = labels != OUTSIDE
    sizes = np.bincount(labels[inside], minlength=1)
    return np.where(inside, sizes[np.where(inside, labels, 0)], 0)


@lru_cache(maxsize=32)
def ground(setting: Setting, holes: frozenset[int] = frozenset()) -> Ground:
    """Return where the cells lie that are no holes."""
    cells = [cell for number, cell in enumerate(setting.cells()) if number not in holes]
    rows, columns = np.array(cells, dtype=np.int64).reshape(-1, 2).T
    step = sqrt(0.5) if setting.kind == "on point" else 1.0
    return Ground(rows, columns, step, _lines(rows, columns))


def _lines(rows: Ints, columns: Ints) -> Ints:
    """Return labels from 0 for the lines of each family."""
    if not len(rows):
        return np.empty((5, 0), dtype=np.int64)
    half_down = np.sign(2 * rows - rows.min() - rows.max())
    half_across = np.sign(2 * columns - columns.min() - columns.max())
    quadrant = np.where(half_down * half_across == 0, OUTSIDE, half_down + half_across // 2 + 2)
    straight = [rows, columns, rows + columns, rows - columns]
    return np.stack([*(np.unique(key, return_inverse=True)[1] for key in straight), quadrant])
