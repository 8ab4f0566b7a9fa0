"""Find a layout without clashes by swapping, with a memory of recent swaps.

A cell in conflict is picked at random and swapped with the cell that leaves the
fewest clashes; swapped cells then rest for a while (tabu search; Galinier & Hao,
Journal of Combinatorial Optimization 3, 1999, for colouring). Swaps keep every
count. Work is counted in swaps, never in time, so a run is the same anywhere.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from placement.top.task import Classes, Ints

_REFUSED = 1 << 13
"""Added to the cost of a swap that is not allowed."""
_RESTING = 1 << 10
"""Added to the cost of a swap of a resting cell: only taken when nothing else is left."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """Where a run of swaps ended."""

    layout: Ints
    """Class a cell: the layout with the fewest clashes seen."""
    clashes: int
    """Touching pairs in it that clash."""
    swaps: int
    """Swaps made."""


def neighbours(cells: int, edges: Ints) -> list[Ints]:
    """Return each cell's neighbours, ascending."""
    lists: list[list[int]] = [[] for _ in range(cells)]
    for first, second in edges.tolist():
        lists[first].append(second)
        lists[second].append(first)
    return [np.array(sorted(near), dtype=np.int64) for near in lists]


class _Board:
    """A layout and, for every cell and class, how many neighbours it would clash with."""

    def __init__(self, classes: Classes, layout: Ints, edges: Ints, near: list[Ints]) -> None:
        self.clash = classes.clash.astype(np.int16)
        self.refuses = None if classes.accepts.all() else ~classes.accepts
        self.near = near
        self.layout = layout.copy()
        self.would = np.zeros((len(layout), len(self.clash)), dtype=np.int16)
        np.add.at(self.would, edges[:, 0], self.clash[layout[edges[:, 1]]])
        np.add.at(self.would, edges[:, 1], self.clash[layout[edges[:, 0]]])
        self.now = self.would[np.arange(len(layout)), layout]
        self.total = int(self.now.sum()) // 2

    def changes(self, cell: int) -> Ints:
        """Return how many clashes more each swap with a cell makes, shape (n,)."""
        layout, own = self.layout, self.layout[cell]
        change: Ints = self.would[cell][layout] + self.would[:, own] - self.now - self.now[cell]
        # Between two neighbours that swap nothing changes, but both look past the swap.
        near = self.near[cell]
        change[near] += 2 * self.clash[own][layout[near]] - 2
        change[layout == own] = _REFUSED
        if self.refuses is not None:
            change[self.refuses[cell][layout] | self.refuses[:, own]] = _REFUSED
        return change

    def swap(self, one: int, other: int, change: int) -> None:
        """Exchange two cells' classes."""
        layout, would = self.layout, self.would
        gained = self.clash[layout[other]] - self.clash[layout[one]]
        would[self.near[one]] += gained
        would[self.near[other]] -= gained
        layout[one], layout[other] = layout[other], layout[one]
        for cell in (one, other):
            near = self.near[cell]
            self.now[cell] = would[cell, layout[cell]]
            self.now[near] = would[near, layout[near]]
        self.total += change


def untangle(
    classes: Classes,
    layout: Ints,
    edges: Ints,
    near: list[Ints],
    swaps: int,
    patience: int,
    rng: np.random.Generator,
) -> Outcome:
    """Swap until nothing clashes, patience swaps bring no progress, or all are used up."""
    board = _Board(classes, layout, edges, near)
    rests = np.zeros(len(layout), dtype=np.int64)
    best, kept, since = board.total, board.layout.copy(), 0
    for turn in range(swaps):
        if board.total == 0 or turn - since > patience:
            return Outcome(kept, best, turn)
        troubled = np.flatnonzero(board.now)
        one = int(troubled[int(rng.random() * len(troubled))])
        change = board.changes(one)
        new_best = board.total + change.min() < best
        cost = change if new_best else change + _RESTING * (rests > turn)
        least = cost.min()
        if least >= _REFUSED - _RESTING:
            continue
        ties = np.flatnonzero(cost == least)
        other = int(ties[int(rng.random() * len(ties))])
        board.swap(one, other, int(change[other]))
        rests[[one, other]] = turn + 3 + int(rng.random() * 8) + len(troubled) // 3
        if board.total < best:
            best, kept, since = board.total, board.layout.copy(), turn
    return Outcome(kept, best, swaps)
