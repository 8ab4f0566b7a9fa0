"""Find a layout without clashes by swapping, clashes that stay weighing ever more.

Of all swaps of a cell in a clash the one that leaves the least weight of clashes
is made; where none helps, the clashes of its cell get heavier, until another
layout looks better (breakout method; Morris, AAAI 1993). Swaps keep every
count. Work is counted in swaps, never in time, so a run is the same anywhere.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from placement.top.reach.task import Classes, Ints

_REFUSED = 1 << 24
"""The cost of a swap that is not allowed or changes nothing."""
_MOST_LOOKED_AT = 12
"""Troubled cells whose swaps are compared before one is made; fewer on large layouts."""
_LOOKS = 5000
"""Swaps compared at a time, about: more cost more than they bring."""


def untangle(
    classes: Classes,
    layout: Ints,
    edges: Ints,
    swaps: int,
    patience: int,
    noise: float,
    rng: np.random.Generator,
) -> tuple[Ints | None, int]:
    """Swap until nothing clashes, or give up after so many swaps, or so many without progress.

    Parameters
    ----------
    classes : Classes
        What may lie where and what clashes.
    layout : Ints
        Class a cell, shape (n,), with the right counts.
    edges : Ints
        Touching cells, shape (E, 2).
    swaps : int
        The most swaps to make.
    patience : int
        The most swaps to make without fewer troubled cells than ever.
    noise : float
        How often a single troubled cell is looked at, 0 to 1; no fixed value suits all.

    Returns
    -------
    tuple[Ints | None, int]
        A layout without clashes or None, and the swaps made.
    """
    board = _Board(classes, layout, edges)
    most = max(1, min(_MOST_LOOKED_AT, _LOOKS // len(layout)))
    fewest, since = len(layout) + 1, 0
    for turn in range(swaps):
        (troubled,) = board.now.nonzero()
        if not len(troubled):
            return board.layout[:-1], turn
        if len(troubled) < fewest:
            fewest, since = len(troubled), turn
        if turn - since > patience:
            return None, turn
        looks = 1 if rng.random() < noise else most
        if len(troubled) > looks:
            start = int(rng.random() * len(troubled))
            troubled = troubled.take(range(start, start + looks), mode="wrap")
        board.improve(troubled, rng)
    return None, swaps


class _Board:
    """A layout with, for every class and cell, the weight of clashes it would have there.

    One cell more than there are, without clashes, stands in where a cell has
    fewer neighbours than another.
    """

    def __init__(self, classes: Classes, layout: Ints, edges: Ints) -> None:
        self.clash = classes.clash.astype(np.int64)
        refuses = np.pad(~classes.accepts.T, ((0, 0), (0, 1)))
        self.refuses = refuses if refuses.any() else None
        self.near, self.back = _neighbours(len(layout), edges)
        self.weight = (self.near < len(layout)).astype(np.int64)
        self.weight[-1] = 0
        self.layout = np.append(layout, 0)
        touching = self.clash[:, self.layout[self.near]]
        self.would: Ints = (touching * self.weight).sum(axis=2)
        self.now = self.would[self.layout, np.arange(len(self.layout))]

    def improve(self, troubled: Ints, rng: np.random.Generator) -> None:
        """Make the best swap of any of these cells; if it does not help, weigh down its clashes."""
        change = self.changes(troubled).ravel()
        least = change[change.argmin()]
        (ties,) = (change == least).nonzero()
        row, other = divmod(int(ties[int(rng.random() * len(ties))]), len(self.layout))
        one = int(troubled[row])
        if least >= 0:
            self._weigh_down(one)
        if least < _REFUSED:
            self._swap(one, other)

    def changes(self, cells: Ints) -> Ints:
        """Return how much weight of clashes each swap with a cell adds, shape (cells, n + 1)."""
        layout, own = self.layout, self.layout[cells]
        change: Ints = self.would[:, cells].T.take(layout, axis=1)
        change += self.would[own]
        change -= self.now
        change -= self.now[cells, None]
        # Between two neighbours that swap nothing changes, but both look past the swap.
        near = self.near[cells]
        past = 2 * self.weight[cells] * (self.clash[own[:, None], layout[near]] - 1)
        change[np.arange(len(cells))[:, None], near] += past
        np.putmask(change, layout == own[:, None], _REFUSED)
        if self.refuses is not None:
            refused = self.refuses[:, cells].T.take(layout, axis=1) | self.refuses[own]
            np.putmask(change, refused, _REFUSED)
        change[:, -1] = _REFUSED
        return change

    def _swap(self, one: int, other: int) -> None:
        layout = self.layout
        gained = (self.clash[layout[other]] - self.clash[layout[one]])[:, None]
        self.would[:, self.near[one]] += gained * self.weight[one]
        self.would[:, self.near[other]] -= gained * self.weight[other]
        layout[one], layout[other] = layout[other], layout[one]
        self._look_again(one)
        self._look_again(other)

    def _weigh_down(self, cell: int) -> None:
        """Make every clash of a cell heavier by one."""
        near, own = self.near[cell], self.layout[cell]
        heavier = self.clash[own, self.layout[near]] * (self.weight[cell] > 0)
        self.weight[cell] += heavier
        self.weight[near, self.back[cell]] += heavier
        self.would[:, cell] += self.clash[:, self.layout[near]] @ heavier
        self.would[:, near] += self.clash[:, own, None] * heavier
        self._look_again(cell)

    def _look_again(self, cell: int) -> None:
        near = self.near[cell]
        self.now[cell] = self.would[self.layout[cell], cell]
        self.now[near] = self.would[self.layout[near], near]


def _neighbours(cells: int, edges: Ints) -> tuple[Ints, Ints]:
    """Return each cell's neighbours, and its own place among the neighbours of each.

    Both have shape (n + 1, most neighbours); missing ones are cell n.
    """
    lists: list[list[int]] = [[] for _ in range(cells + 1)]
    places: list[list[int]] = [[] for _ in range(cells + 1)]
    for first, second in edges.tolist():
        places[first].append(len(lists[second]))
        places[second].append(len(lists[first]))
        lists[first].append(second)
        lists[second].append(first)
    most = max(map(len, lists))
    near = np.full((cells + 1, most), cells, dtype=np.int64)
    back = np.zeros((cells + 1, most), dtype=np.int64)
    for cell, others in enumerate(lists):
        near[cell, : len(others)] = others
        back[cell, : len(others)] = places[cell]
    return near, back
