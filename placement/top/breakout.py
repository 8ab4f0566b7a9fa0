"""Find a layout without clashes by swapping, clashes that stay weighing ever more.

A cell in a clash is picked at random and swapped with the cell that leaves the
least weight of clashes; where no swap helps, its clashes get heavier, until
another layout looks better (breakout method; Morris, AAAI 1993). Swaps keep
every count. Work is counted in swaps, never in time, so a run is the same anywhere.
"""

from __future__ import annotations

import numpy as np

from placement.top.task import Classes, Ints

_REFUSED = 1 << 24
"""The cost of a swap that is not allowed or changes nothing."""


def untangle(
    classes: Classes,
    layout: Ints,
    edges: Ints,
    swaps: int,
    patience: int,
    rng: np.random.Generator,
) -> tuple[Ints | None, int]:
    """Swap until nothing clashes, or give up after so many swaps, or so many without progress.

    Parameters
    ----------
    classes : what may lie where and what clashes.
    layout : class a cell, shape (n,), with the right counts.
    edges : touching cells, shape (E, 2).

    Returns
    -------
    A layout without clashes or None, and the swaps made.
    """
    board = _Board(classes, layout, edges)
    fewest, since = len(layout) + 1, 0
    for turn in range(swaps):
        (troubled,) = board.now.nonzero()
        if not len(troubled):
            return board.layout, turn
        if len(troubled) < fewest:
            fewest, since = len(troubled), turn
        if turn - since > patience:
            return None, turn
        one = _any_of(troubled, rng)
        change = board.changes(one)
        least = change[change.argmin()]
        if least >= 0:
            board.weigh_down(one)
        if least < _REFUSED:
            board.swap(one, _any_of((change == least).nonzero()[0], rng))
    return None, swaps


def _any_of(cells: Ints, rng: np.random.Generator) -> int:
    return int(cells[int(rng.random() * len(cells))])


class _Board:
    """A layout with, for every cell and class, the weight of clashes it would have there."""

    def __init__(self, classes: Classes, layout: Ints, edges: Ints) -> None:
        self.clash = classes.clash.astype(np.int64)
        self.refuses = None if classes.accepts.all() else ~classes.accepts
        self.near = _neighbours(len(layout), edges)
        self.weight = [np.ones(len(near), dtype=np.int64) for near in self.near]
        self.layout = layout.copy()
        self.would = np.zeros((len(layout), len(self.clash)), dtype=np.int64)
        np.add.at(self.would, edges[:, 0], self.clash[layout[edges[:, 1]]])
        np.add.at(self.would, edges[:, 1], self.clash[layout[edges[:, 0]]])
        self.now = self.would[np.arange(len(layout)), layout]

    def changes(self, cell: int) -> Ints:
        """Return how much weight of clashes each swap with a cell adds, shape (n,)."""
        layout, own = self.layout, self.layout[cell]
        change: Ints = self.would[cell][layout] + self.would[:, own] - self.now - self.now[cell]
        # Between two neighbours that swap nothing changes, but both look past the swap.
        near = self.near[cell]
        change[near] += 2 * self.weight[cell] * (self.clash[own][layout[near]] - 1)
        change[layout == own] = _REFUSED
        if self.refuses is not None:
            change[self.refuses[cell][layout] | self.refuses[:, own]] = _REFUSED
        return change

    def swap(self, one: int, other: int) -> None:
        """Exchange two cells' classes."""
        layout = self.layout
        gained = self.clash[layout[other]] - self.clash[layout[one]]
        self.would[self.near[one]] += self.weight[one][:, None] * gained
        self.would[self.near[other]] -= self.weight[other][:, None] * gained
        layout[one], layout[other] = layout[other], layout[one]
        self._look_again(one)
        self._look_again(other)

    def weigh_down(self, cell: int) -> None:
        """Make every clash of a cell heavier by one."""
        own = self.layout[cell]
        for place, other in enumerate(self.near[cell].tolist()):
            theirs = self.layout[other]
            if self.clash[own, theirs]:
                self.weight[cell][place] += 1
                self.weight[other][self.near[other] == cell] += 1
                self.would[cell] += self.clash[theirs]
                self.would[other] += self.clash[own]
        self._look_again(cell)

    def _look_again(self, cell: int) -> None:
        near = self.near[cell]
        self.now[cell] = self.would[cell, self.layout[cell]]
        self.now[near] = self.would[near, self.layout[near]]


def _neighbours(cells: int, edges: Ints) -> list[Ints]:
    lists: list[list[int]] = [[] for _ in range(cells)]
    for first, second in edges.tolist():
        lists[first].append(second)
        lists[second].append(first)
    return [np.array(near, dtype=np.int64) for near in lists]
