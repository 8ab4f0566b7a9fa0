"""The most valuable strip of every height, given what each kind of piece is worth.

A bounded knapsack along the strip and, with stacking, one across it for every
width of a column (Gilmore and Gomory (1965), 'Multistage cutting stock problems
of two and more dimensions', Oper. Res. 13(1), doi:10.1287/opre.13.1.94). Worths
are whole numbers, so every value is exact. Pieces are counted per column, not
per strip, so a value can be too high, never too low: fit for bounds.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import count

import numpy as np
from numpy.typing import NDArray

from placement.cloth.solver.columns import Column, Job, Strip

Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Chunk:
    """Several equal columns that are taken together or not at all."""

    item: int
    """Lay, or the number of lays plus the index of a column width, for stacks."""
    copies: int
    """How many."""
    width: int
    """Of all of them, units."""


class Pricing:
    """Prices strips for one job; what does not depend on the worths is made once."""

    def __init__(self, job: Job, *, stacking: bool) -> None:
        self.job = job
        self.stacking = stacking
        self.heights = np.array(job.heights, dtype=np.int64)
        self.widths = tuple(sorted({lay.width for lay in job.lays}))
        self._rows = {height: row for row, height in enumerate(job.heights)}
        self._chunks = [*self._single_chunks(), *(self._stack_chunks() if stacking else ())]

    def _single_chunks(self) -> list[Chunk]:
        return [
            Chunk(index, copies, copies * lay.width)
            for index, lay in enumerate(self.job.lays)
            for copies in _split(min(self.job.kinds[lay.kind].count, self.job.width // lay.width))
        ]

    def _stack_chunks(self) -> list[Chunk]:
        first = len(self.job.lays)
        return [
            Chunk(first + index, copies, copies * width)
            for index, width in enumerate(self.widths)
            for copies in _split(self.job.width // width)
        ]

    def values(self, worth: Ints) -> Ints:
        """Return what each item (lay, then stack by width) is worth in each height, or 0."""
        job = self.job
        lays = np.array([worth[lay.kind] for lay in job.lays], dtype=np.int64)
        fits = np.array([[lay.height <= h for lay in job.lays] for h in job.heights])
        single = np.where(fits, lays, 0)
        if not self.stacking:
            return single
        return np.hstack([single, self._stack_values(worth)])

    def _stack_values(self, worth: Ints) -> Ints:
        """Return the best stack of two or more pieces for each height and column width."""
        found = np.zeros((len(self.heights), len(self.widths)), dtype=np.int64)
        for at, width in enumerate(self.widths):
            best = self.stacks(worth, width)
            for lay in self.job.lays:
                if lay.width > width:
                    continue
                rest = np.maximum(self.heights - lay.height, 0)
                more = np.where(best[rest] > 0, best[rest] + worth[lay.kind], 0)
                np.maximum(found[:, at], more, out=found[:, at])
        return found

    def stacks(self, worth: Ints, width: int) -> Ints:
        """Return the best stack of a column width up to every height."""
        best = np.zeros(int(self.heights[0]) + 1, dtype=np.int64)
        for _, copies, high, value in self._stack_steps(worth, width):
            if high < len(best):
                np.maximum(best[high:], best[: len(best) - high] + copies * value, out=best[high:])
        return best

    def _stack_steps(self, worth: Ints, width: int) -> list[tuple[int, int, int, int]]:
        return [
            (index, copies, copies * lay.height, int(worth[lay.kind]))
            for index, lay in enumerate(self.job.lays)
            if lay.width <= width
            for copies in _split(
                min(self.job.kinds[lay.kind].count, int(self.heights[0]) // lay.height)
            )
        ]

    def best(self, values: Ints) -> tuple[Ints, list[NDArray[np.bool_]]]:
        """Return the best value of each height up to every width, and the choices made."""
        best = np.zeros((len(self.heights), self.job.width + 1), dtype=np.int64)
        taken = []
        for chunk in self._chunks:
            more = best[:, : best.shape[1] - chunk.width] + chunk.copies * values[:, [chunk.item]]
            room = best[:, chunk.width :]
            taken.append(more > room)
            np.maximum(room, more, out=room)
        return best, taken

    def strips(self, worth: Ints) -> tuple[Ints, list[Strip]]:
        """Return the worth of the best strip of each height, and those strips."""
        values = self.values(worth)
        best, taken = self.best(values)
        made = [
            Strip(int(height), self._columns(row, taken, worth))
            for row, height in enumerate(self.heights)
        ]
        return best[:, -1], made

    def _columns(self, row: int, taken: list[NDArray[np.bool_]], worth: Ints) -> tuple[Column, ...]:
        columns: list[Column] = []
        free = self.job.width
        for chunk, choice in zip(reversed(self._chunks), reversed(taken), strict=True):
            if chunk.width <= free and choice[row, free - chunk.width]:
                free -= chunk.width
                columns += [self._column(chunk.item, row, worth)] * chunk.copies
        return tuple(columns)

    def _column(self, item: int, row: int, worth: Ints) -> Column:
        lays = len(self.job.lays)
        if item < lays:
            return (item,)
        return self._stack(self.widths[item - lays], int(self.heights[row]), worth)

    def _stack(self, width: int, height: int, worth: Ints) -> Column:
        """Return a best stack: its first piece, then the best of what fits below."""
        best = self.stacks(worth, width)

        def value(lay: int) -> int:
            rest = height - self.job.lays[lay].height
            wide = self.job.lays[lay].width <= width
            return int(best[rest] + worth[self.job.lays[lay].kind]) if wide and rest >= 0 else -1

        first = max(range(len(self.job.lays)), key=value)
        below = self._rest(width, height - self.job.lays[first].height, worth)
        column = (first, *below)
        return tuple(sorted(column, key=lambda lay: (-self.job.lays[lay].width, lay)))

    def _rest(self, width: int, height: int, worth: Ints) -> list[int]:
        best = np.zeros(height + 1, dtype=np.int64)
        steps, taken = self._stack_steps(worth, width), []
        for _, copies, high, value in steps:
            more = best[: max(0, len(best) - high)] + copies * value
            taken.append(more > best[high:])
            best[high:] = np.maximum(best[high:], more)
        lays: list[int] = []
        for (lay, copies, high, _), choice in zip(reversed(steps), reversed(taken), strict=True):
            if high <= height and choice[height - high]:
                height -= high
                lays += [lay] * copies
        return lays


def _split(most: int) -> list[int]:
    """Split a count into 1, 2, 4 and so on and a rest, so that sums give every smaller one.

    >>> _split(10)
    [1, 2, 4, 3]
    """
    parts = []
    for power in count():
        part = min(1 << power, most)
        if part <= 0:
            break
        parts.append(part)
        most -= part
    return parts
