"""A clique heavier than a limit: fabrics all alike with more copies than there is room for."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from placement.top.reach.task import Bools, Ints
    from placement.top.request import Floats

_GROWING = 1500
"""Members times greedy cliques grown, about; the best joined start first, four at least."""
_MOST_EXACT = 64
"""Members up to which an exact search follows."""
_MOST_COLOURED = 10_000
"""Members coloured before the exact search gives up; greedy cliques are tried first."""


def heavy_clique(joined: Bools, weights: Ints, limit: int) -> list[int] | None:
    """Return a clique whose weights add up to more than the limit, or None.

    None is not a proof that there is no such clique: the search gives up after
    a fixed number of steps.

    Parameters
    ----------
    joined : Bools
        Shape (K, K), which two are joined; the diagonal does not matter.
    weights : Ints
        Shape (K,), whole numbers.
    limit : int
        The weight to pass.
    """
    for clique in crowds(joined, weights):
        if weights[clique].sum() > limit:
            return clique
    if len(weights) > _MOST_EXACT:
        return None
    return _Branching(joined, weights, limit).search()


def crowds(joined: Bools, weights: Ints) -> list[list[int]]:
    """Return different cliques, grown from the best joined members, heaviest first."""
    alone: Bools = np.eye(len(weights), dtype=np.bool_)
    # Whole numbers, so that sums of floats are exact; products of these are fast.
    near = (joined & ~alone).astype(np.float64)
    starts = np.argsort(-(near @ weights), kind="stable")[: max(4, _GROWING // len(weights))]
    grown = {tuple(_greedy(near, weights.astype(np.float64), int(start))) for start in starts}
    return [list(c) for c in sorted(grown, key=lambda c: (-weights[list(c)].sum(), c))]


def _greedy(near: Floats, weights: Floats, start: int) -> list[int]:
    """Grow a clique, each time by the member that leaves the most weight to choose from."""
    clique, left = [start], near[start] > 0
    weight = near @ (weights * left)
    while left.any():
        chosen = int(np.where(left, weight, -1).argmax())
        clique.append(chosen)
        gone = left & (near[chosen] == 0)
        left &= near[chosen] > 0
        weight -= weights[gone] @ near[gone]
    return sorted(clique)


class _Branching:
    """Branch and bound on bit sets; a colouring of what is left bounds its weight."""

    def __init__(self, joined: Bools, weights: Ints, limit: int) -> None:
        self.near = [
            sum(1 << int(f) for f in np.flatnonzero(row) if f != own)
            for own, row in enumerate(joined)
        ]
        self.weights = [int(weight) for weight in weights]
        self.limit = limit
        self.work = _MOST_COLOURED

    def search(self) -> list[int] | None:
        return self._grow((1 << len(self.weights)) - 1, [], 0)

    def _grow(self, left: int, clique: list[int], weight: int) -> list[int] | None:
        if weight > self.limit:
            return sorted(clique)
        order = self._order(left)
        self.work -= len(order)
        for member, bound in order:
            if self.work < 0 or weight + bound <= self.limit:
                return None
            found = self._grow(
                left & self.near[member], [*clique, member], weight + self.weights[member]
            )
            if found is not None:
                return found
            left &= ~(1 << member)
        return None

    def _order(self, left: int) -> list[tuple[int, int]]:
        """Colour what is left; return members with a bound on cliques of them and all before."""
        order, bound = [], 0
        while left:
            heaviest, free = 0, left
            while free:
                low = free & -free
                member = low.bit_length() - 1
                heaviest = max(heaviest, self.weights[member])
                order.append((member, bound + heaviest))
                left ^= low
                free &= ~(low | self.near[member])
            bound += heaviest
        return order[::-1]
